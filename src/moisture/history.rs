//! From the day of measuring to a year after delivery, and the settled year after that.

use super::slab::Slab;
use super::track::MoistureTrack;
use super::year::{Stay, follow, settled_year};
use crate::air::{AirYear, DAYS_IN_YEAR, MONTH_DAYS};
use crate::units::{MoistureContent, Refusal, refusals};
use jiff::ToSpan;
use jiff::civil::Date;

/// Days between measuring and delivery that are followed at most: ten years.
const LONGEST_WAIT_DAYS: i32 = 3650;

/// When a board was measured and when it goes to its home.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Schedule<'a> {
    /// Moisture content on the day of measuring.
    pub moisture: MoistureContent,
    /// The day of measuring.
    pub measured_on: Date,
    /// The day on which the piece comes to its home.
    pub delivered_on: Date,
    /// Air from measuring to delivery.
    pub shop: &'a AirYear,
    /// Air from delivery on.
    pub home: &'a AirYear,
}

refusals! {
    /// Delivered before it was measured.
    delivered_before_measured(measured_on: Date, delivered_on: Date) =
        "the delivery on {delivered_on} comes before the measuring on {measured_on}",
        "fix one of the two dates";
    /// Years between measuring and delivery.
    too_long_in_the_shop(measured_on: Date, delivered_on: Date) =
        "more than ten years lie between the measuring on {measured_on} and the delivery on {delivered_on}",
        "fix one of the two dates or measure again";
}

/// What a board goes through.
#[derive(Debug, Clone, PartialEq)]
pub struct History {
    /// The year at home once it repeats, 365 days from 1 January.
    pub settled: MoistureTrack,
    /// Daily from the day of measuring to one year after delivery.
    pub first: MoistureTrack,
    /// Date of the first entry of `first`.
    pub measured_on: Date,
    /// Index in `first` of the day of delivery.
    pub delivery: usize,
}

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

impl Schedule<'_> {
    /// Days from measuring to delivery.
    ///
    /// # Errors
    /// [`Refusal`] when delivery comes first or more than ten years later.
    pub fn days_in_shop(&self) -> Result<usize, Refusal> {
        let (measured_on, delivered_on) = (self.measured_on, self.delivered_on);
        let days = (delivered_on - measured_on).get_days();
        match usize::try_from(days) {
            Err(_) => Err(delivered_before_measured(measured_on, delivered_on)),
            Ok(_) if days > LONGEST_WAIT_DAYS => {
                Err(too_long_in_the_shop(measured_on, delivered_on))
            }
            Ok(days) => Ok(days),
        }
    }

    /// The stays from measuring to one year after delivery.
    ///
    /// # Errors
    /// [`Refusal`] as [`Schedule::days_in_shop`].
    pub fn stays(&self) -> Result<[Stay<'_>; 2], Refusal> {
        Ok([
            Stay {
                air: self.shop,
                from_day_of_year: day_of_year(self.measured_on),
                days: self.days_in_shop()?,
                bare: false,
            },
            Stay {
                air: self.home,
                from_day_of_year: day_of_year(self.delivered_on),
                days: DAYS_IN_YEAR,
                bare: false,
            },
        ])
    }
}

/// What a board goes through under a schedule.
///
/// # Errors
/// [`Refusal`] when the dates make no history.
pub fn history(slab: &Slab, schedule: &Schedule<'_>) -> Result<History, Refusal> {
    let stays = schedule.stays()?;
    let mut first = follow(slab, schedule.moisture, &stays);
    first.first_day = day_of_year(schedule.measured_on);
    Ok(History {
        settled: settled_year(slab, schedule.home),
        first,
        measured_on: schedule.measured_on,
        delivery: stays[0].days,
    })
}

impl History {
    /// Date of entry `index` of the first track.
    #[must_use]
    pub fn date(&self, index: usize) -> Date {
        let days = i64::try_from(index).unwrap_or(i64::MAX);
        self.measured_on.saturating_add(days.min(1_000_000).days())
    }

    /// The first year at home: the part of `first` from the day of delivery.
    #[must_use]
    pub fn first_year_at_home(&self) -> MoistureTrack {
        MoistureTrack {
            first_day: self.first.day_of_year(self.delivery),
            mean_percent: self.first.mean_percent[self.delivery..].to_vec(),
            slope_percent_per_mm: self.first.slope_percent_per_mm[self.delivery..].to_vec(),
        }
    }
}
