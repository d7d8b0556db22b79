//! The days a forecast looks at: from the first measuring to one year after
//! delivery, then the settled year after that.

use jiff::ToSpan;
use jiff::civil::Date;

/// Days of a year.
pub(super) const YEAR: usize = 365;

/// Every day of a forecast, numbered from the first measuring.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Timeline {
    base: Date,
    delivered: usize,
}

/// Which part of the life of a piece a day belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Phase {
    /// In the shop.
    Shop,
    /// The first year at home.
    FirstYear,
    /// A year at home like every later one.
    Settled,
}

impl Timeline {
    /// From the day of the first measuring and the day of delivery.
    #[must_use]
    pub fn new(base: Date, delivered: Date) -> Self {
        Self {
            base,
            delivered: between(base, delivered),
        }
    }

    /// Number of the day of delivery.
    #[must_use]
    pub const fn delivered(&self) -> usize {
        self.delivered
    }

    /// Number of the first day of the settled year.
    #[must_use]
    pub const fn settled(&self) -> usize {
        self.delivered + YEAR
    }

    /// How many days.
    #[must_use]
    pub const fn days(&self) -> usize {
        self.delivered + 2 * YEAR
    }

    /// The date of a day.
    #[must_use]
    pub fn date(&self, day: usize) -> Date {
        let days = i64::try_from(day).unwrap_or(i64::MAX).min(1_000_000);
        self.base.saturating_add(days.days())
    }

    /// The day of a date; dates before the first day are the first day, dates after the last the last.
    #[must_use]
    pub fn day(&self, date: Date) -> usize {
        between(self.base, date).min(self.days() - 1)
    }

    /// The part of life a day belongs to.
    #[must_use]
    pub const fn phase(&self, day: usize) -> Phase {
        if day < self.delivered {
            Phase::Shop
        } else if day < self.settled() {
            Phase::FirstYear
        } else {
            Phase::Settled
        }
    }
}

fn between(from: Date, to: Date) -> usize {
    usize::try_from((to - from).get_days()).unwrap_or(0)
}
