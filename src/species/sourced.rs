//! A figure with where it comes from, and a figure that a rule filled in.

use serde::{Deserialize, Serialize};
use std::fmt;
use std::sync::Arc;

/// How a figure came to be in a table.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Status {
    /// Read in the source named beside it.
    Seen,
    /// Recalled from the source named beside it, not read again.
    Memory,
    /// Worked out from figures of the source named beside it.
    Derived,
    /// A stated choice, such as a proxy where no figure was published.
    Judgement,
    /// Measured by the maker.
    Measured,
    /// Given in a maker's own table that does not say how it came there.
    Given,
}

impl Status {
    /// The word written in a table and in machine output.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Seen => "seen",
            Self::Memory => "memory",
            Self::Derived => "derived",
            Self::Judgement => "judgement",
            Self::Measured => "measured",
            Self::Given => "given",
        }
    }
}

impl fmt::Display for Status {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Seen => "read there",
            Self::Memory => "from memory",
            Self::Derived => "worked out from it",
            Self::Judgement => "by judgement",
            Self::Measured => "measured",
            Self::Given => "as given",
        })
    }
}

/// A figure from a table, with where it comes from.
#[derive(Debug, Clone, PartialEq)]
pub struct Sourced {
    /// The figure, in the unit its field names.
    pub value: f64,
    /// The publication and table, or what a maker's own table says.
    pub source: Arc<str>,
    /// Whether it was read, recalled, worked out or measured.
    pub status: Status,
}

impl Sourced {
    /// A figure with its source.
    #[must_use]
    pub fn new(value: f64, source: &Arc<str>, status: Status) -> Self {
        Self {
            value,
            source: Arc::clone(source),
            status,
        }
    }
}

/// A figure that is always there: from a table, or filled in by a stated rule.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Resolved {
    /// The figure, in the unit the getter names.
    pub value: f64,
    /// The rule that filled the gap; `None` when a table holds the figure.
    pub rule: Option<&'static str>,
}

impl Resolved {
    /// The table's figure, or else the one a rule gives.
    #[must_use]
    pub fn of(table: Option<&Sourced>, otherwise: f64, rule: &'static str) -> Self {
        table.map_or(
            Self {
                value: otherwise,
                rule: Some(rule),
            },
            |sourced| Self {
                value: sourced.value,
                rule: None,
            },
        )
    }
}
