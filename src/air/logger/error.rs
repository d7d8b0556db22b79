//! Why a logger's file could not be read.

use super::DateOrder;
use super::table::MOST_COLUMNS;
use crate::units::notation::listed;
use std::fmt;

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

impl fmt::Display for LoggerError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Empty => f.write_str("the file is empty; export the logger's readings again"),
            Self::NotText { seems } => write!(
                f,
                "the file is no text but seems to be {seems}; export the readings as CSV"
            ),
            Self::NotATable { first_line } => write!(
                f,
                "no commas, semicolons or tabs make columns of the lines (the first is \
                 `{first_line}`); export the readings as CSV"
            ),
            Self::TooManyColumns { line, cells } => write!(
                f,
                "line {line} has {cells} cells, and a logger's table has {MOST_COLUMNS} columns at most; export \
                 the readings as CSV, one line for each time"
            ),
            Self::NoTimes { headers } => write!(
                f,
                "no column holds dates (columns: {}); export the readings with their date and time",
                list(headers)
            ),
            Self::NoDates { header } => write!(
                f,
                "column `{}` holds times of day but no column holds dates; export the \
                 readings with their dates",
                short(header)
            ),
            Self::NoColumn { what, headers } => write!(
                f,
                "no column is recognised as {what} (columns: {}); name it with --column \
                 \"{what}=NAME\", or by its number",
                list(headers)
            ),
            Self::SeveralSensors { what, headers } => write!(
                f,
                "several columns hold a {what}: {}; say which with --column and a part of its name",
                list(headers)
            ),
            Self::NoSuchColumn { asked, headers } => write!(
                f,
                "there is no column `{asked}`; the columns are {}",
                list(headers)
            ),
            Self::UnknownKind { header } => write!(
                f,
                "column `{header}` does not say what it holds; write --column \
                 \"temperature={header}\" or --column \"humidity={header}\"",
                header = short(header)
            ),
            Self::DecimalCommas {
                line,
                header_fields,
                row_fields,
            } => write!(
                f,
                "line {line} holds {row_fields} fields under {header_fields} columns: decimal \
                 commas cannot be given from separating ones; export with decimal points or with \
                 semicolons between the columns"
            ),
            Self::AmbiguousDates { line, example } => write!(
                f,
                "line {line}: `{example}` can be read in more than one order, and no date of the \
                 file decides; say which with --date-order dmy, mdy or ymd"
            ),
            Self::MixedDateOrder {
                day_first,
                month_first,
            } => write!(
                f,
                "line {}: `{}` can only be day first, but line {}: `{}` only month first; export \
                 the file again in one order",
                day_first.0, day_first.1, month_first.0, month_first.1
            ),
            Self::OrderContradicted {
                given,
                line,
                example,
            } => write!(
                f,
                "line {line}: `{example}` is no date in the order {given}; leave --date-order out \
                 or say another"
            ),
            Self::UnitUnknown { header, mean } => write!(
                f,
                "column `{}` names no unit and its readings average {mean:.1}, too warm for \
                 degrees Celsius; say --temperature-unit F",
                short(header)
            ),
            Self::TooFewRows {
                used,
                read,
                dropped,
            } => {
                write!(f, "{used} usable rows of {read} are too few for a climate")?;
                if !dropped.is_empty() {
                    write!(f, " (dropped: {dropped})")?;
                }
                f.write_str("; 24 at least are needed, and a year of them for a forecast")
            }
            Self::TooShort { hours } => write!(
                f,
                "the readings span {hours:.1} hours, which is no climate; a day at least is \
                 needed, and a year for a forecast"
            ),
        }
    }
}

impl std::error::Error for LoggerError {}
