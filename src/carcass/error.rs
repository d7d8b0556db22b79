//! What can be wrong with a carcass question, in a maker's words.

use crate::units::{Length, RangeError};
use std::fmt;

/// Why the room cannot answer.
#[derive(Debug, Clone, PartialEq)]
pub enum CarcassError {
    /// A value outside the table of allowed ranges.
    Range(RangeError),
    /// Two supports stand at the same place.
    Coincident {
        /// Place of the one.
        first: Length,
        /// Place of the other.
        second: Length,
    },
    /// A support, divider or load lies off the part.
    OffThePart {
        /// What lies off: `support`, `divider`, `load`.
        what: &'static str,
        /// Where it was put.
        at: Length,
        /// The length of the part.
        length: Length,
    },
    /// Too few supports, or supports that only push away: the part can still move.
    NotHeld,
    /// A divider names a part that is not there, or joins a part to itself.
    UnknownPartner {
        /// The number given.
        index: usize,
        /// How many parts there are.
        parts: usize,
    },
    /// No room for so many dividers at the minimum spacing.
    NoRoom {
        /// How many dividers were asked for.
        dividers: usize,
        /// The minimum spacing asked for.
        spacing: Length,
    },
    /// A load that ends before it begins.
    EmptyLoad {
        /// Where it begins.
        from: Length,
        /// Where it ends.
        to: Length,
    },
    /// No size within the table of ranges meets the allowed sag.
    SagOutOfReach {
        /// What was looked for: `span` or `thickness`.
        what: &'static str,
    },
    /// The equations could not be settled in the precision at hand.
    Unsettled,
}

impl fmt::Display for CarcassError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Range(error) => write!(f, "{error}; give a size inside that range"),
            Self::Coincident { first, second } => write!(
                f,
                "supports at {:.1} mm and {:.1} mm stand at one place; give one support there, or set them at least 1 mm apart",
                first.mm(),
                second.mm()
            ),
            Self::OffThePart { what, at, length } => write!(
                f,
                "the {what} at {:.1} mm is off the part, which runs from 0 to {:.1} mm; measure from its reference end",
                at.mm(),
                length.mm()
            ),
            Self::NotHeld => f.write_str(
                "nothing holds the part: it needs supports at two places that do not all push the same way; add a support or let one hold both ways",
            ),
            Self::UnknownPartner { index, parts } => write!(
                f,
                "a divider names part number {index}, but it must join two different ones of the {parts} given; count from 0"
            ),
            Self::NoRoom { dividers, spacing } => write!(
                f,
                "{dividers} dividers do not fit with {:.1} mm between them; ask for fewer or for a smaller spacing",
                spacing.mm()
            ),
            Self::EmptyLoad { from, to } => write!(
                f,
                "a load from {:.1} mm to {:.1} mm covers nothing; let it end after it begins",
                from.mm(),
                to.mm()
            ),
            Self::SagOutOfReach { what } => write!(
                f,
                "no {what} within the allowed range keeps to that sag; allow more sag, lighten the load or add a support"
            ),
            Self::Unsettled => f.write_str(
                "the forces could not be settled; check for sizes that differ by many orders of magnitude",
            ),
        }
    }
}

impl std::error::Error for CarcassError {}

impl From<RangeError> for CarcassError {
    fn from(error: RangeError) -> Self {
        Self::Range(error)
    }
}
