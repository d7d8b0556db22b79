//! The figure of a job's log.

use super::text::day_words;
use crate::chance::Band;
use crate::chart::{LogFigure, LogRow};
use crate::forecast::{Forecast, LogNumbers, LoggedEntry, ReadAgainst};
use crate::units::UnitSystem;

/// Readings drawn: the latest.
const MOST_ROWS: usize = 14;

/// The readings of a forecast's log; none without a log.
pub(super) fn figure(forecast: &Forecast, units: UnitSystem) -> Option<LogFigure> {
    let entries = &forecast.log.as_ref()?.entries;
    let earlier = entries.len().saturating_sub(MOST_ROWS);
    let rows = entries[earlier..].iter().map(|entry| row(entry, units));
    Some(LogFigure {
        rows: rows.collect(),
        earlier,
    })
}

fn row(entry: &LoggedEntry, units: UnitSystem) -> LogRow {
    let numbers = &entry.numbers;
    let ReadAgainst {
        read,
        expected,
        known,
    } = numbers.plain();
    LogRow {
        day: day_words(entry.date),
        name: format!("{}, {}", entry.name, entry.quantity),
        read,
        expected,
        known,
        read_words: numbers.shown(read, units),
        expected_words: within(numbers, expected, units),
        known_words: within(numbers, known, units),
        doubted: entry.doubted,
    }
}

fn within(numbers: &LogNumbers, band: Band, units: UnitSystem) -> String {
    format!(
        "{} within {}",
        numbers.shown(band.middle, units),
        numbers.shown((band.high - band.low) / 2.0, units)
    )
}
