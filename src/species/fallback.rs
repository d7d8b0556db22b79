//! What stands in where no table holds a figure: averages of the group, each
//! with the rule it is given by.
//!
//! The averages are those of the built-in tables, rounded; a test works them
//! out again. Balsa is left out of the hardwoods, since nobody builds
//! furniture of it and it drags every ratio down.

use super::record::Group;

/// Averages of one group of woods at 12 % moisture.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GroupAverages {
    /// Stiffness along the grain, MPa (Wood Handbook Table 5-3a).
    pub modulus_mpa: f64,
    /// Bending strength, MPa (Table 5-3a).
    pub bending_strength_mpa: f64,
    /// Shear strength along the grain, MPa (Table 5-3a).
    pub shear_mpa: f64,
    /// Tension across the grain at a specific gravity `G` at 12 %: MPa, the gravity it belongs to and the exponent. Hardwoods
    /// `5.2 (G/0.6)^1.3`, fitted to the 43 of Table 5-3a that have a figure (scatter 18 %, derived); softwoods `2.2 G/0.4`, to their 35.
    pub tension_across: (f64, f64, f64),
    /// Compression across the grain at the proportional limit, MPa (Table 5-3a).
    pub compression_across_mpa: f64,
    /// Basic specific gravity, from Table 5-3a through Eq. 4-11.
    pub basic_gravity: f64,
    /// `E_T / E_L` (Table 5-1).
    pub tangential_ratio: f64,
    /// `E_R / E_L` (Table 5-1).
    pub radial_ratio: f64,
    /// `G_LR / E_L` (Table 5-1).
    pub shear_lr_ratio: f64,
    /// `G_LT / E_L` (Table 5-1).
    pub shear_lt_ratio: f64,
    /// `G_RT / E_L`: 0.02 for hardwoods by judgement, which the six of Table 5-1 bear out; softwoods by their average.
    pub shear_rt_ratio: f64,
}

pub(super) struct Rules {
    pub modulus: &'static str,
    pub bending_strength: &'static str,
    pub shear: &'static str,
    pub tension_across: &'static str,
    pub compression_across: &'static str,
    pub basic_gravity: &'static str,
    pub ratio: &'static str,
    pub ratio_and_modulus: &'static str,
    pub shear_rt: &'static str,
    pub shear_rt_and_modulus: &'static str,
}

const HARDWOODS: GroupAverages = GroupAverages {
    modulus_mpa: 11_100.0,
    bending_strength_mpa: 91.0,
    shear_mpa: 11.6,
    tension_across: (5.2, 0.6, 1.3),
    compression_across_mpa: 7.1,
    basic_gravity: 0.52,
    tangential_ratio: 0.060,
    radial_ratio: 0.119,
    shear_lr_ratio: 0.092,
    shear_lt_ratio: 0.069,
    shear_rt_ratio: 0.020,
};

const SOFTWOODS: GroupAverages = GroupAverages {
    modulus_mpa: 10_100.0,
    bending_strength_mpa: 73.0,
    shear_mpa: 8.1,
    tension_across: (2.2, 0.4, 1.0),
    compression_across_mpa: 4.4,
    basic_gravity: 0.40,
    tangential_ratio: 0.057,
    radial_ratio: 0.096,
    shear_lr_ratio: 0.082,
    shear_lt_ratio: 0.077,
    shear_rt_ratio: 0.0092,
};

const HARDWOOD_RULES: Rules = Rules {
    modulus: "no stiffness in the tables for this wood: 11,100 MPa, the average of the hardwoods",
    bending_strength: "no bending strength in the tables for this wood: 91 MPa, the average of the hardwoods",
    shear: "no shear strength in the tables for this wood: 11.6 MPa, the average of the hardwoods",
    tension_across: "no strength across the grain in the tables for this wood: worked out from its specific gravity as 5.2 MPa (G/0.6)^1.3, fitted to the hardwoods",
    compression_across: "no compression across the grain in the tables for this wood: 7.1 MPa, the average of the hardwoods",
    basic_gravity: "no specific gravity in the tables for this wood: 0.52, the average of the hardwoods",
    ratio: "no such elastic ratio in the tables for this wood: the average of the hardwoods",
    ratio_and_modulus: "neither stiffness nor elastic ratio in the tables for this wood: the averages of the hardwoods",
    shear_rt: "no rolling shear modulus in the tables for this wood: 0.02 of the stiffness along the grain, by judgement",
    shear_rt_and_modulus: "neither stiffness nor rolling shear modulus in the tables for this wood: 0.02 of 11,100 MPa, the average of the hardwoods",
};

const SOFTWOOD_RULES: Rules = Rules {
    modulus: "no stiffness in the tables for this wood: 10,100 MPa, the average of the softwoods",
    bending_strength: "no bending strength in the tables for this wood: 73 MPa, the average of the softwoods",
    shear: "no shear strength in the tables for this wood: 8.1 MPa, the average of the softwoods",
    tension_across: "no strength across the grain in the tables for this wood: worked out from its specific gravity as 2.2 MPa G/0.4, fitted to the softwoods",
    compression_across: "no compression across the grain in the tables for this wood: 4.4 MPa, the average of the softwoods",
    basic_gravity: "no specific gravity in the tables for this wood: 0.40, the average of the softwoods",
    ratio: "no such elastic ratio in the tables for this wood: the average of the softwoods",
    ratio_and_modulus: "neither stiffness nor elastic ratio in the tables for this wood: the averages of the softwoods",
    shear_rt: "no rolling shear modulus in the tables for this wood: 0.0092 of the stiffness along the grain, the average of the softwoods",
    shear_rt_and_modulus: "neither stiffness nor rolling shear modulus in the tables for this wood: 0.0092 of 10,100 MPa, the averages of the softwoods",
};

pub(super) const DRY_GRAVITY_RULE: &str =
    "specific gravity at 12 % brought to the green volume by Eq. 4-11 of the Wood Handbook";
pub(super) const LONGITUDINAL_RULE: &str = "no shrinkage along the grain in the tables for this wood: 0.15 %, the middle of the 0.1 to 0.2 % of most woods (Wood Handbook ch. 4); juvenile and reaction wood shrink up to 2 %";
pub(super) const SATURATION_RULE: &str =
    "no fiber saturation point in the tables for this wood: 30 %, the average of the Wood Handbook";

/// Averages of the hardwoods or the softwoods in the built-in tables.
#[must_use]
pub const fn averages(group: Group) -> &'static GroupAverages {
    match group {
        Group::Hardwood => &HARDWOODS,
        Group::Softwood => &SOFTWOODS,
    }
}

pub(super) const fn rules(group: Group) -> &'static Rules {
    match group {
        Group::Hardwood => &HARDWOOD_RULES,
        Group::Softwood => &SOFTWOOD_RULES,
    }
}
