//! The places of a job as its file tells them.

use super::checked::{FileNeeded, FileUse};
use super::climate::{AirKnown, Climate, Place};
use super::room::IndoorKeys;
use crate::air::indoor::Indoor;
use crate::air::logger::{DateOrder, Options};
use crate::air::{AirState, AirYear, Hemisphere, places};
use crate::units::notation::{NotationError, one_of, temperature_shown};
use crate::units::spanned::{Name, Placed, Problems, ReadNotation, Spanned};
use crate::units::{RelativeHumidity, Temperature, UnitSystem};
#[cfg(feature = "job")]
use schemars::JsonSchema;
use serde::Deserialize;
use std::ops::Range;

/// A place and its air: give it in exactly one way.
#[derive(Debug, Clone, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields)]
pub(super) struct PlaceKeys {
    /// The same air all year.
    air: Option<Placed<AirKeys>>,
    /// Winter and summer humidity; a smooth year runs between them.
    seasons: Option<Placed<SeasonsKeys>>,
    /// Monthly means, January first.
    months: Option<Placed<MonthsKeys>>,
    /// A built-in place, such as "Denver": its outdoor air.
    place: Option<Spanned<Name>>,
    /// A logger's file.
    logger: Option<Placed<LoggerKeys>>,
    /// A weather file (EPW): outdoor air, hour by hour.
    weather: Option<Spanned<Name>>,
    /// The room, when the air given above is that of outdoors.
    indoor: Option<Placed<IndoorKeys>>,
}

/// The same air all year.
#[derive(Debug, Clone, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields)]
struct AirKeys {
    /// Its temperature.
    temperature: Spanned<Temperature>,
    /// Its relative humidity.
    humidity: Spanned<RelativeHumidity>,
}

/// Winter and summer.
#[derive(Debug, Clone, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields)]
struct SeasonsKeys {
    /// Relative humidity in the deepest winter.
    winter: Spanned<RelativeHumidity>,
    /// Relative humidity in the height of summer.
    summer: Spanned<RelativeHumidity>,
    /// Temperature, all year unless the seasons give their own.
    temperature: Option<Spanned<Temperature>>,
    /// Temperature in winter.
    winter_temperature: Option<Spanned<Temperature>>,
    /// Temperature in summer.
    summer_temperature: Option<Spanned<Temperature>>,
    /// Which half of the earth, "north" or "south"; north unless given.
    hemisphere: Option<Spanned<Hemisphere>>,
}

/// Twelve months.
#[derive(Debug, Clone, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields)]
struct MonthsKeys {
    /// Twelve relative humidities, January first.
    humidity: Option<Vec<Spanned<RelativeHumidity>>>,
    /// Twelve temperatures, January first, or one for all.
    temperature: Option<Vec<Spanned<Temperature>>>,
}

/// A logger's file.
#[derive(Debug, Clone, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields)]
struct LoggerKeys {
    /// The file, from where the job file lies.
    file: Spanned<Name>,
    /// Which columns, where the file leaves it open: a part of a column's head or its number.
    columns: Option<Vec<Spanned<Name>>>,
    /// Whether 03/04 is "day first" or "month first", where the file leaves it open.
    date_order: Option<Spanned<DateOrder>>,
    /// The unit of temperatures without one, "C" or "F".
    unit: Option<Spanned<DegreeUnit>>,
}

/// The unit of temperatures in a logger's file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct DegreeUnit {
    fahrenheit: bool,
}

impl ReadNotation for DegreeUnit {
    const WHAT: &'static str = "\"C\" or \"F\"";
    fn read(text: &str) -> Result<Self, NotationError> {
        let unit = |fahrenheit| Self { fahrenheit };
        one_of(
            text,
            "a unit of temperature",
            &[
                ("C", unit(false)),
                ("F", unit(true)),
                ("Celsius", unit(false)),
                ("Fahrenheit", unit(true)),
            ],
        )
    }
}

impl ReadNotation for DateOrder {
    const WHAT: &'static str = "\"day first\", \"month first\" or \"year first\"";
    fn read(text: &str) -> Result<Self, NotationError> {
        one_of(
            text,
            "an order of dates",
            &[
                ("day first", Self::DayMonthYear),
                ("month first", Self::MonthDayYear),
                ("year first", Self::YearMonthDay),
                ("dmy", Self::DayMonthYear),
                ("mdy", Self::MonthDayYear),
                ("ymd", Self::YearMonthDay),
            ],
        )
    }
}

