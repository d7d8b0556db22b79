//! How a part is turned: where its grain runs and where its broad faces look.

use super::space::{BoxFace, SpaceAxis};
use crate::units::notation::{NotationError, one_of};
use crate::units::spanned::ReadNotation;

/// Along which axis of the piece a part's grain runs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Grain {
    /// From left to right.
    #[default]
    Across,
    /// From the floor up.
    Up,
    /// From front to back.
    Back,
}

impl Grain {
    /// The axis of the piece.
    #[must_use]
    pub const fn axis(self) -> SpaceAxis {
        match self {
            Self::Across => SpaceAxis::X,
            Self::Up => SpaceAxis::Z,
            Self::Back => SpaceAxis::Y,
        }
    }
}

impl ReadNotation for Grain {
    const WHAT: &'static str = "\"across\", \"up\" or \"back\"";
    fn read(text: &str) -> Result<Self, NotationError> {
        one_of(
            text,
            "a direction of the grain",
            &[
                ("across", Self::Across),
                ("up", Self::Up),
                ("back", Self::Back),
            ],
        )
    }
}

/// Where a part's broad faces look.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Lies {
    /// Up and down.
    Flat,
    /// To the front and to the back.
    Facing,
    /// To the left and to the right.
    Sideways,
}

impl Lies {
    /// The axis of the piece along which the thickness runs.
    #[must_use]
    pub const fn axis(self) -> SpaceAxis {
        match self {
            Self::Flat => SpaceAxis::Z,
            Self::Facing => SpaceAxis::Y,
            Self::Sideways => SpaceAxis::X,
        }
    }

    /// The key's word.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Flat => "flat",
            Self::Facing => "facing",
            Self::Sideways => "sideways",
        }
    }
}

impl ReadNotation for Lies {
    const WHAT: &'static str = "\"flat\", \"facing\" or \"sideways\"";
    fn read(text: &str) -> Result<Self, NotationError> {
        one_of(
            text,
            "a way a part may lie",
            &[
                ("flat", Self::Flat),
                ("facing", Self::Facing),
                ("sideways", Self::Sideways),
                ("upright", Self::Sideways),
            ],
        )
    }
}

/// A face named in a job file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct FaceName(pub BoxFace);

impl ReadNotation for FaceName {
    const WHAT: &'static str = "\"left\", \"right\", \"front\", \"back\", \"bottom\" or \"top\"";
    fn read(text: &str) -> Result<Self, NotationError> {
        one_of(
            text,
            "a face",
            &BoxFace::ALL.map(|face| (face.word(), Self(face))),
        )
    }
}

/// Which axis of the piece each axis of a part runs along.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Orientation {
    length: SpaceAxis,
    thickness: SpaceAxis,
}

impl Orientation {
    /// The part whose grain runs along one axis and whose thickness runs along another; `None` when both are the same.
    #[must_use]
    pub fn new(length: SpaceAxis, thickness: SpaceAxis) -> Option<Self> {
        (length != thickness).then_some(Self { length, thickness })
    }

    /// What is usual for a grain direction when nothing else is said: uprights look sideways, the others lie flat.
    #[must_use]
    pub const fn usual(grain: Grain) -> Self {
        let thickness = match grain {
            Grain::Up => SpaceAxis::X,
            Grain::Across | Grain::Back => SpaceAxis::Z,
        };
        Self {
            length: grain.axis(),
            thickness,
        }
    }

    /// The axis of the piece along the grain.
    #[must_use]
    pub const fn length(self) -> SpaceAxis {
        self.length
    }

    /// The axis of the piece from face to face.
    #[must_use]
    pub const fn thickness(self) -> SpaceAxis {
        self.thickness
    }

    /// The axis of the piece across the face.
    #[must_use]
    pub const fn width(self) -> SpaceAxis {
        match (self.length, self.thickness) {
            (SpaceAxis::X, SpaceAxis::Y) | (SpaceAxis::Y, SpaceAxis::X) => SpaceAxis::Z,
            (SpaceAxis::X, _) | (_, SpaceAxis::X) => SpaceAxis::Y,
            _ => SpaceAxis::X,
        }
    }

    /// Values by length, width and thickness put into the order of x, y, z.
    #[must_use]
    pub fn in_space<T: Clone>(self, length: T, width: T, thickness: T) -> [T; 3] {
        SpaceAxis::ALL.map(|axis| {
            if axis == self.length {
                length.clone()
            } else if axis == self.thickness {
                thickness.clone()
            } else {
                width.clone()
            }
        })
    }
}
