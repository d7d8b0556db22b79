//! Days and lengths in the words of the figures.

use crate::units::{Length, UnitSystem, notation};

/// Days of the year before each month begins, and before the next year.
pub(super) const MONTH_STARTS: [usize; 13] =
    [0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334, 365];

const MONTHS: [&str; 12] = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
];

/// The month a day of the year lies in, 0 to 11; days count from 0 at 1 January.
pub(super) fn month_of(day: usize) -> usize {
    let day = day % 365;
    MONTH_STARTS[1..12]
        .iter()
        .filter(|start| **start <= day)
        .count()
}

/// The month's name.
pub(super) fn month_name(month: usize) -> &'static str {
    MONTHS[month % 12]
}

/// A day of the year as `14 Feb`.
#[must_use]
pub fn day_name(day: usize) -> String {
    let month = month_of(day);
    format!(
        "{} {}",
        day % 365 - MONTH_STARTS[month] + 1,
        &MONTHS[month][..3]
    )
}

/// The middle day of a month.
pub(super) fn mid_month(month: usize) -> usize {
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

/// A small length: the chosen system first, the other in brackets, and no false zero.
pub(super) fn small(length: Length, system: UnitSystem) -> String {
    let parts = length.inches().abs() * 64.0;
    if matches!(system, UnitSystem::Inch) && parts < 0.5 && length.mm().abs() >= 0.005 {
        format!("under 1/64\" ({})", notation::millimetres(length))
    } else {
        notation::shown(length, system)
    }
}

/// The text with its first letter a capital.
pub(super) fn capital(text: &str) -> String {
    let mut characters = text.chars();
    characters
        .next()
        .map(|first| first.to_uppercase().collect::<String>() + characters.as_str())
        .unwrap_or_default()
}
