//! The gaps to leave at the walls on both sides.

use crate::units::Length;
use serde::Serialize;

/// What is around a piece.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub enum SiteKind {
    /// Nothing.
    #[serde(rename = "free")]
    Free,
    /// A wall behind it.
    #[serde(rename = "one wall")]
    OneWall,
    /// A wall behind it and one at its side.
    #[serde(rename = "two walls")]
    TwoWalls,
    /// A wall behind it and one at either side.
    #[serde(rename = "niche")]
    Niche,
}

impl SiteKind {
    /// The word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Free => "free",
            Self::OneWall => "one wall",
            Self::TwoWalls => "two walls",
            Self::Niche => "niche",
        }
    }
}

/// Gap to leave at a wall behind a piece that grows so much from front to back by the wettest time: all of it, whichever way it goes.
#[must_use]
pub fn gap_behind(growth: Length, min: Length) -> Length {
    min + growth.max(Length::ZERO)
}

/// Which side of a piece is fastened, so that it grows away from it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum HeldSide {
    /// The left one.
    Left,
    /// The right one.
    Right,
    /// Neither, or the middle: it grows to both.
    #[default]
    Middle,
}

/// A piece between two walls.
#[derive(Debug, Clone, PartialEq)]
pub struct Recess {
    /// Widths from wall to wall, measured at several heights and depths.
    pub widths: Vec<Length>,
    /// Width of the piece today.
    pub piece: Length,
    /// How much wider it gets by the wettest time.
    pub growth: Length,
    /// The side it is fastened at.
    pub held: HeldSide,
    /// Minimum gap wanted at either wall at the wettest.
    pub min: Length,
}

/// Minimum gap at a wall, where none is given: 3 mm (judgement).
pub const WALL_GAP_MM: f64 = 3.0;

/// The gaps to leave today.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct WallGaps {
    /// At the left wall.
    pub left: Length,
    /// At the right wall.
    pub right: Length,
    /// How much room is left over beyond what must be; negative: the piece is too wide by so much.
    pub spare: Length,
    /// How much the walls are out of parallel: what a scribe strip must take up.
    pub out_of_parallel: Length,
}

/// Gap to leave at each wall so that the piece never touches; what is spare is halved.
///
/// `None` when no width was measured.
#[must_use]
pub fn wall_gaps(recess: &Recess) -> Option<WallGaps> {
    let narrowest = recess.widths.iter().copied().reduce(Length::min)?;
    let widest = recess.widths.iter().copied().reduce(Length::max)?;
    let growth = recess.growth.max(Length::ZERO);
    let (left_share, right_share) = match recess.held {
        HeldSide::Left => (0.0, 1.0),
        HeldSide::Right => (1.0, 0.0),
        HeldSide::Middle => (0.5, 0.5),
    };
    let left = recess.min + growth * left_share;
    let right = recess.min + growth * right_share;
    let spare = narrowest - recess.piece - left - right;
    Some(WallGaps {
        left: left + spare / 2.0,
        right: right + spare / 2.0,
        spare,
        out_of_parallel: widest - narrowest,
    })
}
