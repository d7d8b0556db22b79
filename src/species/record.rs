//! The record of one wood.

use super::fallback::{DRY_GRAVITY_RULE, LONGITUDINAL_RULE, SATURATION_RULE, averages, rules};
use super::groups::Member;
use super::sheet::Sheet;
use super::sourced::{Resolved, Sourced};
use super::witness::Witness;
use serde::{Deserialize, Serialize};

/// Volumetric shrinkage over basic specific gravity, in Eq. 4-11 of the Wood Handbook.
const SWELLING_BY_GRAVITY: f64 = 0.265;

/// Broad-leaved or needle-leaved.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Group {
    /// Wood of a broad-leaved tree.
    Hardwood,
    /// Wood of a needle-leaved tree.
    Softwood,
}

/// Total shrinkage from green to oven-dry, percent of the green size.
#[derive(Debug, Clone, PartialEq)]
pub struct TotalShrinkage {
    /// Square to the rings.
    pub radial_percent: Sourced,
    /// Along the rings.
    pub tangential_percent: Sourced,
    /// Of the volume.
    pub volumetric_percent: Option<Sourced>,
    /// Along the grain.
    pub longitudinal_percent: Option<Sourced>,
}

/// Strength and stiffness of clear wood at one moisture content.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Mechanical {
    /// Modulus of elasticity in static bending, MPa.
    pub modulus_mpa: Option<Sourced>,
    /// Modulus of rupture in static bending, MPa.
    pub bending_strength_mpa: Option<Sourced>,
    /// Compression along the grain, MPa.
    pub compression_along_mpa: Option<Sourced>,
    /// Compression across the grain at the proportional limit, MPa.
    pub compression_across_mpa: Option<Sourced>,
    /// Shear along the grain, MPa.
    pub shear_mpa: Option<Sourced>,
    /// Tension across the grain, MPa.
    pub tension_across_mpa: Option<Sourced>,
    /// Side hardness, N.
    pub side_hardness_n: Option<Sourced>,
}

/// Stiffness across the grain and in shear over the stiffness along the grain.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct ElasticRatios {
    /// `E_T / E_L`.
    pub tangential: Option<Sourced>,
    /// `E_R / E_L`.
    pub radial: Option<Sourced>,
    /// `G_LR / E_L`.
    pub shear_lr: Option<Sourced>,
    /// `G_LT / E_L`.
    pub shear_lt: Option<Sourced>,
    /// `G_RT / E_L`, rolling shear.
    pub shear_rt: Option<Sourced>,
}

/// Poisson's ratios: first letter the direction of stress, second that of the strain.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct PoissonRatios {
    /// Stress along the grain, strain radial.
    pub lr: Option<Sourced>,
    /// Stress along the grain, strain tangential.
    pub lt: Option<Sourced>,
    /// Stress radial, strain tangential.
    pub rt: Option<Sourced>,
    /// Stress tangential, strain radial.
    pub tr: Option<Sourced>,
    /// Stress radial, strain along the grain.
    pub rl: Option<Sourced>,
    /// Stress tangential, strain along the grain.
    pub tl: Option<Sourced>,
}

/// Moisture content of the living tree, percent.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct GreenMoisture {
    /// Heartwood.
    pub heartwood_percent: Option<Sourced>,
    /// Sapwood.
    pub sapwood_percent: Option<Sourced>,
}

/// Stiffness across the grain as measured or worked out for the wood itself, and strength where its source keeps both ways apart, MPa.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct AcrossGrain {
    /// `E_R`.
    pub radial_mpa: Option<Sourced>,
    /// `E_T`.
    pub tangential_mpa: Option<Sourced>,
    /// Strength in tension square to the rings at 12 %.
    pub tension_radial_mpa: Option<Sourced>,
    /// Strength in tension along the rings at 12 %.
    pub tension_tangential_mpa: Option<Sourced>,
}

