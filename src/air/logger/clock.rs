//! Dates and times of day as loggers write them.

use super::{Unread, error};
use crate::air::record::second_of;
use crate::units::notation::month_of;
use jiff::civil::Date;
use std::fmt;

const DAY: i64 = 86_400;

/// The order in which a date's numbers stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DateOrder {
    /// Day, month, year.
    DayMonthYear,
    /// Month, day, year.
    MonthDayYear,
    /// Year, month, day, as ISO 8601 has it.
    YearMonthDay,
}

impl fmt::Display for DateOrder {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::DayMonthYear => "dmy",
            Self::MonthDayYear => "mdy",
            Self::YearMonthDay => "ymd",
        })
    }
}

/// A date as written: three numbers in an order yet to be decided, or decided by a year of four
/// digits in front or a month in letters.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Written {
    numbers: [u16; 3],
    decided: Option<DateOrder>,
    short_year: bool,
}

/// A time of day, with its offset from UTC where the cell states one, both in seconds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Clock {
    pub(super) second: i64,
    pub(super) offset: Option<i64>,
}

/// Date, time of day, or both, of one cell.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Stamp {
    pub(super) date: Option<Written>,
    pub(super) clock: Option<Clock>,
}

/// Reads a cell as date, time or both; `None` when it is neither.
pub(super) fn stamp(text: &str) -> Option<Stamp> {
    let text = text.trim_matches(|c: char| c.is_whitespace() || matches!(c, '"' | '\''));
    if !text.starts_with(|c: char| c.is_ascii_digit() || c.is_alphabetic()) || text.len() > 60 {
        return None;
    }
    if let Some(colon) = text.find(':') {
        let digits = text[..colon]
            .bytes()
            .rev()
            .take_while(u8::is_ascii_digit)
            .count();
        let (date, clock) = text.split_at(colon - digits);
        let clock = clock_of(clock)?;
        let date =
            date.trim_end_matches(|c: char| c.is_whitespace() || matches!(c, 'T' | 't' | ','));
        let date = if date.is_empty() {
            None
        } else {
            Some(written(date)?)
        };
        return Some(Stamp {
            date,
            clock: Some(clock),
        });
    }
    if let Some(date) = written(text) {
        return Some(Stamp {
            date: Some(date),
            clock: None,
        });
    }
    // `31.1.2024 10.00`: the time of day with full stops.
    let (date, clock) = text.rsplit_once(char::is_whitespace)?;
    if clock.len() < 4 || !clock.bytes().all(|b| b.is_ascii_digit() || b == b'.') {
        return None;
    }
    Some(Stamp {
        date: Some(written(date)?),
        clock: Some(clock_of(&clock.replace('.', ":"))?),
    })
}

/// `10:05`, `10:05:30.5`, `1:05 PM`, `10:05:00+02:00`, `10:05Z`; `24:00` ends the day.
fn clock_of(text: &str) -> Option<Clock> {
    let end = text
        .find(|c: char| !(c.is_ascii_digit() || matches!(c, ':' | '.' | ',')))
        .unwrap_or(text.len());
    let (digits, rest) = text.split_at(end);
    let mut parts = digits.trim_end_matches(['.', ',']).split(':');
    let hour: i64 = parts.next()?.parse().ok()?;
    let minute = parts.next()?;
    let minute: i64 = (minute.len() == 2).then(|| minute.parse().ok())??;
    let second: i64 = match parts.next() {
        Some(second) => second.split(['.', ',']).next()?.parse().ok()?,
        None => 0,
    };
    if parts.next().is_some() || minute > 59 || second > 60 {
        return None;
    }
    let rest: String = rest
        .chars()
        .filter(|c| !c.is_whitespace() && *c != '.' && *c != '\u{202f}')
        .flat_map(char::to_lowercase)
        .collect();
    let (half, rest) = if let Some(rest) = rest.strip_prefix("am") {
        (Some(0), rest)
    } else if let Some(rest) = rest.strip_prefix("pm") {
        (Some(12), rest)
    } else {
        (None, rest.as_str())
    };
    let hour = match half {
        Some(half) if (1..=12).contains(&hour) => hour % 12 + half,
        None if hour < 24 || (hour == 24 && minute == 0 && second == 0) => hour,
        _ => return None,
    };
    Some(Clock {
        second: hour * 3600 + minute * 60 + second,
        offset: match offset_of(rest) {
            _ if rest.is_empty() => None,
            Some(offset) => Some(offset),
            // The name of a time zone says no more than the clock itself.
            None if rest.len() <= 5 && rest.chars().all(char::is_alphabetic) => None,
            None => return None,
        },
    })
}

