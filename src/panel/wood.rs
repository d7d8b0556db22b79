//! What a leaf's wood does, from the table of woods.

use super::leaf::{Leaf, LeafWood};
use crate::movement::Shrinkage;
use crate::species::{Species, SpeciesTable, UnknownSpecies};
use crate::units::Stress;
use std::fmt;

/// A leaf of a wood that the table does not hold, or not under one name.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct UnknownWood {
    /// The leaf, or `None` where the wood was given for the whole panel.
    pub leaf: Option<String>,
    /// The name asked for and the nearest ones.
    pub species: UnknownSpecies,
}

impl fmt::Display for UnknownWood {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match &self.leaf {
            Some(leaf) => write!(f, "leaf `{leaf}`: {}", self.species),
            None => self.species.fmt(f),
        }
    }
}

impl std::error::Error for UnknownWood {}

impl LeafWood {
    /// Stiffness and shrinkage of a species. Twist is resisted by the shear modulus in the plane of the leaf; the mean of
    /// that of flat-sawn (`G_LT`) and quartersawn wood (`G_LR`) stands for it.
    #[must_use]
    pub fn of(species: &Species) -> Self {
        Self {
            modulus: Stress::computed_mpa(species.modulus_mpa().value),
            shear_modulus: Stress::computed_mpa(
                (species.shear_modulus_lt_mpa().value + species.shear_modulus_lr_mpa().value) / 2.0,
            ),
            modulus_across: Stress::computed_mpa(species.modulus_across_mpa().value),
            shear_modulus_lt: Stress::computed_mpa(species.shear_modulus_lt_mpa().value),
            shear_modulus_lr: Stress::computed_mpa(species.shear_modulus_lr_mpa().value),
            shrinkage: Some(Shrinkage::of(species)),
        }
    }
}

/// Gives every leaf its wood: its own species, else the one given for all, else the wood nobody named. Returns the rules
/// that stood in for figures the tables do not hold, in words for a maker, each once.
///
/// # Errors
/// [`UnknownWood`] with the leaf and the nearest names.
pub fn settle_woods(
    leaves: &mut [Leaf],
    for_all: Option<&str>,
    table: &SpeciesTable,
) -> Result<Vec<String>, UnknownWood> {
    let common = for_all
        .map(|name| table.find(name))
        .transpose()
        .map_err(|species| UnknownWood {
            leaf: None,
            species,
        })?;
    let mut rules: Vec<String> = Vec::new();
    for leaf in leaves {
        let own = leaf
            .species
            .as_deref()
            .map(|name| table.find(name))
            .transpose()
            .map_err(|species| UnknownWood {
                leaf: Some(leaf.name.clone()),
                species,
            })?;
        let Some(species) = own.or(common) else {
            continue;
        };
        leaf.wood = LeafWood::of(species);
        leaf.species = Some(species.name.clone());
        let used = [
            species.modulus_mpa().rule,
            species.shear_modulus_lt_mpa().rule,
            species.fiber_saturation().rule,
        ];
        for rule in used.into_iter().flatten() {
            let words = format!("{}: {rule}", species.name);
            if !rules.contains(&words) {
                rules.push(words);
            }
        }
    }
    Ok(rules)
}
