//! Two job files the program can write: the demo and a commented blank.

use jiff::Span;
use jiff::civil::Date;

/// Days from measuring to delivery in a job that has only begun.
const TO_DELIVERY: i64 = 46;

/// `measured` and `delivered` of a job begun on a day: the second is a guess for the maker to correct.
pub(super) fn first_dates(measured: Date) -> [Date; 2] {
    [
        measured,
        measured.saturating_add(Span::new().days(TO_DELIVERY)),
    ]
}

/// The commented job file begun on a day.
#[must_use]
pub fn blank_on(measured: Date) -> String {
    let [from, to] = first_dates(measured);
    blank()
        .replace("measured = 2026-10-05", &format!("measured = {from}"))
        .replace("delivered = 2026-11-20", &format!("delivered = {to}"))
}

/// The built-in demo: a walnut-and-maple hall sideboard, made in a damp coastal workshop for a heated house on
/// the high plains. Its figures are invented.
#[must_use]
pub const fn demo() -> &'static str {
    include_str!("demo.toml")
}

/// A commented job file to start from; it reads without a problem.
#[must_use]
pub const fn blank() -> &'static str {
    include_str!("blank.toml")
}
