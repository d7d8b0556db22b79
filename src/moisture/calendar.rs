//! Days of a year of 365.

use crate::air::{DAYS_IN_YEAR, MONTH_DAYS};
use jiff::civil::Date;

/// Day of the year, 0 = 1 January, in a year of 365 days; 29 February counts as 28 February.
#[must_use]
pub fn day_of_year(date: Date) -> usize {
    let month = usize::from(date.month().unsigned_abs()) - 1;
    let day = usize::from(date.day().unsigned_abs()).min(MONTH_DAYS[month]);
    MONTH_DAYS[..month].iter().sum::<usize>() + day - 1
}

/// Month (1 to 12) and day of the month of a day of the year, 0 = 1 January.
#[must_use]
pub fn calendar_day(day_of_year: usize) -> (usize, usize) {
    let mut left = day_of_year % DAYS_IN_YEAR;
    let mut month = 0;
    while left >= MONTH_DAYS[month] {
        left -= MONTH_DAYS[month];
        month += 1;
    }
    (month + 1, left + 1)
}
