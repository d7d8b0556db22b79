//! A logger's readings of temperature and humidity, from the text file its
//! software exports.
//!
//! The header row is found by what it says, wherever it stands; columns are
//! parted by commas, semicolons, tabs or bars; numbers have a decimal point or
//! comma; the text may be UTF-8, UTF-16 or windows-1252. Day and month are given
//! apart by the whole file or not at all, and between two sensors nothing is
//! guessed: the error says how to tell. Rows that cannot be used are counted by
//! reason, gaps are kept as gaps, and readings newest first or out of order are
//! sorted. A clock with a fixed offset is kept as it is.

mod cell;
mod clock;
mod columns;
mod error;
mod layout;
mod reading;
mod table;
pub(super) mod text;

pub use clock::DateOrder;
pub use error::Unread;
pub use reading::{LoggerReading, read};

/// What the maker says about a file that it does not say itself.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Options {
    /// Which columns: a header or a part of it, a column's number from 1, or one of these behind
    /// `temperature=`, `humidity=` or `dew point=`.
    pub columns: Vec<String>,
    /// The order of day and month.
    pub date_order: Option<DateOrder>,
    /// Whether temperatures without a unit are in degrees Fahrenheit (`true`) or Celsius.
    pub fahrenheit: Option<bool>,
}
