//! A question of the page: a job file's text, what is to change in it, and what is wanted of the answer.

use super::edits::Edit;
use crate::job::{Beginning, BeginningKind};
use crate::units::UnitSystem;
use crate::units::notation::{NotationError, length};
use crate::units::spanned::ReadNotation;
use jiff::civil::Date;
use serde::Deserialize;
use std::collections::BTreeMap;

/// A question: a job file's text, changes to make in it first, and what is wanted.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Question {
    /// The job file's text.
    pub text: String,
    /// The file's name, for pictures of errors.
    #[serde(default)]
    pub name: String,
    /// Instead of the text: a piece to begin with.
    #[serde(default)]
    pub beginning: Option<BeginningAsked>,
    /// Changes to make in the text before anything else.
    #[serde(default)]
    pub edits: Vec<Edit>,
    /// Ids of dropped files by the names under which the job speaks of them.
    #[serde(default)]
    pub files: BTreeMap<String, String>,
    /// How many draws; as many as the job asks for unless given.
    #[serde(default)]
    pub draws: Option<u32>,
    /// Which figures are wanted.
    #[serde(default)]
    pub figures: Wanted,
}

impl Question {
    /// How long its text and its changes are.
    #[cfg(feature = "serve")]
    pub(super) fn bytes(&self) -> usize {
        // A change is a line or so; more than a few are a text of their own.
        self.text.len() + 1_000 * self.edits.len()
    }
}

/// A piece to begin with, sizes as they are written.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BeginningAsked {
    /// What is made.
    pub kind: String,
    /// Left to right; usual for the kind unless given.
    #[serde(default)]
    pub width: Option<String>,
    /// Bottom to top.
    #[serde(default)]
    pub height: Option<String>,
    /// Front to back.
    #[serde(default)]
    pub depth: Option<String>,
    /// How many bays side by side.
    #[serde(default)]
    pub bays: Option<u32>,
    /// How many shelves in each bay.
    #[serde(default)]
    pub shelves: Option<u32>,
    /// Whether the job is in millimeters.
    #[serde(default)]
    pub metric: bool,
}

impl BeginningAsked {
    pub(super) fn text(&self, today: Date) -> Result<String, NotationError> {
        let size = |given: &Option<String>| given.as_deref().map(length).transpose();
        Beginning {
            kind: BeginningKind::read(&self.kind)?,
            width: size(&self.width)?,
            height: size(&self.height)?,
            depth: size(&self.depth)?,
            bays: self.bays,
            shelves: self.shelves,
            units: if self.metric {
                UnitSystem::Metric
            } else {
                UnitSystem::Inch
            },
            measured: today,
        }
        .text()
    }
}

/// Which figures are wanted.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(untagged)]
pub enum Wanted {
    /// Those with these ids; ids that are not known are passed over.
    Ids(Vec<String>),
    /// A word; `all` means every figure.
    Word(String),
}

impl Default for Wanted {
    fn default() -> Self {
        Self::Ids(Vec::new())
    }
}

impl Wanted {
    pub(super) fn wants(&self, id: &str) -> bool {
        match self {
            Self::Ids(ids) => ids.iter().any(|wanted| wanted == id),
            Self::Word(word) => word == "all",
        }
    }
}
