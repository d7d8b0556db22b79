//! Moisture through the thickness and through time, against exact solutions, limits and published tables.
#![expect(
    clippy::print_stdout,
    reason = "the measured orders, errors and swings are shown beside the test that holds them"
)]

mod command;
mod convergence;
mod exact;
mod finish_files;
mod finishes;
mod grid;
mod limits;
mod readings;
mod rest;
mod schedule;

use heartside::moisture::{Diffusivity, FaceExchange, Film, Profile, Slab, SlabState, SurfaceAir};
use heartside::units::{Length, MoistureContent, Temperature};

pub(crate) fn close(found: f64, wanted: f64, tolerance: f64) {
    assert!(
        (found - wanted).abs() <= tolerance,
        "found {found}, wanted {wanted} within {tolerance}"
    );
}

pub(crate) fn percent(value: f64) -> MoistureContent {
    MoistureContent::from_percent(value).unwrap()
}

pub(crate) fn mm(value: f64) -> Length {
    Length::from_mm(value).unwrap()
}

/// Air of 20 C that keeps wood at a moisture.
pub(crate) fn keeping(moisture: f64) -> SurfaceAir {
    SurfaceAir::keeping(percent(moisture), Temperature::from_celsius(20.0).unwrap())
}

/// A board of constant diffusivity whose faces follow the air at once.
pub(crate) fn ideal(thickness_mm: f64, diffusivity: f64) -> Slab {
    Slab {
        diffusivity: Diffusivity::Constant(diffusivity),
        film: Film::Off,
        ..Slab::bare(mm(thickness_mm), 0.5).unwrap()
    }
}

/// A walnut-like board with everything on: film, nonlinear diffusivity.
pub(crate) fn walnut(thickness_mm: f64) -> Slab {
    Slab::bare(mm(thickness_mm), 0.51).unwrap()
}

pub(crate) const SEALED: FaceExchange = FaceExchange::Sealed;

pub(crate) fn uniform(value: f64) -> Profile {
    Profile::uniform(percent(value))
}

/// Lets time pass in steps of `share` of the time since the start.
pub(crate) fn run_until(state: &mut SlabState, air: &SurfaceAir, from: f64, to: f64, share: f64) {
    let mut now = from;
    while now < to {
        let step = (share * now).max(1e-4 * to);
        let seconds = if now + 1.5 * step >= to {
            to - now
        } else {
            step
        };
        state.step(air, seconds);
        now = if now + 1.5 * step >= to {
            to
        } else {
            now + seconds
        };
    }
}
