//! What can be wrong with an installation, in a maker's words.

use crate::units::{Length, RangeError};
use std::fmt;

/// Why an installation cannot be answered.
#[derive(Debug, Clone, PartialEq)]
pub enum InstallError {
    /// A value outside the table of allowed ranges.
    Range(RangeError),
    /// The strains of driest, present and wettest day are not in order.
    SeasonsOutOfOrder,
    /// A screw lies off the part.
    OffThePart {
        /// Where it was put.
        at: Length,
        /// The width of the part.
        width: Length,
    },
    /// A day past the end of the calendar.
    NoSuchDay,
}

impl fmt::Display for InstallError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Range(error) => write!(f, "{error}; give a size inside that range"),
            Self::SeasonsOutOfOrder => f.write_str(
                "the part is wetter or drier today than in any season given; take today into the year",
            ),
            Self::OffThePart { at, width } => write!(
                f,
                "a screw at {:.1} mm is off the part, which is {:.1} mm wide; measure from its front edge",
                at.mm(),
                width.mm()
            ),
            Self::NoSuchDay => {
                f.write_str("the day is past the end of the calendar; check the date of delivery")
            }
        }
    }
}

impl std::error::Error for InstallError {}

impl From<RangeError> for InstallError {
    fn from(error: RangeError) -> Self {
        Self::Range(error)
    }
}
