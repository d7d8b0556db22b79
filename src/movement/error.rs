//! What can be wrong with the rings a maker tells.

use crate::units::{Length, RangeError};
use std::fmt;

/// Why a telling of the rings is no ring.
#[derive(Debug, Clone, PartialEq)]
pub enum RingsError {
    /// The chord of the arc is zero or negative.
    ChordNotPositive {
        /// As given.
        chord: Length,
    },
    /// The arc does not rise toward the bark.
    RiseNotPositive {
        /// As given.
        rise: Length,
    },
    /// The arc rises more than a half circle does.
    RiseBeyondHalfCircle {
        /// As given.
        rise: Length,
        /// As given.
        chord: Length,
    },
    /// The ring's radius is out of range.
    Radius(RangeError),
    /// Fewer than two ring angles.
    TooFewAngles {
        /// How many were given.
        given: usize,
    },
    /// A ring angle at a place that is not on the board.
    PlaceOffBoard {
        /// As given.
        at: Length,
        /// Half the width of the board.
        half_width: Length,
    },
    /// All ring angles at one place.
    PlacesCoincide {
        /// The place.
        at: Length,
    },
    /// The pith would lie beyond the face that should be the bark side.
    PithAboveBarkFace {
        /// Depth below the heart-side face, negative here.
        depth: Length,
    },
    /// The pith would lie farther away than any tree is thick.
    PithTooFar {
        /// Depth below the heart-side face.
        depth: Length,
        /// From the centre line.
        offset: Length,
    },
}

impl fmt::Display for RingsError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::ChordNotPositive { chord } => write!(
                f,
                "the ring's chord is {:.1} mm; measure the straight line between two points of one ring and give it as a positive length",
                chord.mm()
            ),
            Self::RiseNotPositive { rise } => write!(
                f,
                "the ring rises {:.1} mm over its chord; rings arch toward the bark, so turn the section bark side up and measure again, or say `flat` when the ring is straight",
                rise.mm()
            ),
            Self::RiseBeyondHalfCircle { rise, chord } => write!(
                f,
                "a rise of {:.1} mm over a chord of {:.1} mm is more than half a circle; check that rise and chord are not swapped, or give the depth of the pith",
                rise.mm(),
                chord.mm()
            ),
            Self::Radius(error) => write!(
                f,
                "{error}; measure the rise over a longer chord, or say `flat` for rings that look straight"
            ),
            Self::TooFewAngles { given } => write!(
                f,
                "{given} ring angle was given and two places are needed to find the pith; measure a second place, or say `flat`, `rift` or `quarter`"
            ),
            Self::PlaceOffBoard { at, half_width } => write!(
                f,
                "a ring angle is given at {:.1} mm, off the board; places run from the centre line, {:.1} mm to either side",
                at.mm(),
                half_width.mm()
            ),
            Self::PlacesCoincide { at } => write!(
                f,
                "all ring angles are given at {:.1} mm; measure at places well apart along the width",
                at.mm()
            ),
            Self::PithAboveBarkFace { depth } => write!(
                f,
                "this puts the pith {:.1} mm above the heart-side face, beyond the bark-side face; turn the section bark side up, and count angles positive where the ring rises to the right",
                -depth.mm()
            ),
            Self::PithTooFar { depth, offset } => write!(
                f,
                "this puts the pith {:.0} mm below and {:.0} mm beside the board; say `flat`, `rift` or `quarter` for rings that look straight",
                depth.mm(),
                offset.mm()
            ),
        }
    }
}

impl std::error::Error for RingsError {}
