//! Openings: the space between parts in which a door, a drawer or a front sits.

use super::chain::ChainTerm;
use super::cuboid::Cuboid;
use super::space::{BoxFace, SpaceAxis};
use crate::units::Length;
use crate::units::notation::{NotationError, length, one_of};
use crate::units::spanned::ReadNotation;

/// How the front of what sits in an opening sits to the front of the piece.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub enum FrontPlace {
    /// In line with it.
    #[default]
    Flush,
    /// Set back from it.
    Short(Length),
    /// In front of it, over the edges of the opening.
    Overlay,
}

impl ReadNotation for FrontPlace {
    const WHAT: &'static str = "\"flush\", \"1/8in short\" or \"overlay\"";
    fn read(text: &str) -> Result<Self, NotationError> {
        if let Some(measure) = text.trim().strip_suffix("short") {
            return length(measure).map(Self::Short);
        }
        one_of(
            text,
            "a way a front sits",
            &[("flush", Self::Flush), ("overlay", Self::Overlay)],
        )
    }
}

/// Where the hinges of a door are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct HingeSide(pub BoxFace);

impl ReadNotation for HingeSide {
    const WHAT: &'static str = "\"left\", \"right\", \"bottom\" or \"top\"";
    fn read(text: &str) -> Result<Self, NotationError> {
        one_of(
            text,
            "a hinge side",
            &[
                ("left", Self(BoxFace::Left)),
                ("right", Self(BoxFace::Right)),
                ("bottom", Self(BoxFace::Bottom)),
                ("top", Self(BoxFace::Top)),
            ],
        )
    }
}

/// What sits in an opening.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Occupant {
    /// A part, by its body.
    Body(usize),
    /// A group, by its place among the groups.
    Group(usize),
}

/// What bounds an opening on one side.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Bound {
    /// The part or group.
    pub by: Occupant,
    /// Its name.
    pub name: String,
    /// The bodies that it is made of.
    pub bodies: Vec<usize>,
}

/// An opening with what sits in it.
#[derive(Debug, Clone, PartialEq)]
pub struct Opening {
    /// What sits in it.
    pub occupant: Occupant,
    /// Its name.
    pub name: String,
    /// The bodies that sit in it.
    pub bodies: Vec<usize>,
    /// What bounds it, by [`BoxFace`] of the opening.
    pub bounds: [Option<Bound>; 6],
    /// The opening on its bounded axes, the occupant on the others.
    pub space: Cuboid,
    /// The occupant as it sits in it.
    pub filled: Cuboid,
    /// Whether the occupant's size on an axis is given; where not, its fit is to say it.
    pub sized: [bool; 3],
    /// How its front sits.
    pub front: FrontPlace,
    /// Where its hinges are.
    pub hinge: Option<HingeSide>,
    /// For each axis bounded on both sides, the chain of parts from the low bound to the high one, whose sizes sum to the opening.
    pub chains: [Vec<ChainTerm>; 3],
}

impl Opening {
    /// Whether the opening is bounded on both sides of an axis.
    #[must_use]
    pub const fn is_bounded(&self, axis: SpaceAxis) -> bool {
        self.bounds[axis.low() as usize].is_some() && self.bounds[axis.high() as usize].is_some()
    }

    /// The clearance at a bounded face today; negative where the occupant reaches past the bound.
    #[must_use]
    pub fn clearance(&self, face: BoxFace) -> Option<Length> {
        self.bounds[face as usize].as_ref()?;
        let between = self.space.face(face) - self.filled.face(face);
        Some(if face.is_high() { between } else { -between }.length())
    }
}
