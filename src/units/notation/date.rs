//! Dates as makers write them.

use super::choice::one_of;
use super::error::NotationError;
use crate::units::spanned::ReadNotation;
use jiff::civil::Date;

/// Which of two numbers before the year is the day.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DayOrder {
    /// 5/11 is 5 November.
    DayFirst,
    /// 5/11 is May 11.
    MonthFirst,
}

impl ReadNotation for DayOrder {
    const WHAT: &'static str = "\"day first\" or \"month first\"";
    fn read(text: &str) -> Result<Self, NotationError> {
        one_of(
            text,
            "an order of day and month",
            &[
                ("day first", Self::DayFirst),
                ("month first", Self::MonthFirst),
                ("dmy", Self::DayFirst),
                ("mdy", Self::MonthFirst),
            ],
        )
    }
}

const REMEDY: &str = "write year, month and day, such as 2026-10-05";

/// The months of the year.
pub const MONTHS: [&str; 12] = [
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

/// The month that a word of three letters or more begins.
pub(crate) fn month_of(word: &str) -> Option<i8> {
    // "Sept" is as usual as "Sep".
    let word = if word.eq_ignore_ascii_case("sept") {
        "sep"
    } else {
        word
    };
    let begins = |month: &str| {
        let start = month.get(..word.len());
        start.is_some_and(|start| start.eq_ignore_ascii_case(word))
    };
    (word.len() >= 3)
        .then(|| MONTHS.iter().position(|month| begins(month)))
        .flatten()
        .and_then(|index| i8::try_from(index + 1).ok())
}

/// `5`, `05`, `5th`.
fn day_of(word: &str) -> Option<i8> {
    let digits = word.trim_end_matches(|c: char| c.is_ascii_alphabetic());
    let ending = word[digits.len()..].to_lowercase();
    (digits.len() <= 2 && matches!(ending.as_str(), "" | "st" | "nd" | "rd" | "th"))
        .then(|| digits.parse().ok())
        .flatten()
}

fn year_of(word: &str) -> Option<i16> {
    (word.len() == 4).then(|| word.parse().ok()).flatten()
}

/// Reads a date: `2026-10-05`, `Oct 5, 2026`, `5 October 2026`, and `11/5/2026` where its order is known or makes no
/// difference.
///
/// # Errors
/// [`NotationError`] when it is no date, when the year has fewer than four digits, and, with both days it could be, when day
/// and month cannot be distinguished.
pub fn date(text: &str, order: Option<DayOrder>) -> Result<Date, NotationError> {
    let text = text.trim();
    let no_date = || NotationError::new(text, "this is not a plain date", REMEDY);
    let of = |year, month, day| {
        Date::new(year, month, day)
            .map_err(|_| NotationError::new(text, "there is no such date", REMEDY))
    };
    let words: Vec<&str> = text
        .split(|c: char| matches!(c, '-' | '/' | '.' | ',') || c.is_whitespace())
        .filter(|word| !word.is_empty())
        .collect();
    let [first, second, third] = words[..] else {
        return Err(no_date());
    };
    if let (Some(year), Some(month), Some(day)) = (year_of(first), day_of(second), day_of(third)) {
        return of(year, month, day);
    }
    if let Some(year) = year_of(third) {
        if let (Some(month), Some(day)) = (month_of(first), day_of(second)) {
            return of(year, month, day);
        }
        if let (Some(day), Some(month)) = (day_of(first), month_of(second)) {
            return of(year, month, day);
        }
        if let (Ok(a), Ok(b)) = (first.parse::<i8>(), second.parse::<i8>()) {
            return match order {
                _ if a > 12 || a == b => of(year, b, a),
                _ if b > 12 => of(year, a, b),
                Some(DayOrder::DayFirst) => of(year, b, a),
                Some(DayOrder::MonthFirst) => of(year, a, b),
                None => {
                    let (by_month, by_day) = (of(year, a, b)?, of(year, b, a)?);
                    Err(NotationError::new(
                        text,
                        &format!(
                            "this is {} with the month first and {} with the day first",
                            by_month.strftime("%-d %B %Y"),
                            by_day.strftime("%-d %B %Y")
                        ),
                        &format!(
                            "write {by_month} or {by_day}, or date_order = \"month first\" or \"day first\" under [job]"
                        ),
                    ))
                }
            };
        }
    }
    let numbers = words
        .iter()
        .all(|word| word.len() <= 2 && word.bytes().all(|b| b.is_ascii_digit()));
    Err(if numbers {
        NotationError::new(
            text,
            "the year has two digits",
            "write it with four, such as 2026-10-05",
        )
    } else {
        no_date()
    })
}