/// What a record stands for.
#[derive(Debug, Clone, PartialEq)]
pub enum Kind {
    /// One wood.
    Wood,
    /// A yard's name for several woods: their weighted mean.
    Group {
        /// The woods and their shares.
        members: Vec<Member>,
        /// Whether the name does not decide and the maker should be asked which wood it is.
        ask: bool,
    },
    /// A sheet: plywood, MDF and their kin.
    Sheet(Sheet),
}

/// Printed strain per 1 % moisture, based on the size at 10 %.
#[derive(Debug, Clone, PartialEq)]
pub struct ChangeCoefficients {
    /// Square to the rings.
    pub radial: Sourced,
    /// Along the rings.
    pub tangential: Sourced,
}

/// The record of one wood, joined from all tables.
///
/// Fields hold what the tables hold; `None` where they hold nothing. The
/// getters always answer, and say by which rule where a table does not.
#[derive(Debug, Clone, PartialEq)]
pub struct Species {
    /// Name as in the table, such as `Oak, white`.
    pub name: String,
    /// Latin name.
    pub latin: Option<String>,
    /// Hardwood or softwood.
    pub group: Group,
    /// One wood, a yard's group or a sheet.
    pub kind: Kind,
    /// Total shrinkage.
    pub shrinkage: TotalShrinkage,
    /// Moisture content at which shrinking starts, percent; it belongs to the shrinkage figures.
    pub fiber_saturation_percent: Option<Sourced>,
    /// What every publication says of the shrinkage, the one that is used first.
    pub witnesses: Vec<Witness>,
    /// Why the figures that are used win over others, where they need a reason.
    pub remark: Option<String>,
    /// How far sources or members of a group disagree, as coefficients of variation of the tangential and
    /// radial shrinkage, on top of the spread between boards.
    pub source_spread: [f64; 2],
    /// Printed coefficients of dimensional change, for comparison; movement is worked out from the shrinkage.
    pub change_coefficients: Option<ChangeCoefficients>,
    /// Oven-dry mass on green volume.
    pub basic_specific_gravity: Option<Sourced>,
    /// Oven-dry mass on the volume at 12 % moisture.
    pub dry_specific_gravity: Option<Sourced>,
    /// Strength and stiffness at 12 % moisture (15 % where the table says so).
    pub dry: Mechanical,
    /// Strength and stiffness of green wood.
    pub green: Mechanical,
    /// Stiffness across the grain at 12 %, where a table gives it directly.
    pub across: AcrossGrain,
    /// Elastic ratios at 12 %.
    pub elastic_ratios: ElasticRatios,
    /// Poisson's ratios at 12 %.
    pub poisson_ratios: PoissonRatios,
    /// Moisture content of the living tree.
    pub green_moisture: GreenMoisture,
    /// Moisture content above which strength no longer changes, percent.
    pub intersection_percent: Option<Sourced>,
}

