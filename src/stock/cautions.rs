//! What can hurt someone, as data.

use super::drying::ACCEPTANCE_MICROSTRAIN;
use super::locked_in::LockedIn;
use super::plan::Slice;
use crate::chance::in_hundred;
use crate::units::{Chance, Length};

/// A caution to print before anything else.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Caution {
    /// The kerf closes behind the blade.
    PinchesBlade {
        /// Chance that the stock is casehardened and closes the kerf before the cut is through, percent.
        chance_percent: f64,
    },
    /// Part of any answer about resawing.
    Dust,
}

/// Chance from which a pinch is cautioned against, percent: as likely as not.
const PINCH_FROM_PERCENT: f64 = 50.0;

impl Caution {
    /// The words to print.
    #[must_use]
    pub fn words(&self) -> String {
        match self {
            Self::PinchesBlade { chance_percent } => format!(
                "Caution: this stock is likely to close on the blade as it is resawn (chance {}): casehardened halves pinch the blade and can kick back. Cross-cut to length first, use a riving knife or wedge the kerf open behind the blade, feed slowly, stop when the kerf closes, and never stand in line with the piece.",
                in_hundred(Chance::computed_percent(*chance_percent))
            ),
            Self::Dust => "Resawing makes much fine dust: use extraction and a mask, and follow the saw maker's instructions.".to_owned(),
        }
    }
}

/// The caution against a pinch, when the forecast says so: at some cut the stock is as likely as not more
/// casehardened than what passes as conditioned ([`ACCEPTANCE_MICROSTRAIN`]), and its two sides, free to bend
/// off the saw, would close the kerf before the cut is through. `slices` from the bark face down.
#[must_use]
pub fn pinch(
    along: &LockedIn,
    board: usize,
    slices: &[Slice],
    length: Length,
    kerf: Length,
) -> Option<Caution> {
    let chance = slices
        .windows(2)
        .map(|pair| {
            let closing = along.closing(board, &pair[0], &pair[1], length);
            let accepted = 1e-6 * ACCEPTANCE_MICROSTRAIN * closing_of(&pair[0], &pair[1], length);
            1.0 - closing.chance_below(kerf.mm().max(accepted))
        })
        .fold(0.0, f64::max);
    let chance_percent = 100.0 * chance;
    (chance_percent >= PINCH_FROM_PERCENT).then_some(Caution::PinchesBlade { chance_percent })
}

/// How far the free ends beside a cut close for each unit of `a`, mm: `(L^2/2) (kappa_1 - kappa_2)`.
fn closing_of(upper: &Slice, lower: &Slice, length: Length) -> f64 {
    length.mm() * length.mm() / 2.0 * (upper.bend_of_locked_in() - lower.bend_of_locked_in())
}
