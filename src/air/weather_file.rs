//! A file of air, whichever it is: an EPW weather file or a logger's CSV, given
//! apart by what it begins with.

use super::epw::{self, EpwReading};
use super::logger::text::decode;
use super::logger::{self, LoggerReading, Options, Unread};
use super::{AirYear, Columns, Dropped, Gap, MonthOfAir, cautions};
use crate::units::Refusal;
use jiff::civil::Date;

/// What was read of a file of air.
#[derive(Debug, Clone, PartialEq)]
pub enum WeatherFile {
    /// A weather file of a year.
    Epw(Box<EpwReading>),
    /// A logger's readings.
    Logger(Box<LoggerReading>),
}

/// Reads a file of air. `name` is what errors call it.
///
/// # Errors
/// [`Unread`] with the file's name.
pub fn read(bytes: &[u8], name: &str, options: &Options) -> Result<WeatherFile, Unread> {
    let begins_as_epw =
        decode(&bytes[..bytes.len().min(200)]).is_ok_and(|(start, _)| epw::begins_as_epw(&start));
    let read = if begins_as_epw {
        let reading = epw::read(bytes).map_err(Unread::from);
        reading.map(|reading| WeatherFile::Epw(Box::new(reading)))
    } else {
        logger::read(bytes, options).map(|reading| WeatherFile::Logger(Box::new(reading)))
    };
    read.map_err(|unread| unread.of_file(name))
}

impl WeatherFile {
    /// The year of air that repeats, in hours. `name` is what an error calls the file.
    ///
    /// # Errors
    /// [`Refusal`] when a logger's readings leave too much of the year open.
    pub fn year(&self, name: &str) -> Result<AirYear, Refusal> {
        match self {
            Self::Epw(reading) => Ok(reading.air.clone()),
            Self::Logger(reading) => reading
                .record
                .year()
                .map(|year| year.air)
                .map_err(|refusal| refusal.at(format!("`{name}`"))),
        }
    }

    /// The months of the year that were read, several years taken together.
    #[must_use]
    pub fn months(&self) -> Vec<MonthOfAir> {
        match self {
            Self::Epw(reading) => reading.air.months_of_the_year(),
            Self::Logger(reading) => reading.record.months_of_the_year(),
        }
    }

    /// Rows of readings in the file.
    #[must_use]
    pub fn rows_read(&self) -> usize {
        match self {
            Self::Epw(reading) => reading.rows_read,
            Self::Logger(reading) => reading.rows_read,
        }
    }

    /// Rows used.
    #[must_use]
    pub fn rows_used(&self) -> usize {
        match self {
            Self::Epw(reading) => reading.rows_used,
            Self::Logger(reading) => reading.rows_used,
        }
    }

    /// Rows left out, by reason.
    #[must_use]
    pub fn rows_dropped(&self) -> &Dropped {
        match self {
            Self::Epw(reading) => &reading.rows_dropped,
            Self::Logger(reading) => &reading.rows_dropped,
        }
    }

    /// Gaps between the readings; an EPW file's are among its warnings, by day.
    #[must_use]
    pub fn gaps(&self) -> &[Gap] {
        match self {
            Self::Epw(_) => &[],
            Self::Logger(reading) => reading.record.gaps(),
        }
    }

    /// What a maker should know about what was read: air that makes no sense, rows left out, gaps,
    /// stretches bridged, units and order assumed.
    #[must_use]
    pub fn warnings(&self) -> Vec<String> {
        let columns = match self {
            Self::Epw(_) => Columns {
                temperature: "Dry Bulb Temperature",
                humidity: "Relative Humidity",
                fahrenheit: false,
                unit_remedy: "a weather file holds Celsius, so get it again from its source",
            },
            Self::Logger(reading) => Columns {
                temperature: &reading.temperature_column,
                humidity: &reading.humidity_column,
                fahrenheit: reading.temperature_unit == "F",
                unit_remedy: "name the unit with `unit` beside the logger's file, or --temperature-unit",
            },
        };
        let mut warnings = cautions(&self.months(), &columns);
        let dropped = self.rows_dropped();
        if dropped.total() > 0 {
            warnings.push(format!(
                "{} of {} rows left out: {dropped}",
                dropped.total(),
                self.rows_read()
            ));
        }
        match self {
            Self::Epw(reading) => {
                if reading.leap_day_rows > 0 {
                    warnings.push(format!(
                        "{} hours of 29 February left out",
                        reading.leap_day_rows
                    ));
                }
                if reading.saturated_rows > 0 {
                    warnings.push(format!(
                        "{} hours above 100 % taken as saturated air",
                        reading.saturated_rows
                    ));
                }
                if reading.dew_point_rows > 0 {
                    warnings.push(format!(
                        "the humidity of {} hours comes from their dew point",
                        reading.dew_point_rows
                    ));
                }
                warnings.extend(bridged_words(&reading.bridged));
            }
            Self::Logger(reading) => {
                warnings.extend(reading.notes.iter().cloned());
                for gap in reading.record.gaps().iter().take(6) {
                    warnings.push(format!("no readings for {gap}"));
                }
                let more = reading.record.gaps().len().saturating_sub(6);
                if more > 0 {
                    warnings.push(format!("and {more} more gaps"));
                }
                match reading.record.year() {
                    Ok(year) => warnings.extend(bridged_words(&year.bridged)),
                    Err(error) => warnings.push(error.to_string()),
                }
            }
        }
        warnings
    }
}

fn bridged_words(bridged: &[(Date, Date)]) -> Vec<String> {
    bridged
        .iter()
        .map(|(from, to)| {
            let (from, to) = (from.strftime("%-d %b"), to.strftime("%-d %b"));
            format!("nothing was read from {from} to {to}: bridged by a straight line")
        })
        .collect()
}
