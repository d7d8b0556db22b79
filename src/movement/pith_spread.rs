//! Where the pith may be, where that is known as a spread rather than as one place.

use super::Rings;
use crate::units::Length;

/// Piths that may be the true one, from the nearest to the farthest, each with how much it counts. Depth and offset of one
/// pith belong together: a pith that is deeper is farther to its side too.
#[derive(Debug, Clone, PartialEq)]
pub struct PithSpread {
    /// Rings, and the share of all that is at or before them.
    piths: Vec<(Rings, f64)>,
}

impl PithSpread {
    /// A spread over piths with their weights; `None` when none of them counts.
    #[must_use]
    pub fn new(mut piths: Vec<(Rings, f64)>) -> Option<Self> {
        piths.retain(|(_, weight)| *weight > 0.0);
        // Straight rings are those of a pith infinitely deep.
        let depth = |rings: &Rings| match rings {
            Rings::Pith { depth, .. } => depth.mm(),
            Rings::Straight { .. } => f64::INFINITY,
        };
        piths.sort_by(|one, other| depth(&one.0).total_cmp(&depth(&other.0)));
        let all: f64 = piths.iter().map(|(_, weight)| weight).sum();
        let mut sum = 0.0;
        for (_, share) in &mut piths {
            sum += *share;
            *share = sum / all;
        }
        (!piths.is_empty() && all.is_finite()).then_some(Self { piths })
    }

    /// A spread of rings with the share of all that is at or before each, as [`Self::shares`] gives them; `None` when they are none.
    #[must_use]
    pub fn of_shares(piths: Vec<(Rings, f64)>) -> Option<Self> {
        let rising = piths.is_sorted_by(|one, other| one.1 <= other.1);
        let whole = piths.first()?.1 > 0.0 && (piths.last()?.1 - 1.0).abs() < 1e-9;
        (rising && whole).then_some(Self { piths })
    }

    /// Its rings from the nearest pith to the farthest, each with the share of all that is at or before it.
    #[must_use]
    pub fn shares(&self) -> &[(Rings, f64)] {
        &self.piths
    }

    /// The rings that a share of all, 0 to 1, is at or before.
    #[must_use]
    pub fn at(&self, share: f64) -> Rings {
        let place = self.piths.partition_point(|(_, up_to)| *up_to < share);
        self.piths[place.min(self.piths.len() - 1)].0
    }

    /// Standard deviation of the logarithm of the depth over its 90 % band; `None` where an end of it is not below the heart face.
    #[must_use]
    pub fn depth_log(&self) -> Option<f64> {
        let depth = |share| match self.at(share) {
            Rings::Pith { depth, .. } if depth > Length::ZERO => Some(depth.mm()),
            _ => None,
        };
        Some(libm::log(depth(0.95)? / depth(0.05)?) / (2.0 * crate::chance::NINE_IN_TEN))
    }
}
