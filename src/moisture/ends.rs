//! How far from a bare end the one-dimensional answer holds.
//!
//! Wood dries along the grain about ten times as fast as across it. With
//! constant diffusivities the moisture still to go near an end is the share still
//! to go in the far wood times `erf(x/(2 sqrt(D_L t)))`, so the answer through the
//! thickness alone errs there by the share still to go times `erfc`.

use crate::numerics::bracketed_root;
use crate::units::{Duration, Length};

/// Diffusivity along the grain over that across it (Siau, from memory, rounded).
pub const ALONG_OVER_ACROSS: f64 = 10.0;

/// The error that the distance is given for, as a share of the whole change.
const ERROR_SHARE: f64 = 0.05;

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
