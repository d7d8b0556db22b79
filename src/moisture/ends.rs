//! How far from a bare end the one-dimensional answer holds.
//!
//! Wood dries along the grain about ten times as fast as across it. With
//! constant diffusivities the moisture still to go near an end is the share still
//! to go in the far wood times `erf(x/(2 sqrt(D_L t)))`, so the answer through the
//! thickness alone errs there by the share still to go times `erfc`.

use crate::numerics::bracketed_root;
use crate::units::{Duration, Length};
use std::f64::consts::PI;

/// Diffusivity along the grain over that across it (Siau, from memory, rounded).
pub const ALONG_OVER_ACROSS: f64 = 10.0;

/// The error that the distance is given for, as a share of the whole change.
const ERROR_SHARE: f64 = 0.05;

/// The farthest the end's error ever reaches, in thicknesses, rounded up.
pub const FARTHEST_THICKNESSES: f64 = 2.05;

/// Share done of a step through both faces after `fourier = D t/a^2`, `a` half the
/// thickness, no resistance at the faces: Crank, *The Mathematics of Diffusion*.
fn share_done(fourier: f64) -> f64 {
    if fourier < 0.05 {
        // Before the two fronts meet, to nine digits.
        return 2.0 * (fourier / PI).sqrt();
    }
    let left: f64 = (0..12)
        .map(|n| {
            let odd = f64::from(2 * n + 1);
            8.0 / (PI * PI * odd * odd) * libm::exp(-odd * odd * PI * PI * fourier / 4.0)
        })
        .sum();
    1.0 - left
}

/// Distance from a bare end beyond which the answer through the thickness holds within
/// 5 % of the step, when the far wood is `fraction_done` of the way; zero where less than
/// 5 % is left to go or nothing has begun.
#[must_use]
pub fn one_dimensional_beyond(thickness: Length, fraction_done: f64) -> Length {
    let left = 1.0 - fraction_done;
    if !(left > ERROR_SHARE && fraction_done > 0.0) {
        return Length::ZERO;
    }
    let fourier = bracketed_root(|fo| share_done(fo) - fraction_done, 0.0, 2.0, 1e-10);
    let reach = bracketed_root(|y| libm::erfc(y) - ERROR_SHARE / left, 0.0, 5.0, 1e-10);
    match (fourier, reach) {
        // x = 2 y sqrt(D_L t), in thicknesses of 2 a.
        (Some(fourier), Some(y)) => thickness * (y * (ALONG_OVER_ACROSS * fourier).sqrt()),
        _ => Length::ZERO,
    }
}

/// The same after a known time, whatever slows the faces: with `diffusivity` (m2/s) across the
/// grain, a share `fraction_done` of the change done in the far wood.
#[must_use]
pub fn reach(diffusivity: f64, time: Duration, fraction_done: f64) -> Length {
    let left = 1.0 - fraction_done;
    if !(left > ERROR_SHARE && diffusivity > 0.0) {
        return Length::ZERO;
    }
    bracketed_root(|y| libm::erfc(y) - ERROR_SHARE / left, 0.0, 5.0, 1e-10).map_or(
        Length::ZERO,
        |y| {
            let meters = 2.0 * y * (ALONG_OVER_ACROSS * diffusivity * time.seconds()).sqrt();
            Length::from_mm_unchecked(1000.0 * meters)
        },
    )
}

/// Distance from a bare end beyond which the answer through the thickness holds within 5 % of the step at all times.
#[must_use]
pub fn one_dimensional_always_beyond(thickness: Length) -> Length {
    thickness * FARTHEST_THICKNESSES
}
