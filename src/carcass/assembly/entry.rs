//! Along which directions a joint lets its piece enter.

use crate::piece::{BoxFace, SpaceAxis};

/// How a piece may enter what it is joined to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Entry {
    /// Square to the face only: a tenon, dowels, floating tenons, an edge joint.
    Square,
    /// Square to the face only, in a housing along this axis that is stopped at both of its ends.
    Stopped(SpaceAxis),
    /// Square to the face, or along the housing from either end: a dado or groove that runs through.
    Through(SpaceAxis),
    /// Square to the face, or along the housing from the one end at which it is open.
    OpenAt(BoxFace),
    /// Along itself only: a sliding dovetail.
    Along(SpaceAxis),
    /// Along itself from the one end at which it is open.
    AlongFrom(BoxFace),
    /// One direction, whatever the face: tails that drop into their pins.
    Toward(BoxFace),
    /// Any way that nothing stands in: a butt joint, a screwed one, a hinge.
    Free,
}

impl Entry {
    /// Whether the piece may enter moving toward `toward`; `face` is the side of the piece that meets the other.
    #[must_use]
    pub fn allows(self, face: BoxFace, toward: BoxFace) -> bool {
        match self {
            Self::Square | Self::Stopped(_) => toward == face,
            Self::Through(axis) => toward == face || toward.axis() == axis,
            // Through the open end the piece moves away from it.
            Self::OpenAt(end) => toward == face || toward == end.opposite(),
            Self::Along(axis) => toward.axis() == axis,
            Self::AlongFrom(end) => toward == end.opposite(),
            Self::Toward(only) => toward == only,
            Self::Free => true,
        }
    }

    /// Whether what the piece sweeps through is checked against the other's box as well: a joint without reach lets nothing through.
    pub(super) const fn is_solid(self) -> bool {
        matches!(self, Self::Free)
    }
}
