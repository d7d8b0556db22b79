//! What can be wrong with a board, a plan or a test strip.

use crate::units::{Length, RangeError};
use std::fmt;

/// Why there is no answer.
#[derive(Debug, Clone, PartialEq)]
pub enum StockError {
    /// A plan of no leaves.
    NoLeaves,
    /// The leaves and the kerfs need more than the board has.
    BoardTooThin {
        /// Thickness of the board.
        thickness: Length,
        /// Leaves asked for.
        leaves: usize,
        /// Wood lost to each cut.
        kerf: Length,
        /// Planed off both faces together.
        planed: Length,
        /// Left between the planed faces.
        room: Length,
    },
    /// A strip without any reading.
    StripNotRead,
    /// A strip so thin that its kerf leaves nothing.
    StripTooThin {
        /// Thickness of the strip.
        thickness: Length,
        /// Wood lost to the cut.
        kerf: Length,
    },
    /// A strip planed down from less than its own thickness.
    StripPlanedUp {
        /// Thickness of the strip.
        thickness: Length,
        /// Thickness it was given to have been planed from.
        from: Length,
    },
    /// A strip too short or too small for its length.
    StripLength {
        /// As given.
        length: Length,
    },
    /// A reading of a leaf the plan does not have.
    NoSuchLeaf {
        /// As given, from 1.
        leaf: usize,
        /// How many there are.
        leaves: usize,
    },
    /// A size or a property outside the range table.
    Range(RangeError),
    /// A strain reading so large that the piece would be a ring.
    GapTooWide {
        /// As given.
        gap: Length,
        /// Length of the piece.
        length: Length,
    },
}

impl fmt::Display for StockError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoLeaves => write!(
                f,
                "the plan asks for no leaf; say how many leaves, or their thicknesses from the bark face"
            ),
            Self::BoardTooThin {
                thickness,
                leaves,
                kerf,
                planed,
                room,
            } => write!(
                f,
                "{leaves} leaves do not come out of {:.1} mm: after {:.1} mm of planing, {:.1} mm are left, and each cut takes {:.1} mm; ask for fewer or thinner leaves, or use a thinner blade",
                thickness.mm(),
                planed.mm(),
                room.mm(),
                kerf.mm()
            ),
            Self::StripNotRead => write!(
                f,
                "the test strip has no reading; put its halves back together and give the gap, or give the bow of each half"
            ),
            Self::StripTooThin { thickness, kerf } => write!(
                f,
                "a kerf of {:.1} mm leaves nothing of a strip {:.1} mm thick; check both",
                kerf.mm(),
                thickness.mm()
            ),
            Self::StripPlanedUp { thickness, from } => write!(
                f,
                "a strip {:.1} mm thick cannot have been planed from {:.1} mm; give the thickness it had when it was dried",
                thickness.mm(),
                from.mm()
            ),
            Self::StripLength { length } => write!(
                f,
                "a test strip of {:.1} mm tells nothing; use one of some 600 mm, or a third of the board",
                length.mm()
            ),
            Self::NoSuchLeaf { leaf, leaves } => write!(
                f,
                "leaf {leaf} was measured and the plan has {leaves}; leaves are numbered from 1 at the bark face"
            ),
            Self::Range(error) => write!(f, "{error}; check the size of the leaf and the wood"),
            Self::GapTooWide { gap, length } => write!(
                f,
                "a reading of {:.1} mm over {:.1} mm is no shallow arc; check both, and their units",
                gap.mm(),
                length.mm()
            ),
        }
    }
}

impl std::error::Error for StockError {}
