//! Will wood that is held across its grain split? Two published criteria, which disagree, and both count.
//!
//! **Stress.** What drying asks of wood that is held is `sigma = r E e`: `E` its stiffness across the grain at its
//! ring angle, `e` the strain that is held back, `r` what slow drying leaves of the stress after a season
//! ([`RELAXED_LEFT`], 0.35 to 0.7, uniform: judgement around the published halving). It splits where that exceeds the
//! tension strength across the grain of the wood's table (small clear specimens at 12 %, Wood Handbook Tables 5-3a and
//! 5-5), times [`NOTCH_GAIN`], 1.0 to 1.6, uniform: the standard's notched specimen breaks early (judgement; measured
//! spruce without a notch, 6.2 MPa radially and 4.8 tangentially where the table has 2.7, is the witness). Strength
//! varies by 25 % between boards (Wood Handbook Table 5-6, tension) and goes half with stiffness
//! ([`STRENGTH_WITH_STIFFNESS`], judgement). Neither the gain of strength nor that of stiffness below 12 % is counted: the
//! same spruce is no stronger when dried. There is no size effect: the greater volume of a panel and the notch of the
//! specimen pull against one another (judgement).
//!
//! **Strain.** Wood held across its grain ruptures from a total strain of 0.009 at 35 to 65 % relative humidity (*The
//! Structural Conservation of Panel Paintings*, Getty Conservation Institute, 1998), its spread 25 %. "From" is taken as
//! the middle. A total strain has its yielding in it: nothing is relaxed.
//!
//! Either is taken with even chance, and the answer says what each alone would give. Quartersawn white oak shows how far
//! they are apart: stiff and strained little, it splits by stress and holds by strain.

use super::part::Axis;
use super::shear_lag::{Ply, mean_over};
use crate::chance::normal_chance_tabled;
use crate::movement::Section;
use crate::species::Species;
use crate::units::{Chance, Strain, Stress};
use std::sync::LazyLock;

/// What relaxation leaves of a stress across the grain after a season, from and to, uniform: judgement around the published halving.
pub const RELAXED_LEFT: (f64, f64) = (0.35, 0.7);
/// The middle of [`RELAXED_LEFT`].
pub const RELAXED_SHARE: f64 = 0.5 * (RELAXED_LEFT.0 + RELAXED_LEFT.1);
/// Strength of wood in a board over that of the notched specimen of the tables, from and to, uniform: judgement.
pub const NOTCH_GAIN: (f64, f64) = (1.0, 1.6);
/// Strain across the grain at which wood ruptures, middle of its spread.
pub const RUPTURE_STRAIN: f64 = 0.009;
/// Strain across the grain at which wood yields.
pub const YIELD_STRAIN: f64 = 0.004;
/// Coefficient of variation of strength across the grain.
pub const STRENGTH_COV: f64 = 0.25;
/// Correlation of strength across the grain with stiffness, between boards of one wood: judgement.
pub const STRENGTH_WITH_STIFFNESS: f64 = 0.5;

/// A part across its grain: what it is stressed by and what it bears.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Across {
    /// Stiffness along the glued line.
    pub modulus: Stress,
    /// Tension strength across the grain, of the table's small clear specimen.
    pub strength: Stress,
}

impl Across {
    /// A part across its grain with its ply, at the moisture of its driest day; `None` where its grain runs along the line.
    ///
    /// Where a source keeps the strength square to the rings `R` and along them `T` apart, it is that of the ring angle,
    /// `R T/(R c^2 + T s^2)` with `c`, `s` of the angle between the line and the rings (Hankinson's formula, from memory), as the mean over
    /// the section.
    #[must_use]
    pub fn of(
        wood: &Species,
        axis: Axis,
        ply: &Ply,
        section: &Section,
        driest_percent: f64,
    ) -> Option<Self> {
        let at_angle = match wood.tension_apart_mpa() {
            None => 1.0,
            Some([radial, tangential]) => {
                let turned = if axis == Axis::Thickness { 90.0 } else { 0.0 };
                let strength = mean_over(section, |angle| {
                    let (s, c) = libm::sincos((angle - turned).to_radians());
                    radial * tangential / (radial * c * c + tangential * s * s)
                });
                strength / wood.tension_across_mpa().value
            }
        };
        let figure = wood.tension_across_at_mpa(driest_percent).value;
        (axis != Axis::Length).then(|| Self {
            modulus: ply.modulus,
            strength: Stress::computed_mpa(at_angle * figure),
        })
    }
}

/// How strength and stiffness spread between boards of one wood.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SplitSpread {
    /// Standard deviation of the logarithm of strength across the grain.
    pub strength_log: f64,
    /// Standard deviation of the logarithm of stiffness.
    pub stiffness_log: f64,
    /// Standard deviation of the logarithm of the strain itself where the boards are not known: 0 in a draw, which has one.
    pub demand_log: f64,
}

