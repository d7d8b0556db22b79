//! Days and lengths in the words of the figures.

use crate::air::{DAYS_IN_YEAR, MONTH_DAYS};
use crate::moisture::calendar_day;
use crate::units::notation::{self, MONTHS};
use crate::units::{Length, UnitSystem};

/// Days of the year before each month begins, and before the next year.
pub(super) const MONTH_STARTS: [usize; 13] = {
    let mut starts = [0; 13];
    let mut month = 0;
    while month < 12 {
        starts[month + 1] = starts[month] + MONTH_DAYS[month];
        month += 1;
    }
    starts
};

/// The name of a month, 0 to 11.
#[must_use]
pub fn month_name(month: usize) -> &'static str {
    MONTHS[month % 12]
}

/// A day of the year as `14 Feb`; days count from 0 at 1 January.
#[must_use]
pub fn day_name(day: usize) -> String {
    let (month, of_month) = calendar_day(day % DAYS_IN_YEAR);
    format!("{of_month} {}", &MONTHS[month - 1][..3])
}

/// The middle day of a month: both count from 0.
#[must_use]
pub fn mid_month(month: usize) -> usize {
    let month = month % 12;
    (MONTH_STARTS[month] + MONTH_STARTS[month + 1]) / 2
}

/// A length in the chosen system alone.
pub(super) fn length(length: Length, system: UnitSystem) -> String {
    match system {
        UnitSystem::Inch => notation::inches(length),
        UnitSystem::Metric => notation::millimetres(length),
    }
}

/// A percentage with one decimal.
pub(super) fn percent(value: f64) -> String {
    format!("{} %", decimals(value, 1))
}

/// A number with so many decimals, a true minus sign, and no minus on zero.
pub(super) fn decimals(value: f64, places: usize) -> String {
    let text = format!("{value:.places$}");
    match text.strip_prefix('-') {
        Some(rest) if rest.chars().all(|c| matches!(c, '0' | '.')) => rest.to_owned(),
        Some(rest) => format!("\u{2212}{rest}"),
        None => text,
    }
}

/// The text with its first letter a capital.
#[must_use]
pub fn capital(text: &str) -> String {
    let mut characters = text.chars();
    characters
        .next()
        .map(|first| first.to_uppercase().collect::<String>() + characters.as_str())
        .unwrap_or_default()
}
