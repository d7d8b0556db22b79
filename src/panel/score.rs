//! What faults a layout has and what each counts when layouts are compared.

use crate::units::Length;

/// What a millimetre of each fault counts when layouts are compared:
/// `score = bow |bow| + cup |cup| + twist |twist| + seam (max seam misfit)`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Weights {
    /// Per millimetre of bow.
    pub bow: f64,
    /// Per millimetre of cup.
    pub cup: f64,
    /// Per millimetre of twist.
    pub twist: f64,
    /// Per millimetre of the maximum seam misfit.
    pub seam: f64,
}

impl Default for Weights {
    /// Bow, cup and twist alike: all stay in the panel. A seam's misfit a quarter: cauls close it, and what remains of it is
    /// stress (judgement).
    fn default() -> Self {
        Self {
            bow: 1.0,
            cup: 1.0,
            twist: 1.0,
            seam: 0.25,
        }
    }
}

impl Weights {
    /// The score, in weighted millimetres; less is better.
    #[must_use]
    pub fn score(&self, bow: Length, cup: Length, twist: Length, seam: Length) -> f64 {
        self.of(Faults {
            bow: bow.mm(),
            cup: cup.mm(),
            twist: twist.mm(),
            seam: seam.mm(),
        })
    }

    pub(super) fn of(&self, faults: Faults) -> f64 {
        self.bow * faults.bow.abs()
            + self.cup * faults.cup.abs()
            + self.twist * faults.twist.abs()
            + self.seam * faults.seam.abs()
    }
}

/// The faults of a layout, millimetres.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Faults {
    pub bow: f64,
    pub cup: f64,
    pub twist: f64,
    pub seam: f64,
}
