//! The properties of a part's wood that this room needs.

use crate::species::Species;
use crate::units::Stress;

/// A part's wood.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PartWood {
    /// Stiffness along the grain.
    pub modulus: Stress,
    /// Stiffness across it.
    pub modulus_across: Stress,
    /// Bending strength.
    pub bending_strength: Stress,
    /// Strength in tension across the grain.
    pub tension_across: Stress,
    /// Specific gravity, oven-dry mass on volume at 12 %.
    pub gravity: f64,
}

impl PartWood {
    /// The middle values of a wood at about 12 %.
    #[must_use]
    pub fn of(wood: &Species) -> Self {
        Self {
            modulus: Stress::computed_mpa(wood.modulus_mpa().value),
            modulus_across: Stress::computed_mpa(wood.modulus_across_mpa().value),
            bending_strength: Stress::computed_mpa(wood.bending_strength_mpa().value),
            tension_across: Stress::computed_mpa(wood.tension_across_mpa().value),
            gravity: wood.gravity_at_12(),
        }
    }

    /// The same wood, every stiffness multiplied by a factor: a piece stiffer or limper than the middle of its wood.
    #[must_use]
    pub fn stiffer(self, factor: f64) -> Self {
        Self {
            modulus: self.modulus * factor,
            modulus_across: self.modulus_across * factor,
            ..self
        }
    }

    /// Specific gravity as it hangs, with its water, at about 9 %.
    pub(super) fn hanging_gravity(&self) -> f64 {
        (self.gravity * 1.09).min(1.4)
    }
}
