//! What a joint at a support can hold.

use crate::chance::Verdict;
use crate::units::{Force, Length, Stress};

/// What keeps a panel on its support when it pulls away.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum JointHold {
    /// A glued area, pulled apart square to the grain.
    Glue {
        /// Length of the glue line.
        length: Length,
        /// Width of the glue line.
        width: Length,
        /// Strength across the grain of the weaker wood; sound glue is stronger.
        strength: Stress,
    },
    /// Wood screws drawn out of side grain.
    Screws {
        /// How many.
        count: u32,
        /// Diameter of the shank.
        diameter: Length,
        /// Length of thread in the wood that holds the point.
        threaded: Length,
        /// Specific gravity of that wood, at about 12 % moisture content.
        gravity: f64,
    },
}

/// What one joint is asked to hold.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct JointLoad {
    /// The pull on the joint; 0 when the panel is pressed onto its support.
    pub pull: Force,
    /// The pull that breaks it in a short test.
    pub breaks_at: Force,
    /// `pull / breaks_at`.
    pub share: f64,
    /// The judgement of it.
    pub verdict: Verdict,
}

/// Share of the breaking pull up to which a joint holds for good (judgement:
/// pull across the grain varies by a quarter and lasts for months).
pub const HOLDS_UP_TO: f64 = 1.0 / 3.0;
/// Share of the breaking pull above which it must be made again (judgement).
pub const FAILS_ABOVE: f64 = 2.0 / 3.0;

impl JointHold {
    /// The pull that breaks the joint in a short test.
    ///
    /// Glue: area times strength across the grain. Screws: `108.25 G^2 D L`
    /// newtons each, D and L in mm (Wood Handbook, chapter on fastenings; from
    /// memory).
    #[must_use]
    pub fn breaks_at(self) -> Force {
        Force::computed_newtons(match self {
            Self::Glue {
                length,
                width,
                strength,
            } => length.mm() * width.mm() * strength.mpa(),
            Self::Screws {
                count,
                diameter,
                threaded,
                gravity,
            } => f64::from(count) * 108.25 * gravity * gravity * diameter.mm() * threaded.mm(),
        })
    }

    /// Judges a pull (a negative one presses and asks nothing of the joint).
    #[must_use]
    pub fn under(self, pull: Force) -> JointLoad {
        let pull = pull.max(Force::ZERO);
        let breaks_at = self.breaks_at();
        let share = if pull.newtons() == 0.0 {
            0.0
        } else {
            pull / breaks_at
        };
        JointLoad {
            pull,
            breaks_at,
            verdict: Verdict::of_demand(share, HOLDS_UP_TO, FAILS_ABOVE),
            share,
        }
    }
}
