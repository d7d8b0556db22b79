//! The finish of a part: its kind, its coats, the faces that carry it and the day it is on.

use super::parts::take_count;
use crate::moisture::{Finish, UnknownFinish};
use crate::units::notation::{NotationError, Whole, one_of};
use crate::units::spanned::{Name, Problems, ReadNotation, Spanned};
use jiff::civil::Date;
#[cfg(feature = "job")]
use schemars::JsonSchema;
use serde::Deserialize;
use std::ops::Range;

/// Most coats of a finish.
const MOST_COATS: u64 = 20;

/// A finish.
#[derive(Debug, Clone, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields)]
pub(super) struct FinishKeys {
    /// Its kind, such as "urethane varnish".
    kind: Spanned<Name>,
    /// How many coats; one when not given, or the fewest that are known.
    coats: Option<Spanned<Whole>>,
    /// Which faces carry it, "both", "outside" (or "show"), "inside", "bark" or "heart"; both when not given.
    faces: Option<Spanned<FinishedFaces>>,
    /// The day it is on; the day of gluing up unless given. The wood is bare before.
    on: Option<Spanned<Date>>,
}

/// Which faces of a part carry its finish.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum FinishedFaces {
    /// Both.
    #[default]
    Both,
    /// The bark-side face alone.
    Bark,
    /// The heart-side face alone.
    Heart,
    /// The face that shows alone, taken as the bark-side face.
    Outside,
    /// The face that does not show alone, taken as the heart-side face.
    Inside,
}

impl FinishedFaces {
    /// Whether the heart-side face carries the finish, and whether the bark-side face does.
    #[must_use]
    pub const fn heart_and_bark(self) -> [bool; 2] {
        match self {
            Self::Both => [true, true],
            Self::Heart | Self::Inside => [true, false],
            Self::Bark | Self::Outside => [false, true],
        }
    }

    /// What is assumed where the word does not say on which side of the rings the face is.
    #[must_use]
    pub const fn assumed(self) -> Option<&'static str> {
        match self {
            Self::Outside => Some(
                "the outside is taken as the bark-side face; write faces = \"heart\" where the heart side shows",
            ),
            Self::Inside => Some(
                "the inside is taken as the heart-side face; write faces = \"bark\" where the heart side shows",
            ),
            Self::Both | Self::Bark | Self::Heart => None,
        }
    }
}

impl ReadNotation for FinishedFaces {
    const WHAT: &'static str = "\"both\", \"outside\", \"inside\", \"bark\" or \"heart\"";
    fn read(text: &str) -> Result<Self, NotationError> {
        one_of(
            text,
            "a choice of faces",
            &[
                ("both", Self::Both),
                ("bark", Self::Bark),
                ("heart", Self::Heart),
                ("outside", Self::Outside),
                ("show", Self::Outside),
                ("inside", Self::Inside),
            ],
        )
    }
}

/// The finish of a part.
#[derive(Debug, Clone, PartialEq)]
pub struct PartFinish {
    /// Its kind as given.
    pub kind: String,
    /// Where the file tells the kind.
    pub span: Range<usize>,
    /// How many coats, where they are given.
    pub coats: Option<u32>,
    /// The finish that is meant.
    pub finish: Finish,
    /// Which faces carry it.
    pub faces: FinishedFaces,
    /// The day it is on; none: the day of gluing up.
    pub on: Option<Date>,
}

impl FinishKeys {
    pub(super) fn read(&self, problems: &mut Problems) -> Option<PartFinish> {
        let kind = problems.take(&self.kind);
        let coats = match &self.coats {
            None => Some(None),
            Some(given) => take_count(Some(given), MOST_COATS, 1, problems).map(Some),
        };
        let faces = problems.take_optional(self.faces.as_ref());
        let on = problems.take_optional(self.on.as_ref());
        let (kind, coats) = (kind?.0, coats?);
        let found = match coats {
            Some(coats) => Finish::find(&kind, coats),
            None => Finish::thinnest(&kind),
        };
        let finish = match found {
            Ok(finish) => finish,
            Err(unknown) => {
                let at = match (&unknown, &self.coats) {
                    (UnknownFinish::Coats { .. }, Some(given)) => given.span(),
                    _ => self.kind.span(),
                };
                problems.push(at, unknown.message(), unknown.remedy());
                return None;
            }
        };
        Some(PartFinish {
            kind,
            span: self.kind.span(),
            coats,
            finish,
            faces: faces?.unwrap_or_default(),
            on: on?,
        })
    }
}
