//! How many times longer a finished board takes than a bare one.

use super::finish::Finish;
use super::profile::Profile;
use super::rest::rest;
use super::slab::Slab;
use super::surface::SurfaceAir;
use crate::units::{Duration, Length, MoistureContent, Temperature};
use std::sync::LazyLock;

/// The board: 20 mm of middling weight, from 8 to 11 % at 20 C.
const THICKNESS_MM: f64 = 20.0;
const GRAVITY: f64 = 0.5;
const FROM_PERCENT: f64 = 8.0;
const TO_PERCENT: f64 = 11.0;
const CELSIUS: f64 = 20.0;

static BARE_SECONDS: LazyLock<f64> = LazyLock::new(|| ninety_percent(Finish::bare()));

/// Time for 90 % of the change, s.
fn ninety_percent(finish: Finish) -> f64 {
    let Ok(slab) = Slab::bare(Length::from_mm_unchecked(THICKNESS_MM), GRAVITY) else {
        return f64::NAN;
    };
    let air = SurfaceAir::keeping(
        MoistureContent::computed_percent(TO_PERCENT),
        Temperature::computed_celsius(CELSIUS),
    );
    let start = Profile::uniform(MoistureContent::computed_percent(FROM_PERCENT));
    rest(
        &slab.finished(finish),
        &start,
        &air,
        Duration::computed_seconds(0.0),
    )
    .to_ninety_percent
    .map_or(f64::INFINITY, Duration::seconds)
}

/// How many times longer than bare a board of 20 mm and middling weight, finished on both faces, takes for
/// 90 % of a change from 8 to 11 % at 20 C; 1 for bare wood.
#[must_use]
pub fn board_slowed(finish: Finish) -> f64 {
    if finish.is_bare() {
        return 1.0;
    }
    ninety_percent(finish) / *BARE_SECONDS
}
