//! Weather files in the EPW form: a typical or measured year of hours.
//!
//! The form (EnergyPlus, *Auxiliary Programs*; from memory): eight header
//! lines from `LOCATION` to `DATA PERIODS`, then a row an hour with year,
//! month, day, hour 1 to 24, minute, flags, dry bulb and dew point in C,
//! relative humidity in percent, pressure in Pa and more. Hour 1 is the hour
//! that ends at 01:00, the first of the year that repeats. Missing values are
//! 99.9 for temperatures and 999 for the humidity. The months of a typical year
//! come from different years, so the year of a row counts for nothing.

use super::bridge::bridge_year;
use super::dropped::{DropReason, Dropped};
use super::logger::text::decode;
use super::psychrometrics::saturation_pressure_pa_at;
use super::smooth::first_days;
use super::year::{DAYS_IN_YEAR, MONTH_DAYS};
use super::{AirState, AirYear};
use crate::units::{Bounds, Refusal, refusals};
use jiff::civil::Date;

/// Hours of the year that repeats.
const HOURS: usize = DAYS_IN_YEAR * 24;

/// Most hours that may be missing: a week in all.
const MOST_MISSING: usize = 7 * 24;

/// Maximum humidity the form allows, percent; above 100 the air is saturated.
const MAX_PERCENT: f64 = 110.0;

/// What was read of an EPW file.
#[derive(Debug, Clone, PartialEq)]
pub struct EpwReading {
    /// The station, `Chicago OHare Intl AP`.
    pub station: String,
    /// State, province and country as the file has them.
    pub region: String,
    /// Latitude, degrees, north positive.
    pub latitude_degrees: Option<f64>,
    /// Longitude, degrees, east positive.
    pub longitude_degrees: Option<f64>,
    /// Height above the sea, m.
    pub elevation_m: Option<f64>,
    /// Hourly rows in the file.
    pub rows_read: usize,
    /// Rows used; those of 29 February are not.
    pub rows_used: usize,
    /// Rows of 29 February, which the year that repeats has not.
    pub leap_day_rows: usize,
    /// Rows left out, by reason.
    pub rows_dropped: Dropped,
    /// Minimum and maximum year of the rows.
    pub years: Option<(i16, i16)>,
    /// Hours above saturation, which are taken as saturated.
    pub saturated_rows: usize,
    /// Hours whose humidity is missing and comes from the dew point.
    pub dew_point_rows: usize,
    /// Days with hours bridged by a straight line, as first and last day.
    pub bridged: Vec<(Date, Date)>,
    /// The outdoor air, 8760 hours.
    pub air: AirYear,
}

refusals! {
    no_location() =
        "the file does not begin with a LOCATION line, as an EPW weather file does",
        "give an EPW file or a logger's CSV";
    no_rows() =
        "no hourly rows follow the header of this weather file: it is cut off", "download it again";
}

/// The file ends or breaks off before the year is full.
fn incomplete(hours: usize, (from, to): (Date, Date), dropped: &Dropped) -> Refusal {
    let mut what = format!(
        "{hours} of the year's {HOURS} hours were read; nothing from {} to {}",
        from.strftime("%-d %b"),
        to.strftime("%-d %b")
    );
    let dropped = dropped.to_string();
    if !dropped.is_empty() {
        what.push_str(&format!(" (dropped: {dropped})"));
    }
    Refusal::new(what, "the file seems cut off or damaged: download it again")
}

/// Whether the text begins as an EPW file does.
#[must_use]
pub(super) fn begins_as_epw(text: &str) -> bool {
    text.trim_start_matches(['\u{feff}', ' ', '\r', '\n', '"'])
        .get(..8)
        .is_some_and(|start| start.eq_ignore_ascii_case("LOCATION"))
}

/// Reads an EPW file.
///
/// # Errors
/// [`Refusal`] when it is none, or when more than a week of its hours is missing.
pub fn read(bytes: &[u8]) -> Result<EpwReading, Refusal> {
    let (text, _) = decode(bytes)?;
    if !begins_as_epw(&text) {
        return Err(no_location());
    }
    let mut rows = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .quoting(text.bytes().filter(|byte| *byte == b'"').count() % 2 == 0)
        .from_reader(text.as_bytes());
    let mut location = csv::StringRecord::new();
    let mut sums = vec![(0.0, 0.0, 0_u32); HOURS];
    let mut tally = Tally::default();
    for record in rows.records().flatten() {
        if location.is_empty() {
            location = record;
        } else if is_hourly(&record) {
            tally.add(&record, &mut sums);
        }
    }
    if tally.rows_read == 0 {
        return Err(no_rows());
    }
    let hours: Vec<Option<AirState>> = sums
        .iter()
        .map(|(celsius, percent, rows)| {
            let rows = f64::from(*rows);
            (rows > 0.0).then(|| AirState::computed(celsius / rows, percent / rows))
        })
        .collect();
    let read = hours.iter().flatten().count();
    let (states, bridged) = bridge_year(hours);
    let incomplete = || {
        let longest = bridged
            .iter()
            .max_by_key(|(from, to)| to.day_of_year() - from.day_of_year())
            .copied()
            .unwrap_or((Date::MIN, Date::MAX));
        incomplete(read, longest, &tally.dropped)
    };
    if HOURS - read > MOST_MISSING {
        return Err(incomplete());
    }
    let air = AirYear::hourly(states).map_err(|_| incomplete())?;
    let field = |index: usize| location.get(index).unwrap_or_default().trim();
    let number = |index: usize| field(index).parse::<f64>().ok().filter(|n| n.is_finite());
    let region: Vec<_> = [field(2), field(3)]
        .into_iter()
        .filter(|part| !part.is_empty() && *part != "-")
        .collect();
    Ok(EpwReading {
        station: field(1).to_owned(),
        region: region.join(", "),
        latitude_degrees: number(6),
        longitude_degrees: number(7),
        elevation_m: number(9),
        rows_read: tally.rows_read,
        rows_used: tally.rows_used,
        leap_day_rows: tally.leap_day_rows,
        rows_dropped: tally.dropped,
        saturated_rows: tally.saturated_rows,
        dew_point_rows: tally.dew_point_rows,
        years: tally.years,
        bridged,
        air,
    })
}

