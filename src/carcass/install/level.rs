//! A base level on a floor that is not.

use crate::units::{Bounds, Length, Refusal};
use serde::Serialize;

/// A floor under a base, by the drops a level shows. A drop is how much lower
/// the floor lies there than at the front left corner; negative where it is higher.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FloorDrops {
    /// Length of the base, left to right.
    pub length: Length,
    /// Depth of the base, front to back.
    pub depth: Length,
    /// Drop toward the right.
    pub right: Length,
    /// Drop toward the back.
    pub back: Length,
    /// How far to the right it was measured; over the length of the base unless given.
    pub right_over: Option<Length>,
    /// How far to the back it was measured; over the depth unless given.
    pub back_over: Option<Length>,
    /// Drop at the back right corner, where it was measured; the floor is taken as a plane otherwise.
    pub far: Option<Length>,
}

/// A corner of the base.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub enum Corner {
    /// Front left.
    #[serde(rename = "front left")]
    FrontLeft,
    /// Front right.
    #[serde(rename = "front right")]
    FrontRight,
    /// Back left.
    #[serde(rename = "back left")]
    BackLeft,
    /// Back right.
    #[serde(rename = "back right")]
    BackRight,
}

impl Corner {
    /// The corners in the order of every answer.
    pub const ALL: [Self; 4] = [
        Self::FrontLeft,
        Self::FrontRight,
        Self::BackLeft,
        Self::BackRight,
    ];

    /// What a maker calls it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::FrontLeft => "front left",
            Self::FrontRight => "front right",
            Self::BackLeft => "back left",
            Self::BackRight => "back right",
        }
    }
}

/// What to do at one corner: shim, or scribe, not both.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct CornerLevel {
    /// The corner.
    pub corner: Corner,
    /// Thickness of the shim under it.
    pub shim: Length,
    /// What the scribe line takes off the foot there; straight between two corners.
    pub scribe: Length,
}

/// A levelled base.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Levelled {
    /// The corners in the order of [`Corner::ALL`].
    pub corners: [CornerLevel; 4],
    /// How much higher the floor stands at the back right than a plane through the
    /// other corners: what a rigid base would rock.
    pub twist: Length,
}

/// Shim at each corner, or what to scribe off, so that the base stands level
/// on the highest corner (scribed: sits on the lowest).
///
/// # Errors
/// [`Refusal`] for a size outside the table.
pub fn level(floor: &FloorDrops) -> Result<Levelled, Refusal> {
    let length = floor.length.within(Bounds::BOARD_LENGTH)?;
    let depth = floor.depth.within(Bounds::BOARD_LENGTH)?;
    let over = |drop: Length, size: Length, measured: Option<Length>| {
        let measured = measured.unwrap_or(size).within(Bounds::BOARD_LENGTH)?;
        Ok::<Length, Refusal>(drop * (size / measured))
    };
    let right = over(floor.right, length, floor.right_over)?;
    let back = over(floor.back, depth, floor.back_over)?;
    let far = floor.far.unwrap_or(right + back);
    let drops = [Length::ZERO, right, back, far];
    let min = drops.into_iter().fold(drops[0], Length::min);
    let most = drops.into_iter().fold(drops[0], Length::max);
    let corner = |index: usize| CornerLevel {
        corner: Corner::ALL[index],
        shim: drops[index] - min,
        scribe: most - drops[index],
    };
    Ok(Levelled {
        corners: [corner(0), corner(1), corner(2), corner(3)],
        twist: right + back - far,
    })
}