/// Which table holds the two factors of a stiffness across the grain.
fn rule_of_both(modulus: Resolved, ratio: Resolved, both: &'static str) -> Option<&'static str> {
    match (modulus.rule, ratio.rule) {
        (Some(_), Some(_)) => Some(both),
        (modulus_rule, ratio_rule) => modulus_rule.or(ratio_rule),
    }
}

impl Species {
    /// Total radial shrinkage, percent.
    #[must_use]
    pub const fn radial_percent(&self) -> f64 {
        self.shrinkage.radial_percent.value
    }

    /// Total tangential shrinkage, percent.
    #[must_use]
    pub const fn tangential_percent(&self) -> f64 {
        self.shrinkage.tangential_percent.value
    }

    /// Total shrinkage along the grain, percent; without a figure 0.15, the
    /// middle of the 0.1 to 0.2 % of most woods (Wood Handbook ch. 4).
    #[must_use]
    pub fn longitudinal_percent(&self) -> Resolved {
        let table = self.shrinkage.longitudinal_percent.as_ref();
        Resolved::of(table, 0.15, LONGITUDINAL_RULE)
    }

    /// Moisture content at which shrinking starts, percent; 30 without a figure.
    #[must_use]
    pub fn fiber_saturation(&self) -> Resolved {
        Resolved::of(
            self.fiber_saturation_percent.as_ref(),
            30.0,
            SATURATION_RULE,
        )
    }

    /// Specific gravity at 12 % moisture `G_12`, oven-dry mass on the volume at 12 %, worked out from the basic one by Eq. 4-11 of
    /// the Wood Handbook, `G_12 = G_b / (1 - 0.265 G_b (1 - 12/F))`.
    #[must_use]
    pub fn gravity_at_12(&self) -> f64 {
        let basic = self.basic_gravity().value;
        basic / (1.0 - SWELLING_BY_GRAVITY * basic * self.below_saturation_at_12())
    }

    /// Density at a moisture content, kg/m3: the wood's own mass with its water on its volume at that moisture, `1000 G_M (1 + M/100)`
    /// with `G_M = G_b / (1 - 0.265 G_b (1 - M/F))` up to the fiber saturation point `F` and the basic gravity beyond it (Eq. 4-11 and 4-13 of the Wood Handbook).
    #[must_use]
    pub fn density_kg_per_m3(&self, moisture: crate::units::MoistureContent) -> f64 {
        let basic = self.basic_gravity().value;
        let below = (1.0 - moisture.percent() / self.fiber_saturation().value).max(0.0);
        let gravity = basic / (1.0 - SWELLING_BY_GRAVITY * basic * below);
        1000.0 * gravity * (1.0 + moisture.percent() / 100.0)
    }

    /// How far 12 % lies below the fiber saturation point, as a share of it.
    fn below_saturation_at_12(&self) -> f64 {
        1.0 - 12.0 / self.fiber_saturation().value
    }

    /// Basic specific gravity `G_b`: oven-dry mass on green volume.
    ///
    /// Where only the gravity at 12 % is known it follows from Eq. 4-11 of the
    /// Wood Handbook, `G_12 = G_b / (1 - 0.265 G_b (1 - 12/F))`, solved for `G_b`.
    #[must_use]
    pub fn basic_gravity(&self) -> Resolved {
        if let (None, Some(dry)) = (&self.basic_specific_gravity, &self.dry_specific_gravity) {
            let below = self.below_saturation_at_12();
            return Resolved {
                value: dry.value / (1.0 + SWELLING_BY_GRAVITY * dry.value * below),
                rule: Some(DRY_GRAVITY_RULE),
            };
        }
        Resolved::of(
            self.basic_specific_gravity.as_ref(),
            averages(self.group).basic_gravity,
            rules(self.group).basic_gravity,
        )
    }

    /// Stiffness along the grain `E_L` at 12 % moisture, MPa: the modulus of static bending as printed.
    #[must_use]
    pub fn modulus_mpa(&self) -> Resolved {
        Resolved::of(
            self.dry.modulus_mpa.as_ref(),
            averages(self.group).modulus_mpa,
            rules(self.group).modulus,
        )
    }

    fn part_of_modulus(&self, ratio: Resolved, both: &'static str) -> Resolved {
        let modulus = self.modulus_mpa();
        Resolved {
            value: modulus.value * ratio.value,
            rule: rule_of_both(modulus, ratio, both),
        }
    }

    fn part_by(&self, ratio: Option<&Sourced>, average: f64) -> Resolved {
        let rules = rules(self.group);
        self.part_of_modulus(
            Resolved::of(ratio, average, rules.ratio),
            rules.ratio_and_modulus,
        )
    }

    /// Stiffness across the grain along the rings `E_T`, MPa: `E_T/E_L` times `E_L`.
    #[must_use]
    pub fn modulus_across_mpa(&self) -> Resolved {
        if let (None, Some(own)) = (&self.elastic_ratios.tangential, &self.across.tangential_mpa) {
            return Resolved::of(Some(own), own.value, "");
        }
        self.part_by(
            self.elastic_ratios.tangential.as_ref(),
            averages(self.group).tangential_ratio,
        )
    }

    /// Stiffness across the grain square to the rings `E_R`, MPa.
    #[must_use]
    pub fn modulus_radial_mpa(&self) -> Resolved {
        if let (None, Some(own)) = (&self.elastic_ratios.radial, &self.across.radial_mpa) {
            return Resolved::of(Some(own), own.value, "");
        }
        self.part_by(
            self.elastic_ratios.radial.as_ref(),
            averages(self.group).radial_ratio,
        )
    }

    /// Shear modulus `G_LR` in the plane along the grain and square to the rings, MPa.
    #[must_use]
    pub fn shear_modulus_lr_mpa(&self) -> Resolved {
        self.part_by(
            self.elastic_ratios.shear_lr.as_ref(),
            averages(self.group).shear_lr_ratio,
        )
    }

    /// Shear modulus `G_LT` in the plane along the grain and along the rings, MPa.
    #[must_use]
    pub fn shear_modulus_lt_mpa(&self) -> Resolved {
        self.part_by(
            self.elastic_ratios.shear_lt.as_ref(),
            averages(self.group).shear_lt_ratio,
        )
    }

    /// Rolling shear modulus `G_RT` in the end-grain plane, MPa.
    #[must_use]
    pub fn shear_modulus_rt_mpa(&self) -> Resolved {
        let rules = rules(self.group);
        self.part_of_modulus(
            Resolved::of(
                self.elastic_ratios.shear_rt.as_ref(),
                averages(self.group).shear_rt_ratio,
                rules.shear_rt,
            ),
            rules.shear_rt_and_modulus,
        )
    }

    /// Bending strength (modulus of rupture) at 12 %, MPa.
    #[must_use]
    pub fn bending_strength_mpa(&self) -> Resolved {
        Resolved::of(
            self.dry.bending_strength_mpa.as_ref(),
            averages(self.group).bending_strength_mpa,
            rules(self.group).bending_strength,
        )
    }

    /// Shear strength along the grain at 12 %, MPa.
    #[must_use]
    pub fn shear_strength_mpa(&self) -> Resolved {
        Resolved::of(
            self.dry.shear_mpa.as_ref(),
            averages(self.group).shear_mpa,
            rules(self.group).shear,
        )
    }

    /// Strength in tension across the grain at 12 %, square to the rings and along them, MPa, where a source keeps both apart. No
    /// built-in table does.
    #[must_use]
    pub fn tension_apart_mpa(&self) -> Option<[f64; 2]> {
        let radial = self.across.tension_radial_mpa.as_ref()?;
        let tangential = self.across.tension_tangential_mpa.as_ref()?;
        Some([radial.value, tangential.value])
    }

    /// Strength in tension across the grain at 12 %, MPa: one figure, the mean of both ways where a source keeps them apart.
    #[must_use]
    pub fn tension_across_mpa(&self) -> Resolved {
        if let Some([radial, tangential]) = self.tension_apart_mpa() {
            return Resolved {
                value: f64::midpoint(radial, tangential),
                rule: None,
            };
        }
        let (mpa, gravity, exponent) = averages(self.group).tension_across;
        Resolved::of(
            self.dry.tension_across_mpa.as_ref(),
            mpa * libm::pow(self.gravity_at_12() / gravity, exponent),
            rules(self.group).tension_across,
        )
    }

    /// Stress at the proportional limit in compression across the grain at 12 %, MPa.
    #[must_use]
    pub fn compression_across_mpa(&self) -> Resolved {
        Resolved::of(
            self.dry.compression_across_mpa.as_ref(),
            averages(self.group).compression_across_mpa,
            rules(self.group).compression_across,
        )
    }
}
