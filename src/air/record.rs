//! Air as it was recorded: readings at their times made into hours, with the
//! gaps kept as gaps.

use super::bridge::{bridge_year, days_of, holes};
use super::smooth::first_days;
use super::year::{DAYS_IN_YEAR, mean_state};
use super::{AirState, AirYear, MonthOfAir};
use crate::units::Refusal;
use jiff::civil::{Date, DateTime};
use std::collections::BTreeMap;
use std::fmt;

const HOUR: i64 = 3600;

/// Longest stretch, in hours, that is bridged when a record is asked for unbroken air: a month.
const LONGEST_BRIDGE_HOURS: usize = 31 * 24;

/// Maximum share of a record or a year that may be bridged.
const MAX_BRIDGED_SHARE: f64 = 0.17;

/// A gap shorter than this, or than three usual steps, is no gap, s.
const MIN_GAP: i64 = 6 * HOUR;

/// One reading: seconds on the record's clock since 1970, temperature in C, humidity in percent.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Reading {
    pub(super) second: i64,
    pub(super) celsius: f64,
    pub(super) percent: f64,
}

/// A stretch of a record without readings.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Gap {
    /// Last reading before.
    pub from: DateTime,
    /// First reading after.
    pub to: DateTime,
}

impl Gap {
    /// Length in hours.
    #[must_use]
    pub fn hours(&self) -> f64 {
        (second_of(self.to) - second_of(self.from)) as f64 / HOUR as f64
    }
}

impl fmt::Display for Gap {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let hours = self.hours();
        if hours < 48.0 {
            write!(f, "{hours:.0} hours")?;
        } else {
            write!(f, "{:.0} days", hours / 24.0)?;
        }
        write!(f, " from {} to {}", self.from, self.to)
    }
}

/// Days of the year with no reading in any year, as first and last day (year 2001, which has no 29 February).
fn year_not_covered(missing: &[(Date, Date)]) -> Refusal {
    let missing: Vec<String> = missing
        .iter()
        .map(|(from, to)| {
            format!(
                "from {} to {}",
                from.strftime("%-d %b"),
                to.strftime("%-d %b")
            )
        })
        .collect();
    Refusal::new(
        format!(
            "the readings do not make a year: nothing was read {}",
            missing.join(", ")
        ),
        "let the logger run on, add the missing months from another file, or give the seasons instead",
    )
}

/// A year of air made of a record.
#[derive(Debug, Clone, PartialEq)]
pub struct RecordedYear {
    /// The year, in hours.
    pub air: AirYear,
    /// Days of the year that were bridged by a straight line, as first and last day.
    pub bridged: Vec<(Date, Date)>,
}

/// Recorded air by the hour. An hour's state is the mean over the sixty minutes about it, each
/// reading standing for the time half-way to its neighbours.
#[derive(Debug, Clone, PartialEq)]
pub struct AirRecord {
    start: DateTime,
    hours: Vec<Option<AirState>>,
    gaps: Vec<Gap>,
    usual_step: i64,
}

impl AirRecord {
    /// From readings in the order of time, no time twice; `None` without a reading.
    pub(super) fn from_readings(readings: &[Reading]) -> Option<Self> {
        let first = readings.first()?.second;
        let last = readings.last()?.second;
        let usual_step = usual_step(readings);
        let longest = MIN_GAP.max(3 * usual_step);
        // The ends stand for half a usual step, as between two readings.
        let half_step = usual_step / 2;
        let zero = (first - half_step + HOUR / 2).div_euclid(HOUR) * HOUR;
        let count = usize::try_from((last + half_step - zero + HOUR / 2) / HOUR + 1).ok()?;
        let mut sums = vec![(0.0, 0.0, 0.0); count];
        let mut gaps = Vec::new();
        let half = usual_step as f64 / 2.0;
        for (index, reading) in readings.iter().enumerate() {
            let after = readings
                .get(index + 1)
                .map(|next| next.second - reading.second);
            if let Some(after) = after
                && after > longest
            {
                gaps.push(Gap {
                    from: time_of(reading.second),
                    to: time_of(reading.second + after),
                });
            }
            let before = index
                .checked_sub(1)
                .map(|index| reading.second - readings[index].second);
            let reach = |step: Option<i64>| match step {
                Some(step) if step <= longest => step as f64 / 2.0,
                _ => half,
            };
            let from = reading.second as f64 - reach(before);
            let to = reading.second as f64 + reach(after);
            spread(
                &mut sums,
                zero as f64 - HOUR as f64 / 2.0,
                from,
                to,
                reading,
            );
        }
        let mut hours: Vec<_> = sums
            .into_iter()
            .map(|(seconds, celsius, percent)| {
                (seconds >= 0.499 * HOUR as f64)
                    .then(|| AirState::computed(celsius / seconds, percent / seconds))
            })
            .collect();
        let from = hours.iter().position(Option::is_some)?;
        let to = hours.iter().rposition(Option::is_some)?;
        hours.truncate(to + 1);
        hours.drain(..from);
        Some(Self {
            start: time_of(zero + from as i64 * HOUR),
            hours,
            gaps,
            usual_step,
        })
    }

    /// Clock time of the first hour.
    #[must_use]
    pub const fn start(&self) -> DateTime {
        self.start
    }

    /// The hours from the start; `None` where nothing was read.
    #[must_use]
    pub fn hours(&self) -> &[Option<AirState>] {
        &self.hours
    }

    /// Clock time of an hour.
    #[must_use]
    pub fn time(&self, hour: usize) -> DateTime {
        time_of(second_of(self.start) + hour as i64 * HOUR)
    }