/// Whether a record begins with five numbers, as an hourly row does and no header line.
fn is_hourly(record: &csv::StringRecord) -> bool {
    record.len() >= 5 && (0..5).all(|index| integer(record, index).is_some())
}

fn integer(record: &csv::StringRecord, index: usize) -> Option<i64> {
    // Some files write the hour as `1.0`.
    let value: f64 = record.get(index)?.trim().parse().ok()?;
    (value.abs() < 1e6).then_some(value.round() as i64)
}

#[derive(Default)]
struct Tally {
    rows_read: usize,
    rows_used: usize,
    leap_day_rows: usize,
    dropped: Dropped,
    saturated_rows: usize,
    dew_point_rows: usize,
    years: Option<(i16, i16)>,
    /// The slot and minute of the row before, to know a repeated row from the next of its hour.
    before: Option<(usize, i64)>,
}

impl Tally {
    fn add(&mut self, record: &csv::StringRecord, sums: &mut [(f64, f64, u32)]) {
        self.rows_read += 1;
        match self.row(record) {
            Ok(Some((slot, air))) => {
                self.rows_used += 1;
                let sum = &mut sums[slot];
                sum.0 += air.temperature.celsius();
                sum.1 += air.humidity.percent();
                sum.2 += 1;
            }
            Ok(None) => self.leap_day_rows += 1,
            Err(reason) => self.dropped.count(reason),
        }
    }

    /// The hour of the year and the air of a row; `None` for 29 February.
    fn row(&mut self, record: &csv::StringRecord) -> Result<Option<(usize, AirState)>, DropReason> {
        let part = |index: usize| integer(record, index).ok_or(DropReason::UnreadableTime);
        let (year, month, day, hour, minute) = (part(0)?, part(1)?, part(2)?, part(3)?, part(4)?);
        if !(1..=12).contains(&month) || !(1..=24).contains(&hour) {
            return Err(DropReason::UnreadableTime);
        }
        if let Ok(year) = i16::try_from(year) {
            let (min, max) = self.years.unwrap_or((year, year));
            self.years = Some((min.min(year), max.max(year)));
        }
        if (month, day) == (2, 29) {
            return Ok(None);
        }
        let month = month as usize - 1;
        if day < 1 || day > MONTH_DAYS[month] as i64 {
            return Err(DropReason::UnreadableTime);
        }
        let slot = (first_days()[month] + day as usize - 1) * 24 + hour as usize - 1;
        if self.before.replace((slot, minute)) == Some((slot, minute)) {
            return Err(DropReason::RepeatedTime);
        }
        self.state_of(record).map(|air| Some((slot, air)))
    }

    /// The air of a row: dry bulb and humidity, or dew point where the humidity is missing.
    fn state_of(&mut self, record: &csv::StringRecord) -> Result<AirState, DropReason> {
        let celsius = value(record, 6)?;
        if celsius >= 99.0 {
            return Err(DropReason::MissingValue);
        }
        Bounds::TEMPERATURE
            .check(celsius)
            .map_err(|_| DropReason::TemperatureOutOfRange)?;
        let percent = match value(record, 8) {
            Ok(percent) if percent < 999.0 => percent,
            missing => {
                let dew = value(record, 7)?;
                if dew >= 99.0 {
                    return Err(missing.err().unwrap_or(DropReason::MissingValue));
                }
                self.dew_point_rows += 1;
                let share = saturation_pressure_pa_at(dew) / saturation_pressure_pa_at(celsius);
                (100.0 * share).min(100.0)
            }
        };
        if percent <= 0.0 {
            return Err(DropReason::HumidityZeroOrLess);
        }
        if percent > MAX_PERCENT {
            return Err(DropReason::HumidityAbove100);
        }
        self.saturated_rows += usize::from(percent > 100.0);
        Ok(AirState::computed(celsius, percent))
    }
}

fn value(record: &csv::StringRecord, index: usize) -> Result<f64, DropReason> {
    let text = record.get(index).unwrap_or_default().trim();
    if text.is_empty() {
        return Err(DropReason::EmptyCell);
    }
    match text.parse::<f64>() {
        Ok(value) if value.is_finite() => Ok(value),
        _ => Err(DropReason::NotANumber),
    }
}
