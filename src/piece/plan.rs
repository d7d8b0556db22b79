//! What is given about where the parts of a piece are, before it is resolved.

use super::opening::{FrontPlace, HingeSide};
use super::orientation::Orientation;
use super::place::{CentrePlace, Place};
use super::space::{BoxFace, SpaceAxis};
use crate::units::Length;
use std::ops::Range;

/// A value with its place in the file.
#[derive(Debug, Clone, PartialEq)]
pub struct At<T> {
    /// The value.
    pub value: T,
    /// Bytes of the file.
    pub span: Range<usize>,
}

/// A size given for a part, with its place in the file.
pub type Size = At<Length>;

/// The faces and middles that are placed.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Places {
    /// By [`BoxFace`], in the order of [`BoxFace::ALL`].
    pub faces: [Option<At<Place>>; 6],
    /// By [`SpaceAxis`].
    pub centres: [Option<At<CentrePlace>>; 3],
}

impl Places {
    /// Whether nothing is placed.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.faces.iter().all(Option::is_none) && self.centres.iter().all(Option::is_none)
    }

    /// The place of a face.
    #[must_use]
    pub const fn face(&self, face: BoxFace) -> Option<&At<Place>> {
        self.faces[face as usize].as_ref()
    }

    /// The place of a middle.
    #[must_use]
    pub const fn centre(&self, axis: SpaceAxis) -> Option<&At<CentrePlace>> {
        self.centres[axis as usize].as_ref()
    }

    /// These places with another's in front of them, key by key.
    #[must_use]
    pub fn overridden_by(&self, other: &Self) -> Self {
        let mut merged = other.clone();
        for (place, own) in merged.faces.iter_mut().zip(&self.faces) {
            *place = place.take().or_else(|| own.clone());
        }
        for (place, own) in merged.centres.iter_mut().zip(&self.centres) {
            *place = place.take().or_else(|| own.clone());
        }
        merged
    }
}

/// What bounds the opening in which a part or a group sits.
#[derive(Debug, Clone, PartialEq)]
pub struct OpeningPlan {
    /// The parts that bound it, by [`BoxFace`] of the opening; none at the front.
    pub bounds: [Option<At<String>>; 6],
    /// How its front sits to the front of the piece.
    pub front: FrontPlace,
    /// Where the hinges are.
    pub hinge: Option<HingeSide>,
    /// Bytes of the file.
    pub span: Range<usize>,
}

/// One part, or several alike.
#[derive(Debug, Clone, PartialEq)]
pub struct PartPlan {
    /// Its name, unique in the piece.
    pub name: String,
    /// Bytes of the file.
    pub span: Range<usize>,
    /// How it is turned.
    pub orientation: Orientation,
    /// Its length, width and thickness where they are given.
    pub sizes: [Option<Size>; 3],
    /// Its places.
    pub places: Places,
    /// The opening it sits in.
    pub opening: Option<OpeningPlan>,
    /// Its copies, each with its own name; empty for a part made once.
    pub copies: Vec<CopyPlan>,
    /// The group it belongs to.
    pub group: Option<At<String>>,
    /// Its thickness at the low and at the high end of its length, where it was flattened and they differ.
    pub thickness_from_to: Option<[Length; 2]>,
}

/// One of several alike.
#[derive(Debug, Clone, PartialEq)]
pub struct CopyPlan {
    /// Its name, unique in the piece.
    pub name: String,
    /// Bytes of the file.
    pub span: Range<usize>,
    /// Its places, in front of those of its part.
    pub places: Places,
    /// Its opening, instead of that of its part.
    pub opening: Option<OpeningPlan>,
    /// The face where its bark side is, instead of that of its part.
    pub bark: Option<BoxFace>,
    /// The end from which its rings were read, instead of that of its part.
    pub rings_from: Option<BoxFace>,
}

/// Several parts that make one body, such as a door.
#[derive(Debug, Clone, PartialEq)]
pub struct GroupPlan {
    /// Its name, unique in the piece.
    pub name: String,
    /// Bytes of the file.
    pub span: Range<usize>,
    /// Its places.
    pub places: Places,
    /// The opening it sits in.
    pub opening: Option<OpeningPlan>,
    /// Its copies.
    pub copies: Vec<CopyPlan>,
}

impl PartPlan {
    /// Whether anything says where it is.
    #[must_use]
    pub fn is_placed(&self) -> bool {
        !self.places.is_empty()
            || self.opening.is_some()
            || self
                .copies
                .iter()
                .any(|copy| !copy.places.is_empty() || copy.opening.is_some())
    }
}