    /// Stretches without readings: longer than six hours and than three usual steps.
    #[must_use]
    pub fn gaps(&self) -> &[Gap] {
        &self.gaps
    }

    /// The usual time from one reading to the next, s (the median).
    #[must_use]
    pub const fn usual_step_seconds(&self) -> i64 {
        self.usual_step
    }

    /// The calendar months in the order of time.
    #[must_use]
    pub fn months(&self) -> Vec<MonthOfAir> {
        self.grouped(|date| (date.year(), date.month()))
            .into_iter()
            .map(|((year, month), hours)| MonthOfAir::of(Some(year), month, &hours))
            .collect()
    }

    /// The months of the year that were read, the years taken together.
    #[must_use]
    pub fn months_of_the_year(&self) -> Vec<MonthOfAir> {
        self.grouped(Date::month)
            .into_iter()
            .map(|(month, hours)| MonthOfAir::of(None, month, &hours))
            .collect()
    }

    /// The mean air of each day that has at least half its hours: temperature and vapour pressure.
    #[must_use]
    pub fn days(&self) -> BTreeMap<Date, AirState> {
        self.grouped(|date| date)
            .into_iter()
            .filter(|(_, hours)| hours.len() >= 12)
            .map(|(date, hours)| (date, mean_state(&hours)))
            .collect()
    }

    pub(super) fn grouped<K: Ord + Copy>(
        &self,
        key: impl Fn(Date) -> K,
    ) -> BTreeMap<K, Vec<AirState>> {
        let mut groups: BTreeMap<K, Vec<AirState>> = BTreeMap::new();
        let mut date = self.start.date();
        let mut group = key(date);
        let mut hour_of_day = usize::from(self.start.hour().unsigned_abs());
        for state in &self.hours {
            if hour_of_day == 24 {
                hour_of_day = 0;
                date = date.tomorrow().unwrap_or(date);
                group = key(date);
            }
            if let Some(state) = state {
                groups.entry(group).or_default().push(*state);
            }
            hour_of_day += 1;
        }
        groups
    }

    /// The year of this record: each hour of the year is the mean of that hour in the years that
    /// have it (temperature and vapour pressure), 29 February left out; stretches of up to a month
    /// that no year has are bridged and given.
    ///
    /// # Errors
    /// [`Refusal`] when more than that is missing.
    pub fn year(&self) -> Result<RecordedYear, Refusal> {
        let first_days = first_days();
        let mut met: Vec<Vec<AirState>> = vec![Vec::new(); DAYS_IN_YEAR * 24];
        for (index, state) in self.hours.iter().enumerate() {
            let time = self.time(index);
            if let Some(state) = state
                && !(time.month() == 2 && time.day() == 29)
            {
                let month = usize::from(time.month().unsigned_abs()) - 1;
                let day = first_days[month] + usize::from(time.day().unsigned_abs()) - 1;
                met[day * 24 + usize::from(time.hour().unsigned_abs())].push(*state);
            }
        }
        let hours: Vec<Option<AirState>> = met
            .iter()
            .map(|states| (!states.is_empty()).then(|| mean_state(states)))
            .collect();
        let holes = holes(&hours);
        let total: usize = holes.iter().map(|(_, count)| count).sum();
        let too_long = holes.iter().any(|(_, count)| *count > LONGEST_BRIDGE_HOURS);
        if too_long || total as f64 > MAX_BRIDGED_SHARE * hours.len() as f64 {
            let long = holes.iter().filter(|(_, count)| *count >= 24);
            return Err(year_not_covered(&long.map(days_of).collect::<Vec<_>>()));
        }
        let read = (hours.len() - total + 12) / 24;
        let (states, bridged) = bridge_year(hours);
        match AirYear::hourly(states) {
            Ok(air) => Ok(RecordedYear {
                air: air.read_over(u16::try_from(read).unwrap_or(u16::MAX)),
                bridged,
            }),
            Err(_) => Err(year_not_covered(&bridged)),
        }
    }
}

/// Adds a reading to every hour that its stretch of time touches.
fn spread(sums: &mut [(f64, f64, f64)], zero: f64, from: f64, to: f64, reading: &Reading) {
    let hour = HOUR as f64;
    let last = sums.len() as f64;
    let (first, end) = ((from - zero) / hour, (to - zero) / hour);
    let mut index = first.floor().clamp(0.0, last) as usize;
    while index < sums.len() && (index as f64) < end {
        let share = (end.min(index as f64 + 1.0) - first.max(index as f64)).max(0.0) * hour;
        let sum = &mut sums[index];
        sum.0 += share;
        sum.1 += share * reading.celsius;
        sum.2 += share * reading.percent;
        index += 1;
    }
}

/// The median of the steps between readings, s; an hour for a single reading.
fn usual_step(readings: &[Reading]) -> i64 {
    let mut steps: Vec<i64> = readings
        .windows(2)
        .map(|pair| pair[1].second - pair[0].second)
        .collect();
    let middle = steps.len() / 2;
    if steps.is_empty() {
        return HOUR;
    }
    *steps.select_nth_unstable(middle).1
}

/// Seconds of a clock time since 1970.
pub(super) fn second_of(time: DateTime) -> i64 {
    time.duration_since(DateTime::constant(1970, 1, 1, 0, 0, 0, 0))
        .as_secs()
}

/// Clock time of so many seconds since 1970; times past jiff's calendar are held at its ends.
pub(super) fn time_of(second: i64) -> DateTime {
    let epoch = DateTime::constant(1970, 1, 1, 0, 0, 0, 0);
    epoch.saturating_add(jiff::SignedDuration::from_secs(second))
}
