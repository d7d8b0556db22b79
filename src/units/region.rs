//! Where a maker works: what its yards call a wood, and which words its shops use.

use super::notation::{NotationError, one_of};
use super::spanned::ReadNotation;
use std::fmt;

/// The region that decides what a yard's name means.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Region {
    /// North America.
    #[default]
    UnitedStates,
    /// Britain and Ireland.
    UnitedKingdom,
    /// The continent of Europe.
    Europe,
    /// Australia and New Zealand.
    Australia,
}

impl Region {
    /// Every region.
    pub const ALL: [Self; 4] = [
        Self::UnitedStates,
        Self::UnitedKingdom,
        Self::Europe,
        Self::Australia,
    ];

    /// The word in job files and tables.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::UnitedStates => "US",
            Self::UnitedKingdom => "UK",
            Self::Europe => "EU",
            Self::Australia => "AU",
        }
    }
}

impl fmt::Display for Region {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}

impl ReadNotation for Region {
    const WHAT: &'static str = "\"US\", \"UK\", \"EU\" or \"AU\"";
    fn read(text: &str) -> Result<Self, NotationError> {
        let words = Self::ALL.map(|region| (region.word(), region));
        one_of(text, "a region", &words)
    }
}