/// `z`, `utc`, `gmt`, `+02:00`, `-0500`, `gmt-05:00`, `utc+2`, in seconds; lower case without blanks.
fn offset_of(text: &str) -> Option<i64> {
    let text = text
        .trim_start_matches(['(', '['])
        .trim_end_matches([')', ']']);
    let rest = ["utc", "gmt", "z"]
        .iter()
        .find_map(|zero| text.strip_prefix(zero))
        .unwrap_or(text);
    if rest.is_empty() {
        return Some(0);
    }
    let (sign, digits) = if let Some(digits) = rest.strip_prefix('+') {
        (1, digits)
    } else {
        (-1, rest.strip_prefix(['-', '\u{2212}'])?)
    };
    let (hours, minutes) = match digits.split_once(':') {
        Some(parts) => parts,
        None if digits.len() == 4 => digits.split_at(2),
        None => (digits, "0"),
    };
    let hours: i64 = hours.parse().ok()?;
    let minutes: i64 = minutes.parse().ok()?;
    (hours <= 15 && minutes < 60).then_some(sign * (hours * 3600 + minutes * 60))
}

/// The fixed offset that a header states: `Date Time, GMT-05:00`, `t_UTC+2`; in seconds.
pub(super) fn header_offset(header: &str) -> Option<i64> {
    let header: String = header
        .to_lowercase()
        .chars()
        .filter(|c| !c.is_whitespace())
        .collect();
    let at = header.find("gmt").or_else(|| header.find("utc"))?;
    let tail = &header[at..];
    let end = tail
        .char_indices()
        .skip(3)
        .find(|(_, c)| !(c.is_ascii_digit() || matches!(c, '+' | '-' | '\u{2212}' | ':')))
        .map_or(tail.len(), |(at, _)| at);
    offset_of(&tail[..end])
}

/// A date as written, or `None`.
fn written(text: &str) -> Option<Written> {
    let text = text.trim();
    if text.len() == 8 && text.bytes().all(|byte| byte.is_ascii_digit()) {
        let numbers = [&text[..4], &text[4..6], &text[6..]].map(|n| n.parse().unwrap_or(0));
        let date = Written {
            numbers,
            decided: Some(DateOrder::YearMonthDay),
            short_year: false,
        };
        return ((1900..2200).contains(&numbers[0]) && date.day(DateOrder::YearMonthDay).is_some())
            .then_some(date);
    }
    let mut words: Vec<&str> = text
        .split(|c: char| c.is_whitespace() || matches!(c, '-' | '/' | '.' | ','))
        .filter(|word| !word.is_empty())
        .collect();
    if words.len() == 4 && words[0].chars().all(char::is_alphabetic) {
        words.remove(0); // the day of the week
    }
    let [one, two, three] = words[..] else {
        return None;
    };
    let number = |word: &str| -> Option<u16> {
        (word.len() <= 4 && word.bytes().all(|byte| byte.is_ascii_digit()))
            .then(|| word.parse().ok())?
    };
    let month_of = |word: &str| month_of(word).map(|month| u16::from(month.unsigned_abs()));
    if let Some(month) = month_of(one) {
        return Written::decided(
            [month, number(two)?, number(three)?],
            DateOrder::MonthDayYear,
            three,
        );
    }
    if let Some(month) = month_of(two) {
        return if one.len() == 4 {
            Written::decided(
                [number(one)?, month, number(three)?],
                DateOrder::YearMonthDay,
                one,
            )
        } else {
            Written::decided(
                [number(one)?, month, number(three)?],
                DateOrder::DayMonthYear,
                three,
            )
        };
    }
    let numbers = [number(one)?, number(two)?, number(three)?];
    if one.len() == 4 {
        return Written::decided(numbers, DateOrder::YearMonthDay, one);
    }
    let date = Written {
        numbers,
        decided: None,
        short_year: three.len() == 2,
    };
    let short = one.len() <= 2 && two.len() <= 2 && matches!(three.len(), 2 | 4);
    let possible = [
        DateOrder::DayMonthYear,
        DateOrder::MonthDayYear,
        DateOrder::YearMonthDay,
    ];
    (short && possible.iter().any(|order| date.day(*order).is_some())).then_some(date)
}