impl ReadNotation for Hemisphere {
    const WHAT: &'static str = "\"north\" or \"south\"";
    fn read(text: &str) -> Result<Self, NotationError> {
        one_of(
            text,
            "a half of the earth",
            &[("north", Self::North), ("south", Self::South)],
        )
    }
}

const WAYS: &str = "give the air in one way: `air`, `seasons`, `months`, `place`, `logger` or `weather`; `indoor` may go with the last four";

impl PlaceKeys {
    pub(super) fn read(
        &self,
        name: &str,
        span: Range<usize>,
        problems: &mut Problems,
    ) -> Option<Place> {
        let ways: Vec<Range<usize>> = [
            self.air.as_ref().map(Placed::span),
            self.seasons.as_ref().map(Placed::span),
            self.months.as_ref().map(Placed::span),
            self.place.as_ref().map(Spanned::span),
            self.logger.as_ref().map(Placed::span),
            self.weather.as_ref().map(Spanned::span),
        ]
        .into_iter()
        .flatten()
        .collect();
        if ways.len() != 1 {
            let (at, message) = match ways.iter().max_by_key(|span| span.start) {
                None => (span, format!("the air of `{name}` is not given")),
                Some(last) => (
                    last.clone(),
                    format!("the air of `{name}` is given in more than one way"),
                ),
            };
            problems.push(at, message, WAYS);
            return None;
        }
        let indoor = match &self.indoor {
            None => Some(None),
            Some(room) if self.air.is_some() || self.seasons.is_some() => {
                problems.push(
                    room.span(),
                    "`air` and `seasons` describe the air of the room itself",
                    "take `indoor` out, or give the outdoor air by `place`, `months`, `logger` or `weather`",
                );
                None
            }
            Some(room) => room.get().read(room.span(), problems).map(Some),
        };
        let known = match &indoor {
            Some(Some(_)) => AirKnown::WorkedOut,
            _ if self.logger.is_some() => AirKnown::Logged,
            _ => AirKnown::Given,
        };
        let (given, climate) = self.climate(name, indoor, problems)?;
        Some(Place {
            known,
            name: name.to_owned(),
            span,
            given,
            climate,
            cautions: self
                .seasons
                .as_ref()
                .and_then(|seasons| seasons.get().caution())
                .into_iter()
                .collect(),
        })
    }

    fn climate(
        &self,
        name: &str,
        indoor: Option<Option<Indoor>>,
        problems: &mut Problems,
    ) -> Option<(String, Climate)> {
        let words = |outdoor: String, indoor: &Option<Indoor>| match indoor {
            None => outdoor,
            Some(room) => format!("{outdoor}; {room}"),
        };
        let year = |outdoor: AirYear, indoor: &Option<Indoor>| {
            Climate::Year(match indoor {
                None => outdoor,
                Some(room) => room.year(&outdoor),
            })
        };
        if let Some(air) = &self.air {
            let air = air.get().read(problems)?;
            let given = format!(
                "the same air all year, {} and {} %",
                temperature_shown(air.temperature, UnitSystem::Metric),
                air.humidity.percent()
            );
            return Some((given, Climate::Year(AirYear::constant(air))));
        }
        if let Some(seasons) = &self.seasons {
            let (given, outdoor) = seasons.get().read(seasons.span(), problems)?;
            return Some((given, Climate::Year(outdoor)));
        }
        if let Some(months) = &self.months {
            let outdoor = months.get().read(months.span(), problems);
            let (outdoor, indoor) = (outdoor?, indoor?);
            let given = words("twelve months as given".to_owned(), &indoor);
            return Some((given, year(outdoor, &indoor)));
        }
        if let Some(given) = &self.place {
            let Name(asked) = problems.take(given)?;
            let place = match places::find(&asked) {
                Ok(place) => place,
                Err(error) => {
                    problems.refuse(given.span(), &error);
                    return None;
                }
            };
            let indoor = indoor?;
            let given = words(format!("outdoor air of {place}"), &indoor);
            return Some((given, year(place.outdoor_year(), &indoor)));
        }
        let needed = |given: &Spanned<Name>, path: Name, for_what: FileUse| FileNeeded {
            path: path.0,
            span: given.span(),
            why: for_what,
        };
        if let Some(logger) = &self.logger {
            let keys = logger.get();
            let file = problems.take(&keys.file);
            let columns = keys.columns.as_deref().unwrap_or_default();
            let columns: Vec<Option<Name>> =
                columns.iter().map(|given| problems.take(given)).collect();
            let columns: Option<Vec<Name>> = columns.into_iter().collect();
            let date_order = problems.take_optional(keys.date_order.as_ref());
            let unit = problems.take_optional(keys.unit.as_ref());
            let file = needed(&keys.file, file?, FileUse::Logger(name.to_owned()));
            let indoor = indoor?;
            let given = words(format!("logger file {}", file.path), &indoor);
            let options = Options {
                columns: columns?.into_iter().map(|text| text.0).collect(),
                date_order: date_order?,
                fahrenheit: unit?.map(|unit| unit.fahrenheit),
            };
            return Some((
                given,
                Climate::File {
                    file,
                    options,
                    indoor,
                },
            ));
        }
        let weather = self.weather.as_ref()?;
        let file = problems.take(weather)?;
        let file = needed(weather, file, FileUse::Weather(name.to_owned()));
        let indoor = indoor?;
        let given = words(format!("weather file {}", file.path), &indoor);
        let options = Options::default();
        Some((
            given,
            Climate::File {
                file,
                options,
                indoor,
            },
        ))
    }
}

