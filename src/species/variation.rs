//! How much a property varies between pieces of one wood.

use super::sourced::Sourced;
use super::tables::{self, VariationRow};
use std::sync::OnceLock;

/// A property whose variation between pieces the handbook tells.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Property {
    /// Shrinkage in any direction.
    Shrinkage,
    /// Modulus of elasticity in static bending.
    Modulus,
    /// Modulus of rupture in static bending.
    BendingStrength,
    /// Compression across the grain.
    CompressionAcross,
    /// Shear along the grain.
    Shear,
    /// Tension along the grain; the handbook tells none across it.
    TensionAlong,
    /// Specific gravity.
    SpecificGravity,
}

impl Property {
    /// Every property, in the order they are written.
    pub const ALL: [Self; 7] = [
        Self::Shrinkage,
        Self::Modulus,
        Self::BendingStrength,
        Self::CompressionAcross,
        Self::Shear,
        Self::TensionAlong,
        Self::SpecificGravity,
    ];

    /// The property as its table writes it.
    const fn printed(self) -> &'static str {
        match self {
            Self::Shrinkage => "Shrinkage (radial, tangential or volumetric)",
            Self::Modulus => "Static bending: modulus of elasticity",
            Self::BendingStrength => "Static bending: modulus of rupture",
            Self::CompressionAcross => "Compression perpendicular to grain",
            Self::Shear => "Shear parallel to grain, maximum shearing strength",
            Self::TensionAlong => "Tension parallel to grain",
            Self::SpecificGravity => "Specific gravity",
        }
    }

    /// Coefficient of variation between pieces of one wood, percent: standard
    /// deviation over mean (Wood Handbook Table 5-6; shrinkage chapter 4, from memory).
    ///
    /// `None` only if the built-in table lacked the row, which a test rules out.
    #[must_use]
    pub fn variation_percent(self) -> Option<Sourced> {
        static ROWS: OnceLock<Vec<VariationRow>> = OnceLock::new();
        ROWS.get_or_init(|| tables::property_variation().unwrap_or_default())
            .iter()
            .find(|row| row.property == self.printed())
            .map(|row| {
                Sourced::new(
                    row.variation_percent,
                    &row.source.as_str().into(),
                    row.status,
                )
            })
    }
}