impl SplitSpread {
    /// Boards of a job's spreads: of a coefficient of variation of strength across the grain.
    #[must_use]
    pub fn new(strength_cov: f64, stiffness_log: f64) -> Self {
        Self {
            strength_log: libm::log(1.0 + strength_cov * strength_cov).sqrt(),
            stiffness_log,
            demand_log: 0.0,
        }
    }

    /// Of boards whose stiffness and shrinkage no draw has fixed: for an answer at the middle alone.
    #[must_use]
    pub fn of_unknown_boards(self, shrinkage_cov: f64) -> Self {
        // Of a board stiffer by `z` spreads the stress is as much higher and the strength half as much.
        let stiffer = self.stiffness_log - STRENGTH_WITH_STIFFNESS * self.strength_log;
        Self {
            demand_log: libm::hypot(stiffer, shrinkage_cov),
            ..self
        }
    }
}

/// Chance that wood splits, by either criterion alone, 0 to 1.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SplitChance {
    /// By stress against strength.
    pub by_stress: f64,
    /// By total strain.
    pub by_strain: f64,
}

impl SplitChance {
    /// Nothing splits.
    pub const NONE: Self = Self {
        by_stress: 0.0,
        by_strain: 0.0,
    };

    /// Both with even chance.
    #[must_use]
    pub const fn chance(self) -> Chance {
        Chance::computed_percent(50.0 * (self.by_stress + self.by_strain))
    }

    /// That either of two parts splits.
    #[must_use]
    pub const fn or(self, other: Self) -> Self {
        Self {
            by_stress: 1.0 - (1.0 - self.by_stress) * (1.0 - other.by_stress),
            by_strain: 1.0 - (1.0 - self.by_strain) * (1.0 - other.by_strain),
        }
    }

    /// Chance of splitting of a part held at a strain (positive: stretched), for a board stiffer by a factor than the
    /// middle of its wood; its strength is averaged over its spread.
    #[must_use]
    pub fn of(part: &Across, held: Strain, stiffer: f64, spread: &SplitSpread) -> Self {
        let strain = held.ratio();
        if strain <= 0.0 {
            return Self::NONE;
        }
        let strength_log = spread.strength_log;
        // A stiffer board is stressed as much more, and is stronger by a power of that.
        let (power, left) = if spread.stiffness_log > 0.0 {
            (
                STRENGTH_WITH_STIFFNESS * strength_log / spread.stiffness_log,
                (1.0 - STRENGTH_WITH_STIFFNESS * STRENGTH_WITH_STIFFNESS).sqrt(),
            )
        } else {
            (0.0, 1.0)
        };
        // A strength that is known for sure is a spread of next to nothing.
        let both = |log: f64| {
            (log * log + spread.demand_log * spread.demand_log)
                .sqrt()
                .max(1e-6)
        };
        let (by_stress_log, by_strain_log) = (both(strength_log * left), both(strength_log));
        let demand = libm::log(part.modulus.mpa() * strain / part.strength.mpa())
            + (1.0 - power) * libm::log(stiffer);
        let (per_log, nodes) = (1.0 / by_stress_log, &*RELAXED_OVER_NOTCH);
        let at =
            |(weight, log): &(f64, f64)| weight * normal_chance_tabled((demand + log) * per_log);
        // What is far from splitting at the worst node is so at all.
        let by_stress = if at(&nodes[WORST_NODE]) <= 0.0 {
            0.0
        } else {
            nodes.iter().map(at).sum()
        };
        Self {
            by_stress,
            by_strain: normal_chance_tabled(libm::log(strain / RUPTURE_STRAIN) / by_strain_log),
        }
    }
}

/// The node of [`RELAXED_OVER_NOTCH`] at which most stress is left and the notch gains least.
const WORST_NODE: usize = 12;

/// The two uniform factors of the stress criterion as nodes: weight and logarithm of what relaxation leaves over the gain
/// of an unnotched board, by Gauss's rule of four points in each.
static RELAXED_OVER_NOTCH: LazyLock<[(f64, f64); 16]> = LazyLock::new(|| {
    const GAUSS: [(f64, f64); 4] = [
        (0.173_927_422_568_727, -0.861_136_311_594_053),
        (0.326_072_577_431_273, -0.339_981_043_584_856),
        (0.326_072_577_431_273, 0.339_981_043_584_856),
        (0.173_927_422_568_727, 0.861_136_311_594_053),
    ];
    let at = |(from, to): (f64, f64), node: f64| 0.5 * (from + to) + 0.5 * (to - from) * node;
    std::array::from_fn(|index| {
        let ((weight_r, r), (weight_u, u)) = (GAUSS[index / 4], GAUSS[index % 4]);
        (
            weight_r * weight_u,
            libm::log(at(RELAXED_LEFT, r)) - libm::log(at(NOTCH_GAIN, u)),
        )
    })
});

#[cfg(test)]
mod tests {
    use super::{RELAXED_OVER_NOTCH, WORST_NODE};

    #[test]
    fn no_node_is_worse_than_the_worst() {
        let worst = RELAXED_OVER_NOTCH[WORST_NODE].1;
        assert!(RELAXED_OVER_NOTCH.iter().all(|(_, log)| *log <= worst));
    }
}