impl AirKeys {
    fn read(&self, problems: &mut Problems) -> Option<AirState> {
        let temperature = problems.take(&self.temperature);
        let humidity = problems.take(&self.humidity);
        Some(AirState::new(temperature?, humidity?))
    }
}

impl SeasonsKeys {
    /// What to tell a maker of a winter wetter than its summer.
    fn caution(&self) -> Option<String> {
        let mut unheard = Problems::default();
        let (winter, summer) = (unheard.take(&self.winter)?, unheard.take(&self.summer)?);
        (winter > summer).then(|| {
            format!(
                "the winter, {} %, is wetter than the summer, {} %: outdoors that can be, but a heated room is driest in winter; check whether `winter` and `summer` are swapped",
                winter.percent(),
                summer.percent()
            )
        })
    }

    fn read(&self, span: Range<usize>, problems: &mut Problems) -> Option<(String, AirYear)> {
        let winter = problems.take(&self.winter);
        let summer = problems.take(&self.summer);
        let both = problems.take_optional(self.temperature.as_ref());
        let cold = problems.take_optional(self.winter_temperature.as_ref());
        let warm = problems.take_optional(self.summer_temperature.as_ref());
        let hemisphere = problems.take_optional(self.hemisphere.as_ref());
        let (both, cold, warm) = (both?, cold?, warm?);
        let (Some(cold), Some(warm)) = (cold.or(both), warm.or(both)) else {
            problems.push(
                span,
                "the temperature is not given for both seasons",
                "add temperature = \"70F\" for the whole year, or `winter_temperature` and `summer_temperature`",
            );
            return None;
        };
        let (winter, summer) = (AirState::new(cold, winter?), AirState::new(warm, summer?));
        let given = format!(
            "winter {} % at {}, summer {} % at {}",
            winter.humidity.percent(),
            temperature_shown(cold, UnitSystem::Metric),
            summer.humidity.percent(),
            temperature_shown(warm, UnitSystem::Metric)
        );
        let hemisphere = hemisphere?.unwrap_or_default();
        Some((given, AirYear::seasons(winter, summer, hemisphere)))
    }
}

impl MonthsKeys {
    fn read(&self, span: Range<usize>, problems: &mut Problems) -> Option<AirYear> {
        let humidities = twelve(self.humidity.as_deref(), "humidity", false, &span, problems);
        let temperatures = twelve(
            self.temperature.as_deref(),
            "temperature",
            true,
            &span,
            problems,
        );
        let (humidities, temperatures) = (humidities?, temperatures?);
        let month = |index: usize| AirState::new(temperatures[index], humidities[index]);
        Some(AirYear::months(std::array::from_fn(month)))
    }
}

/// Twelve values, or one that stands for all where that makes sense.
fn twelve<T: Copy + ReadNotation>(
    list: Option<&[Spanned<T>]>,
    key: &str,
    one_will_do: bool,
    span: &Range<usize>,
    problems: &mut Problems,
) -> Option<[T; 12]> {
    let list = list.unwrap_or_default();
    if !(list.len() == 12 || (list.len() == 1 && one_will_do)) {
        let or_one = if one_will_do { ", or one for all" } else { "" };
        problems.push(
            list.first().map_or(span.clone(), Spanned::span),
            format!("`{key}` gives {} months", list.len()),
            format!("give twelve values, January first{or_one}"),
        );
        return None;
    }
    let read: Vec<Option<T>> = list.iter().map(|given| problems.take(given)).collect();
    let read: Option<Vec<T>> = read.into_iter().collect();
    let read = read?;
    Some(std::array::from_fn(|month| read[month.min(read.len() - 1)]))
}
