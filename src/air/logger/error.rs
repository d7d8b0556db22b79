//! Why a file of air could not be read.

use super::columns::Column;
use super::table::MOST_COLUMNS;
use crate::units::notation::listed;
use crate::units::{Refusal, refusals};
use std::fmt;

/// Why a file of air could not be read, and what the maker can do.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Unread {
    refusal: Refusal,
    asks: bool,
}

impl Unread {
    /// In words.
    #[must_use]
    pub const fn refusal(&self) -> &Refusal {
        &self.refusal
    }

    /// Whether the file lacks no more than what [`super::Options`] give: a column, a unit, the order of dates.
    #[must_use]
    pub const fn asks(&self) -> bool {
        self.asks
    }

    /// The same, in a file of this name.
    pub(in crate::air) fn of_file(mut self, name: &str) -> Self {
        self.refusal = self.refusal.at(format!("`{name}`"));
        self
    }

    fn asking(what: String, remedy: impl Into<String>) -> Self {
        Self {
            refusal: Refusal::new(what, remedy),
            asks: true,
        }
    }
}

impl From<Refusal> for Unread {
    fn from(refusal: Refusal) -> Self {
        Self {
            refusal,
            asks: false,
        }
    }
}

impl From<Unread> for Refusal {
    fn from(unread: Unread) -> Self {
        unread.refusal
    }
}

impl fmt::Display for Unread {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.refusal.fmt(f)
    }
}

impl std::error::Error for Unread {}

fn list<'a>(columns: impl IntoIterator<Item = &'a Column>) -> String {
    let names: Vec<&str> = columns.into_iter().map(|one| short(&one.header)).collect();
    listed(names.iter().map(|name| format!("`{name}`")))
}

/// The beginning of a header, which may be as long as the file.
fn short(header: &str) -> &str {
    let end = header
        .char_indices()
        .nth(60)
        .map_or(header.len(), |(at, _)| at);
    &header[..end]
}

refusals! {
    empty() = "the file is empty", "export the logger's readings again";
    not_text(seems: &str) =
        "the file is no text but seems to be {seems}", "export the readings as CSV";
    not_a_table(first_line: &str) =
        "no commas, semicolons or tabs make columns of the lines (the first is `{first_line}`)",
        "export the readings as CSV";
    too_many_columns(line: u64, cells: usize) =
        "line {line} has {cells} cells, and a logger's table has {MOST_COLUMNS} columns at most",
        "export the readings as CSV, one line for each time";
    decimal_commas(line: u64, header_fields: usize, row_fields: usize) =
        "line {line} holds {row_fields} fields under {header_fields} columns: decimal commas cannot be given from separating ones",
        "export with decimal points or with semicolons between the columns";
    mixed_date_order(day_line: u64, day_first: &str, month_line: u64, month_first: &str) =
        "line {day_line}: `{day_first}` can only be day first, but line {month_line}: `{month_first}` only month first",
        "export the file again in one order";
    order_contradicted(given: super::DateOrder, line: u64, example: &str) =
        "line {line}: `{example}` is no date in the order {given}",
        "leave --date-order out or say another";
    too_short(hours: f64) =
        "the readings span {hours:.1} hours, which is no climate",
        "a day at least is needed, and a year for a forecast";
}

pub(super) fn no_times(columns: &[Column]) -> Refusal {
    Refusal::new(
        format!("no column holds dates (columns: {})", list(columns)),
        "export the readings with their date and time",
    )
}

/// There are times of day but no dates.
pub(super) fn no_dates(clock: &Column) -> Refusal {
    Refusal::new(
        format!(
            "column `{}` holds times of day but no column holds dates",
            short(&clock.header)
        ),
        "export the readings with their dates",
    )
}

/// No column holds a temperature or a humidity.
pub(super) fn no_column(what: &str, columns: &[Column]) -> Refusal {
    Refusal::new(
        format!(
            "no column is recognised as {what} (columns: {})",
            list(columns)
        ),
        format!("name it with --column \"{what}=NAME\", or by its number"),
    )
}

pub(super) fn several_sensors(what: &str, columns: &[&Column]) -> Unread {
    Unread::asking(
        format!(
            "several columns hold a {what}: {}",
            list(columns.iter().copied())
        ),
        "say which with --column and a part of its name",
    )
}

pub(super) fn no_such_column(asked: &str, columns: &[Column]) -> Refusal {
    Refusal::new(
        format!("there is no column `{asked}`"),
        format!("the columns are {}", list(columns)),
    )
}

pub(super) fn unknown_kind(header: &str) -> Unread {
    let header = short(header);
    Unread::asking(
        format!("column `{header}` does not say what it holds"),
        format!("write --column \"temperature={header}\" or --column \"humidity={header}\""),
    )
}

pub(super) fn ambiguous_dates(line: u64, example: &str) -> Unread {
    Unread::asking(
        format!(
            "line {line}: `{example}` can be read in more than one order, and no date of the file decides"
        ),
        "say which with --date-order dmy, mdy or ymd",
    )
}

/// No unit is given and the values are no room's or weather's in degrees Celsius.
pub(super) fn unit_unknown(header: &str, mean: f64) -> Unread {
    Unread::asking(
        format!(
            "column `{}` names no unit and its readings average {mean:.1}, too warm for degrees Celsius",
            short(header)
        ),
        "say --temperature-unit F",
    )
}

pub(super) fn too_few_rows(used: usize, read: usize, dropped: &str) -> Refusal {
    let mut what = format!("{used} usable rows of {read} are too few for a climate");
    if !dropped.is_empty() {
        what.push_str(&format!(" (dropped: {dropped})"));
    }
    Refusal::new(
        what,
        "24 at least are needed, and a year of them for a forecast",
    )
}
