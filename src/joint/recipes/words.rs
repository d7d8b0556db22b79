//! The words a recipe's keys may hold, with the trade's synonyms.

use crate::joint::Axis;
use crate::joint::plan::CutFace;
use crate::units::notation::{NotationError, one_of};
use crate::units::spanned::ReadNotation;

macro_rules! words {
    ($Type:ty, $noun:literal, $what:literal, { $($text:literal => $value:expr),+ $(,)? }) => {
        impl ReadNotation for $Type {
            const WHAT: &'static str = $what;
            fn read(text: &str) -> Result<Self, NotationError> {
                one_of(text, $noun, &[$(($text, $value)),+])
            }
        }
    };
}

/// A face of a part.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct FaceWord(pub CutFace);
words!(FaceWord, "a face", "\"inside\" or \"outside\"", {
    "inside" => FaceWord(CutFace::Inside), "in" => FaceWord(CutFace::Inside),
    "outside" => FaceWord(CutFace::Outside), "out" => FaceWord(CutFace::Outside),
    "edge" => FaceWord(CutFace::Edge),
    "end" => FaceWord(CutFace::End),
});

/// An axis of a part.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct AxisWord(pub Axis);
words!(AxisWord, "an axis", "\"width\", \"length\" or \"thickness\"", {
    "width" => AxisWord(Axis::Width),
    "length" => AxisWord(Axis::Length), "along the grain" => AxisWord(Axis::Length),
    "thickness" => AxisWord(Axis::Thickness),
});

/// Where a part is held.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum HeldWord {
    /// At its middle: both sides share the movement.
    Centre,
    /// At one edge: the other side shows all of it.
    Edge,
}
words!(HeldWord, "a way to hold it", "\"centre\" or \"edge\"", {
    "centre" => HeldWord::Centre, "center" => HeldWord::Centre, "middle" => HeldWord::Centre, "pin" => HeldWord::Centre,
    "edge" => HeldWord::Edge, "one edge" => HeldWord::Edge, "hinge" => HeldWord::Edge,
});

/// What is still to be cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CutWord {
    /// The opening: the groove.
    Opening,
    /// The part: the panel.
    Part,
}
words!(CutWord, "a cut", "\"groove\" or \"panel\"", {
    "groove" => CutWord::Opening, "opening" => CutWord::Opening,
    "panel" => CutWord::Part, "part" => CutWord::Part,
});

/// What is meant to be done with a bond.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DesignWord {
    /// Glue the whole line.
    Glue,
    /// Glue the middle.
    Middle,
    /// Let it float.
    Float,
}
words!(DesignWord, "a design", "\"glue\", \"glue the middle\" or \"float\"", {
    "glue" => DesignWord::Glue, "glued" => DesignWord::Glue,
    "glue the middle" => DesignWord::Middle, "middle" => DesignWord::Middle, "glue_middle" => DesignWord::Middle,
    "float" => DesignWord::Float, "floating" => DesignWord::Float, "slots" => DesignWord::Float,
});

/// An end of a piece that slides in a channel.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum EndWord {
    /// The end that shows.
    Front,
    /// The end toward the wall.
    Back,
}
words!(EndWord, "an end", "\"front\" or \"back\"", {
    "front" => EndWord::Front, "show side" => EndWord::Front,
    "back" => EndWord::Back, "rear" => EndWord::Back,
});

impl EndWord {
    /// What a maker calls it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Front => "front",
            Self::Back => "back",
        }
    }

    /// The other end.
    #[must_use]
    pub const fn other(self) -> Self {
        match self {
            Self::Front => Self::Back,
            Self::Back => Self::Front,
        }
    }
}
