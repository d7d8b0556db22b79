//! Why a logger's file could not be read.

use super::DateOrder;
use super::table::MOST_COLUMNS;
use crate::units::Refusal;
use crate::units::notation::listed;
use std::fmt;

const EXPORT_CSV: &str = "export the readings as CSV";

/// Why a logger's file could not be read, and what the maker can do.
#[derive(Debug, Clone, PartialEq)]
pub enum LoggerError {
    /// The file holds nothing.
    Empty,
    /// The bytes are no text.
    NotText {
        /// What they seem to be.
        seems: &'static str,
    },
    /// No separator makes columns of the lines.
    NotATable {
        /// The first line.
        first_line: String,
    },
    /// A line has more cells than any logger writes.
    TooManyColumns {
        /// The line.
        line: u64,
        /// Its cells.
        cells: usize,
    },
    /// No column holds dates.
    NoTimes {
        /// The first lines, as columns.
        headers: Vec<String>,
    },
    /// There are times of day but no dates.
    NoDates {
        /// The column with the times of day.
        header: String,
    },
    /// No column holds what is needed.
    NoColumn {
        /// `temperature` or `humidity`.
        what: &'static str,
        /// The columns that are there.
        headers: Vec<String>,
    },
    /// Several sensors could be meant.
    SeveralSensors {
        /// `temperature` or `humidity`.
        what: &'static str,
        /// Their columns.
        headers: Vec<String>,
    },
    /// A column asked for is not there.
    NoSuchColumn {
        /// What was asked for.
        asked: String,
        /// The columns that are there.
        headers: Vec<String>,
    },
    /// A column asked for does not say what it holds.
    UnknownKind {
        /// The column.
        header: String,
    },
    /// Rows hold more fields than the header: decimal commas between commas.
    DecimalCommas {
        /// Line of the file.
        line: u64,
        /// Columns of the header.
        header_fields: usize,
        /// Fields of the row.
        row_fields: usize,
    },
    /// Day and month cannot be distinguished.
    AmbiguousDates {
        /// Line of the file.
        line: u64,
        /// A date that reads both ways.
        example: String,
    },
    /// Some dates can only be day first, others only month first.
    MixedDateOrder {
        /// A date that is day first.
        day_first: (u64, String),
        /// A date that is month first.
        month_first: (u64, String),
    },
    /// A date is impossible in the order given.
    OrderContradicted {
        /// The order given.
        given: DateOrder,
        /// Line of the file.
        line: u64,
        /// The date.
        example: String,
    },
    /// No unit is given and the values are no room's or weather's in degrees Celsius.
    UnitUnknown {
        /// The column.
        header: String,
        /// Mean of the readings.
        mean: f64,
    },
    /// Too few rows are left.
    TooFewRows {
        /// Rows that could be used.
        used: usize,
        /// Rows read.
        read: usize,
        /// What was dropped, as `3 empty_cell, 2 not_a_number`.
        dropped: String,
    },
    /// The readings span less than a day.
    TooShort {
        /// Hours from first to last.
        hours: f64,
    },
}

fn list(names: &[String]) -> String {
    listed(names.iter().map(|name| format!("`{}`", short(name))))
}

/// The beginning of a header, which may be as long as the file.
fn short(header: &str) -> &str {
    let end = header
        .char_indices()
        .nth(60)
        .map_or(header.len(), |(at, _)| at);
    &header[..end]
}

impl LoggerError {
    /// The same in words.
    #[must_use]
    pub fn refusal(&self) -> Refusal {
        let (what, remedy) = match self {
            Self::Empty => (
                "the file is empty".to_owned(),
                "export the logger's readings again".to_owned(),
            ),
            Self::NotText { seems } => (
                format!("the file is no text but seems to be {seems}"),
                EXPORT_CSV.to_owned(),
            ),
            Self::NotATable { first_line } => (
                format!(
                    "no commas, semicolons or tabs make columns of the lines (the first is `{first_line}`)"
                ),
                EXPORT_CSV.to_owned(),
            ),
            Self::TooManyColumns { line, cells } => (
                format!(
                    "line {line} has {cells} cells, and a logger's table has {MOST_COLUMNS} columns at most"
                ),
                format!("{EXPORT_CSV}, one line for each time"),
            ),
            Self::NoTimes { headers } => (
                format!("no column holds dates (columns: {})", list(headers)),
                "export the readings with their date and time".to_owned(),
            ),
            Self::NoDates { header } => (
                format!(
                    "column `{}` holds times of day but no column holds dates",
                    short(header)
                ),
                "export the readings with their dates".to_owned(),
            ),
            Self::NoColumn { what, headers } => (
                format!(
                    "no column is recognised as {what} (columns: {})",
                    list(headers)
                ),
                format!("name it with --column \"{what}=NAME\", or by its number"),
            ),
            Self::SeveralSensors { what, headers } => (
                format!("several columns hold a {what}: {}", list(headers)),
                "say which with --column and a part of its name".to_owned(),
            ),
            Self::NoSuchColumn { asked, headers } => (
                format!("there is no column `{asked}`"),
                format!("the columns are {}", list(headers)),
            ),
            Self::UnknownKind { header } => {
                let header = short(header);
                (
                    format!("column `{header}` does not say what it holds"),
                    format!(
                        "write --column \"temperature={header}\" or --column \"humidity={header}\""
                    ),
                )
            }
            Self::DecimalCommas {
                line,
                header_fields,
                row_fields,
            } => (
                format!(
                    "line {line} holds {row_fields} fields under {header_fields} columns: decimal commas cannot be given from separating ones"
                ),
                "export with decimal points or with semicolons between the columns".to_owned(),
            ),
            Self::AmbiguousDates { line, example } => (
                format!(
                    "line {line}: `{example}` can be read in more than one order, and no date of the file decides"
                ),
                "say which with --date-order dmy, mdy or ymd".to_owned(),
            ),
            Self::MixedDateOrder {
                day_first,
                month_first,
            } => (
                format!(
                    "line {}: `{}` can only be day first, but line {}: `{}` only month first",
                    day_first.0, day_first.1, month_first.0, month_first.1
                ),
                "export the file again in one order".to_owned(),
            ),
            Self::OrderContradicted {
                given,
                line,
                example,
            } => (
                format!("line {line}: `{example}` is no date in the order {given}"),
                "leave --date-order out or say another".to_owned(),
            ),
            Self::UnitUnknown { header, mean } => (
                format!(
                    "column `{}` names no unit and its readings average {mean:.1}, too warm for degrees Celsius",
                    short(header)
                ),
                "say --temperature-unit F".to_owned(),
            ),
            Self::TooFewRows {
                used,
                read,
                dropped,
            } => {
                let mut what = format!("{used} usable rows of {read} are too few for a climate");
                if !dropped.is_empty() {
                    what.push_str(&format!(" (dropped: {dropped})"));
                }
                (
                    what,
                    "24 at least are needed, and a year of them for a forecast".to_owned(),
                )
            }
            Self::TooShort { hours } => (
                format!("the readings span {hours:.1} hours, which is no climate"),
                "a day at least is needed, and a year for a forecast".to_owned(),
            ),
        };
        Refusal::new(what, remedy)
    }
}

impl fmt::Display for LoggerError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.refusal().fmt(f)
    }
}

impl std::error::Error for LoggerError {}
