//! A force as a maker feels it: a hand push, or so many clamps.

use crate::units::Force;

/// What one firm push of a hand gives (judgement).
pub const HAND_PUSH_NEWTONS: f64 = 150.0;

/// What one bar clamp gives when it is tightened by hand without strain (judgement).
pub const CLAMP_NEWTONS: f64 = 1_500.0;

/// The force as a hand push or a number of clamps.
///
/// Steps (judgement): a finger to 20 N, a light push to 60 N, a firm push of one hand to
/// [`HAND_PUSH_NEWTONS`], both hands and body weight to 400 N, clamps of [`CLAMP_NEWTONS`] beyond.
#[must_use]
pub fn felt(force: Force) -> String {
    let newtons = force.newtons().abs();
    if newtons < 0.5 {
        "no force".to_owned()
    } else if newtons <= 20.0 {
        "a finger's push".to_owned()
    } else if newtons <= 60.0 {
        "a light hand push".to_owned()
    } else if newtons <= HAND_PUSH_NEWTONS {
        "a firm hand push".to_owned()
    } else if newtons <= 400.0 {
        "both hands and some body weight".to_owned()
    } else {
        match clamps(force) {
            1 => "one clamp".to_owned(),
            count => format!("{count} clamps"),
        }
    }
}

/// How many clamps of [`CLAMP_NEWTONS`] give the force, rounded up.
#[must_use]
pub fn clamps(force: Force) -> usize {
    // A force is finite and its count small: the cast cannot lose anything that matters.
    (force.newtons().abs() / CLAMP_NEWTONS).ceil() as usize
}
