//! Twist from spiral grain.

use crate::units::{Angle, Length, Strain};

/// Twist over a length from spiral grain: `phi = 2 theta |e_T| L/r` (derived for a thin shell), `theta` the
/// grain's angle to the pith, `e_T` the tangential strain of the moisture change, `r` the distance of
/// the board's middle from the pith. Such models explain about two thirds of the twist measured in spruce.
#[must_use]
pub fn spiral_grain_twist(
    grain: Angle,
    tangential: Strain,
    length: Length,
    from_pith: Length,
) -> Angle {
    grain * (2.0 * tangential.ratio().abs() * (length / from_pith))
}

/// Lift of one corner of a board of this width, the other three lying flat: `width x sin phi`.
#[must_use]
pub fn spiral_grain_lift(twist: Angle, width: Length) -> Length {
    width * libm::sin(twist.radians())
}