impl Written {
    fn decided(numbers: [u16; 3], order: DateOrder, year: &str) -> Option<Self> {
        let date = Self {
            numbers,
            decided: Some(order),
            short_year: year.len() == 2,
        };
        date.day(order).map(|_| date)
    }

    /// Days since 1970 when read in an order; `None` where that is no date.
    fn day(self, order: DateOrder) -> Option<i64> {
        let [a, b, c] = self.numbers;
        let (year, month, day) = match order {
            DateOrder::DayMonthYear => (c, b, a),
            DateOrder::MonthDayYear => (c, a, b),
            DateOrder::YearMonthDay => (a, b, c),
        };
        if order == DateOrder::YearMonthDay && self.decided.is_none() && !self.short_year {
            return None;
        }
        let year = match year {
            0..70 if self.short_year => year + 2000,
            70..100 if self.short_year => year + 1900,
            _ => year,
        };
        let date = Date::new(
            i16::try_from(year).ok()?,
            i8::try_from(month).ok()?,
            i8::try_from(day).ok()?,
        )
        .ok()?;
        (1900..2200)
            .contains(&date.year())
            .then(|| second_of(date.to_datetime(jiff::civil::Time::midnight())) / DAY)
    }

    /// Days since 1970 in the order decided, by the date itself or for the file.
    pub(super) fn days(self, order: Option<DateOrder>) -> Option<i64> {
        self.day(self.decided.or(order)?)
    }
}

/// The order of the file's dates: given, or decided by the dates that can be read one way only.
/// `None` when every date says its own order. Dates come with their line and text.
pub(super) fn order_of<'a>(
    dates: impl Iterator<Item = (u64, &'a str, Written)>,
    given: Option<DateOrder>,
) -> Result<Option<DateOrder>, Unread> {
    use DateOrder::{DayMonthYear, MonthDayYear, YearMonthDay};
    let open: Vec<_> = dates.filter(|(.., date)| date.decided.is_none()).collect();
    let Some(first) = open.first() else {
        return Ok(None);
    };
    let only = |this: DateOrder, other: DateOrder| {
        open.iter()
            .find(|(.., date)| date.day(this).is_some() && date.day(other).is_none())
    };
    if let Some(given) = given {
        // A single slip is dropped as unreadable; a file that mostly contradicts is not.
        let against = open.iter().filter(|(.., date)| date.day(given).is_none());
        if 20 * against.clone().count() > open.len()
            && let Some((line, text, _)) = against.clone().next()
        {
            return Err(error::order_contradicted(given, *line, text).into());
        }
        return Ok(Some(given));
    }
    // The year comes first only where it is short and the number in front is the steadier one.
    let distinct = |place: usize| {
        let mut values: Vec<u16> = open.iter().map(|(.., date)| date.numbers[place]).collect();
        values.sort_unstable();
        values.dedup();
        values.len()
    };
    let year_first = open.iter().all(|(.., date)| date.short_year)
        && distinct(0) < distinct(2)
        && open
            .iter()
            .all(|(.., date)| date.day(YearMonthDay).is_some());
    let day_first = if year_first {
        None
    } else {
        only(DayMonthYear, MonthDayYear)
    };
    let month_first = if year_first {
        None
    } else {
        only(MonthDayYear, DayMonthYear)
    };
    match (day_first, month_first) {
        (Some(day), Some(month)) => {
            Err(error::mixed_date_order(day.0, day.1, month.0, month.1).into())
        }
        (Some(_), None) => Ok(Some(DayMonthYear)),
        (None, Some(_)) => Ok(Some(MonthDayYear)),
        (None, None) if year_first && never(&open, DayMonthYear) && never(&open, MonthDayYear) => {
            Ok(Some(YearMonthDay))
        }
        (None, None)
            if open
                .iter()
                .all(|(.., date)| date.numbers[0] == date.numbers[1]) =>
        {
            Ok(Some(DayMonthYear))
        }
        (None, None) => Err(error::ambiguous_dates(first.0, first.1)),
    }
}

/// Whether some date is impossible in that order.
fn never(open: &[(u64, &str, Written)], order: DateOrder) -> bool {
    open.iter().any(|(.., date)| date.day(order).is_none())
}
