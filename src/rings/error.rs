//! Why a photo cannot be read for its rings.

use super::photo::{MAX_PIXELS, MAX_SIDE_PX, MIN_BOARD_PX};
use crate::units::{Length, RangeError};
use std::fmt;

/// A photo, its corners or the board's size that cannot be worked with. The words say what to do after a `;`.
#[derive(Debug, Clone, PartialEq)]
pub enum RingsPhotoError {
    /// No picture, or one that is too large.
    Size {
        /// Pixels across.
        width: usize,
        /// Pixels down.
        height: usize,
    },
    /// A width or thickness outside the range for photos.
    Range(RangeError),
    /// A width that is no board's at this thickness.
    Slenderness {
        /// Across the face.
        width: Length,
        /// Face to face.
        thickness: Length,
    },
    /// Corners that are no board's end.
    Corners(CornersFault),
    /// The end in the photo is too thin for a single window at any scale.
    TooThin,
    /// The end is of one tone: nothing to see on it.
    Blank,
}

/// What is wrong with four corners.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum CornersFault {
    /// A number is infinite or none.
    NotFinite,
    /// They go round the other way: a mirror image.
    Counterclockwise,
    /// They cross, turn inward, or three are on a line.
    NotConvex,
    /// They are off the photo.
    Outside,
    /// The faces between them are too short.
    Small {
        /// The shorter face in pixels.
        pixels: f64,
    },
}

impl fmt::Display for RingsPhotoError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Size { width, height } => write!(
                f,
                "the photo is {width} by {height} pixels, and at most {MAX_SIDE_PX} a side and {} million in all can be read; save it smaller",
                MAX_PIXELS / 1_000_000
            ),
            Self::Range(error) => write!(f, "{error}; give the size of the board's end itself"),
            Self::Slenderness { width, thickness } => write!(
                f,
                "a width of {:.1} mm at a thickness of {:.1} mm is no board's end that can be read, its width is 1 to 20 times its thickness; give both sizes of the board itself",
                width.mm(),
                thickness.mm()
            ),
            Self::Corners(fault) => fault.fmt(f),
            Self::TooThin => f.write_str(
                "the end is too few pixels high to see rings on it; go nearer until the board fills the photo",
            ),
            Self::Blank => f.write_str(
                "the end is of one tone from edge to edge; light it from one side and focus on the end grain",
            ),
        }
    }
}

impl fmt::Display for CornersFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotFinite => f.write_str("a corner is no number; give eight numbers, in pixels"),
            Self::Counterclockwise => f.write_str(
                "the corners go round counterclockwise; give them as top left, top right, bottom right, bottom left",
            ),
            Self::NotConvex => f.write_str(
                "the corners are no board's end, two edges cross or three corners are on one line; give them as top left, top right, bottom right, bottom left",
            ),
            Self::Outside => f.write_str(
                "a corner is outside the photo; the whole end of the board must be in the photo",
            ),
            Self::Small { pixels } => write!(
                f,
                "the board is {pixels:.0} pixels wide in the photo, and its rings need {MIN_BOARD_PX:.0} or more; go nearer until the board fills the photo"
            ),
        }
    }
}

impl std::error::Error for RingsPhotoError {}
