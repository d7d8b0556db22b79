//! Rows that were left out, counted by reason.

use std::collections::BTreeMap;
use std::fmt;

/// Why a row was left out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum DropReason {
    /// Its date or time cannot be read.
    UnreadableTime,
    /// Temperature or humidity is missing.
    EmptyCell,
    /// Temperature or humidity is marked as missing.
    MissingValue,
    /// Temperature or humidity is no number.
    NotANumber,
    /// The temperature is none of air on earth.
    TemperatureOutOfRange,
    /// The humidity is 0 or less, which no air has.
    HumidityZeroOrLess,
    /// The humidity is above 100 %.
    HumidityAbove100,
    /// Its time has been read already.
    RepeatedTime,
}

impl DropReason {
    /// The name of the reason in machine output.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Self::UnreadableTime => "unreadable_time",
            Self::EmptyCell => "empty_cell",
            Self::MissingValue => "missing_value",
            Self::NotANumber => "not_a_number",
            Self::TemperatureOutOfRange => "temperature_out_of_range",
            Self::HumidityZeroOrLess => "humidity_zero_or_less",
            Self::HumidityAbove100 => "humidity_above_100",
            Self::RepeatedTime => "repeated_time",
        }
    }

    /// The reason in words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::UnreadableTime => "date or time unreadable",
            Self::EmptyCell => "temperature or humidity missing",
            Self::MissingValue => "marked as missing",
            Self::NotANumber => "temperature or humidity no number",
            Self::TemperatureOutOfRange => "temperature out of range",
            Self::HumidityZeroOrLess => "humidity 0 or less",
            Self::HumidityAbove100 => "humidity above 100 %",
            Self::RepeatedTime => "time repeated",
        }
    }
}

/// How many rows were left out for which reason.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Dropped(BTreeMap<DropReason, usize>);

impl Dropped {
    pub(super) fn count(&mut self, reason: DropReason) {
        self.count_many(reason, 1);
    }

    pub(super) fn count_many(&mut self, reason: DropReason, rows: usize) {
        if rows > 0 {
            *self.0.entry(reason).or_default() += rows;
        }
    }

    /// Rows left out for one reason.
    #[must_use]
    pub fn rows(&self, reason: DropReason) -> usize {
        self.0.get(&reason).copied().unwrap_or_default()
    }

    /// Rows left out in all.
    #[must_use]
    pub fn total(&self) -> usize {
        self.0.values().sum()
    }

    /// The reasons that occurred, with their rows.
    pub fn iter(&self) -> impl Iterator<Item = (DropReason, usize)> + '_ {
        self.0.iter().map(|(reason, rows)| (*reason, *rows))
    }
}

impl fmt::Display for Dropped {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (index, (reason, rows)) in self.iter().enumerate() {
            let comma = if index == 0 { "" } else { ", " };
            write!(f, "{comma}{rows} {}", reason.words())?;
        }
        Ok(())
    }
}
