//! What can be wrong with a table of leaves, in words that name the place and the remedy.

use super::columns::{COLUMNS, USUAL_HEADER};
use std::fmt;

/// Everything wrong with a table of leaves, in the order of its rows.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LeavesError {
    pub(super) faults: Vec<LeavesFault>,
}

impl LeavesError {
    /// Every fault; at least one.
    #[must_use]
    pub fn faults(&self) -> &[LeavesFault] {
        &self.faults
    }
}

/// One thing wrong with a table of leaves.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum LeavesFault {
    /// No header row.
    Empty,
    /// A header but no leaf.
    NoLeaves,
    /// A column that every table needs is not there.
    ColumnMissing {
        /// Its name.
        column: &'static str,
    },
    /// A column nobody knows.
    ColumnUnknown {
        /// The header as written.
        header: String,
        /// The nearest known column.
        nearest: Option<&'static str>,
    },
    /// One column twice.
    ColumnTwice {
        /// Its name.
        column: &'static str,
    },
    /// A unit in the header of a column that holds no length.
    UnitOnWords {
        /// The header as written.
        header: String,
    },
    /// More cells than headers, or text that is no table.
    Row {
        /// Line of the text, the header being 1.
        row: u64,
        /// What is wrong.
        reason: String,
    },
    /// A cell that must be filled is empty.
    CellMissing {
        /// Line of the text.
        row: u64,
        /// The leaf's name, where the row has one.
        leaf: Option<String>,
        /// The column.
        column: &'static str,
    },
    /// A length without unit in cell or header.
    UnitMissing {
        /// Line of the text.
        row: u64,
        /// The leaf's name.
        leaf: String,
        /// The column.
        column: &'static str,
        /// The cell as written.
        cell: String,
    },
    /// A length with a unit under a header that tells one too.
    UnitTwice {
        /// Line of the text.
        row: u64,
        /// The leaf's name.
        leaf: String,
        /// The header as written.
        header: String,
        /// The cell as written.
        cell: String,
    },
    /// A cell that cannot be read or lies out of range.
    Cell {
        /// Line of the text.
        row: u64,
        /// The leaf's name.
        leaf: String,
        /// The column.
        column: &'static str,
        /// What is wrong.
        reason: String,
        /// What to write.
        remedy: String,
    },
    /// Two rows of one name.
    NameTwice {
        /// Line of the second.
        row: u64,
        /// The name.
        leaf: String,
    },
}

impl fmt::Display for LeavesFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let named = |leaf: &Option<String>| {
            leaf.as_ref()
                .map_or_else(String::new, |leaf| format!(", leaf `{leaf}`"))
        };
        match self {
            Self::Empty => write!(
                f,
                "the table is empty; write a header row `{USUAL_HEADER}` and a row for each leaf"
            ),
            Self::NoLeaves => f.write_str(
                "the table has a header but no leaf; write a row for each leaf below it",
            ),
            Self::ColumnMissing { column } => write!(
                f,
                "row 1: the column `{column}` is missing; the header needs `{USUAL_HEADER}`, the unit of lengths in the header or in each cell"
            ),
            Self::ColumnUnknown { header, nearest } => {
                write!(f, "row 1: `{header}` is no column known here; ")?;
                match nearest {
                    Some(nearest) => write!(f, "did you mean `{nearest}`? ")?,
                    None => f.write_str("take it out or rename it; ")?,
                }
                write!(
                    f,
                    "the columns are {}",
                    COLUMNS.map(|column| format!("`{column}`")).join(", ")
                )
            }
            Self::ColumnTwice { column } => write!(
                f,
                "row 1: the column `{column}` stands there twice; keep one"
            ),
            Self::UnitOnWords { header } => write!(
                f,
                "row 1: `{header}` holds words, no lengths; take its unit out"
            ),
            Self::Row { row, reason } => write!(f, "row {row}: {reason}"),
            Self::CellMissing { row, leaf, column } => match *column {
                "leaf" => write!(
                    f,
                    "row {row}, column `leaf`: the leaf has no name; write the one you marked on it"
                ),
                "bow" => write!(
                    f,
                    "row {row}{}, column `bow`: the bow is missing; lay a straightedge or a string along the leaf and write the gap at its middle, negative when the sawn face is round, `0 mm` when it is straight",
                    named(leaf)
                ),
                _ => write!(
                    f,
                    "row {row}{}, column `{column}`: the cell is empty; measure it and write it",
                    named(leaf)
                ),
            },
            Self::UnitMissing {
                row,
                leaf,
                column,
                cell,
            } => write!(
                f,
                "row {row}, leaf `{leaf}`, column `{column}`: `{cell}` has no unit; write it in the cell (`{cell} mm`) or for all rows in the header (`{column}_mm`, `{column}_in`)"
            ),
            Self::UnitTwice {
                row,
                leaf,
                header,
                cell,
            } => write!(
                f,
                "row {row}, leaf `{leaf}`: `{cell}` tells a unit and so does its header `{header}`; keep the unit in one of the two places"
            ),
            Self::Cell {
                row,
                leaf,
                column,
                reason,
                remedy,
            } => write!(
                f,
                "row {row}, leaf `{leaf}`, column `{column}`: {reason}; {remedy}"
            ),
            Self::NameTwice { row, leaf } => write!(
                f,
                "row {row}: the leaf `{leaf}` stands there a second time; give each leaf its own name"
            ),
        }
    }
}

impl fmt::Display for LeavesError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (i, fault) in self.faults.iter().enumerate() {
            if i > 0 {
                f.write_str("\n")?;
            }
            fault.fmt(f)?;
        }
        Ok(())
    }
}

impl std::error::Error for LeavesError {}
