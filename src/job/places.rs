//! The places of a job: what air the parts stand in.

use super::checked::{FileNeeded, FileUse};
use crate::air::indoor::{Heating, HouseMoisture, Indoor};
use crate::air::{AirState, AirYear, Hemisphere, places};
use crate::units::notation::{Flag, NotationError, one_of};
use crate::units::told::{Name, Placed, Problems, ReadNotation, Told};
use crate::units::{RelativeHumidity, Temperature};
use schemars::JsonSchema;
use serde::Deserialize;
use std::ops::Range;

/// The place of a [`Place`] in its job.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct PlaceId(pub usize);

/// A place and its air: tell it in exactly one way.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct PlaceKeys {
    /// The same air all year.
    air: Option<Placed<AirKeys>>,
    /// Winter and summer humidity; a smooth year runs between them.
    seasons: Option<Placed<SeasonsKeys>>,
    /// Monthly means, January first.
    months: Option<Placed<MonthsKeys>>,
    /// A built-in place, such as "Denver": its outdoor air.
    place: Option<Told<Name>>,
    /// A logger's file.
    logger: Option<Placed<LoggerKeys>>,
    /// A weather file (EPW): outdoor air, hour by hour.
    weather: Option<Told<Name>>,
    /// The room, when the air told above is that of outdoors.
    indoor: Option<Placed<IndoorKeys>>,
}

/// The same air all year.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct AirKeys {
    /// Its temperature.
    temperature: Told<Temperature>,
    /// Its relative humidity.
    humidity: Told<RelativeHumidity>,
}

/// Winter and summer.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct SeasonsKeys {
    /// Relative humidity in the deepest winter.
    winter: Told<RelativeHumidity>,
    /// Relative humidity in the height of summer.
    summer: Told<RelativeHumidity>,
    /// Temperature, all year unless the seasons tell their own.
    temperature: Option<Told<Temperature>>,
    /// Temperature in winter.
    winter_temperature: Option<Told<Temperature>>,
    /// Temperature in summer.
    summer_temperature: Option<Told<Temperature>>,
    /// Which half of the earth, "north" or "south"; north unless told.
    hemisphere: Option<Told<Hemisphere>>,
}

/// Twelve months.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct MonthsKeys {
    /// Twelve relative humidities, January first.
    humidity: Option<Vec<Told<RelativeHumidity>>>,
    /// Twelve temperatures, January first, or one for all.
    temperature: Option<Vec<Told<Temperature>>>,
}

/// A logger's file.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct LoggerKeys {
    /// The file, from where the job file lies.
    file: Told<Name>,
    /// Which sensor, where the file holds more than one: a text that stands in its column heads.
    column: Option<Told<Name>>,
    /// Whether 03/04 is "day first" or "month first", where the file leaves it open.
    date_order: Option<Told<Name>>,
}

/// A room in outdoor air.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct IndoorKeys {
    /// The temperature that heating keeps; unless told, 20 C rising with warm weather (EN 15026).
    heat_to: Option<Told<Temperature>>,
    /// The temperature that cooling keeps; no cooling unless told.
    cool_to: Option<Told<Temperature>>,
    /// False for a shop or shed with no heat; true unless told.
    heated: Option<Told<Flag>>,
    /// The house's own moisture; "normal" unless told, "none" where there is no heat.
    vapour: Option<Told<HouseMoisture>>,
    /// A humidifier keeps the humidity from falling below this.
    humidify_to: Option<Told<RelativeHumidity>>,
    /// A dehumidifier keeps the humidity from rising above this.
    dehumidify_to: Option<Told<RelativeHumidity>>,
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

/// Where the air of a place comes from.
#[derive(Debug, Clone, PartialEq)]
pub enum Climate {
    /// A year that the job file tells by itself; indoors already where it told a room.
    Year(AirYear),
    /// A logger's file.
    Logger {
        /// The file as told.
        file: FileNeeded,
        /// Text in the head of the wanted sensor's column.
        column: Option<String>,
        /// Order of day and month as told.
        date_order: Option<String>,
        /// The room, when the logger stood outdoors.
        indoor: Option<Indoor>,
    },
    /// A weather file.
    Weather {
        /// The file as told.
        file: FileNeeded,
        /// The room; outdoors itself when none is told.
        indoor: Option<Indoor>,
    },
}

/// A place of the job.
#[derive(Debug, Clone, PartialEq)]
pub struct Place {
    /// The name under `[places]`.
    pub name: String,
    /// Where the file tells it.
    pub span: Range<usize>,
    /// Its air in words: `Denver, CO, United States; heated to 20 C; ...`.
    pub told: String,
    /// Its air.
    pub climate: Climate,
}

const WAYS: &str = "tell the air in one way: `air`, `seasons`, `months`, `place`, `logger` or `weather`; `indoor` may go with the last four";

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
            self.place.as_ref().map(Told::span),
            self.logger.as_ref().map(Placed::span),
            self.weather.as_ref().map(Told::span),
        ]
        .into_iter()
        .flatten()
        .collect();
        if ways.len() != 1 {
            let (at, message) = match ways.iter().max_by_key(|span| span.start) {
                None => (span, format!("the air of `{name}` is not told")),
                Some(last) => (
                    last.clone(),
                    format!("the air of `{name}` is told in more than one way"),
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
                    "`air` and `seasons` tell the air of the room itself",
                    "take `indoor` out, or tell the outdoor air by `place`, `months`, `logger` or `weather`",
                );
                None
            }
            Some(room) => room.get().read(room.span(), problems).map(Some),
        };
        let (told, climate) = self.climate(name, indoor, problems)?;
        Some(Place {
            name: name.to_owned(),
            span,
            told,
            climate,
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
            let told = format!(
                "the same air all year, {:.1} C and {} %",
                air.temperature.celsius(),
                air.humidity.percent()
            );
            return Some((told, Climate::Year(AirYear::constant(air))));
        }
        if let Some(seasons) = &self.seasons {
            let (told, outdoor) = seasons.get().read(seasons.span(), problems)?;
            return Some((told, Climate::Year(outdoor)));
        }
        if let Some(months) = &self.months {
            let outdoor = months.get().read(months.span(), problems);
            let (outdoor, indoor) = (outdoor?, indoor?);
            let told = words("twelve months as told".to_owned(), &indoor);
            return Some((told, year(outdoor, &indoor)));
        }
        if let Some(told) = &self.place {
            let Name(asked) = problems.take(told)?;
            let place = match places::find(&asked) {
                Ok(place) => place,
                Err(error) => {
                    let words = error.to_string();
                    let (message, remedy) = words.split_once("; ").unwrap_or((&words, WAYS));
                    problems.push(told.span(), message, remedy);
                    return None;
                }
            };
            let indoor = indoor?;
            let told = words(format!("outdoor air of {place}"), &indoor);
            return Some((told, year(place.outdoor_year(), &indoor)));
        }
        let needed = |told: &Told<Name>, path: Name, for_what: FileUse| FileNeeded {
            path: path.0,
            span: told.span(),
            why: for_what,
        };
        if let Some(logger) = &self.logger {
            let keys = logger.get();
            let file = problems.take(&keys.file);
            let column = problems.take_optional(keys.column.as_ref());
            let date_order = problems.take_optional(keys.date_order.as_ref());
            let file = needed(&keys.file, file?, FileUse::Logger(name.to_owned()));
            let indoor = indoor?;
            let told = words(format!("logger file {}", file.path), &indoor);
            return Some((
                told,
                Climate::Logger {
                    file,
                    column: column?.map(|text| text.0),
                    date_order: date_order?.map(|text| text.0),
                    indoor,
                },
            ));
        }
        let weather = self.weather.as_ref()?;
        let file = problems.take(weather)?;
        let file = needed(weather, file, FileUse::Weather(name.to_owned()));
        let indoor = indoor?;
        let told = words(format!("weather file {}", file.path), &indoor);
        Some((told, Climate::Weather { file, indoor }))
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
                "the temperature is not told for both seasons",
                "add temperature = \"70F\" for the whole year, or `winter_temperature` and `summer_temperature`",
            );
            return None;
        };
        let (winter, summer) = (AirState::new(cold, winter?), AirState::new(warm, summer?));
        let told = format!(
            "winter {} % at {:.1} C, summer {} % at {:.1} C",
            winter.humidity.percent(),
            cold.celsius(),
            summer.humidity.percent(),
            warm.celsius()
        );
        let hemisphere = hemisphere?.unwrap_or_default();
        Some((told, AirYear::seasons(winter, summer, hemisphere)))
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
fn twelve<T: Copy>(
    list: Option<&[Told<T>]>,
    key: &str,
    one_will_do: bool,
    span: &Range<usize>,
    problems: &mut Problems,
) -> Option<[T; 12]> {
    let list = list.unwrap_or_default();
    if !(list.len() == 12 || (list.len() == 1 && one_will_do)) {
        let or_one = if one_will_do { ", or one for all" } else { "" };
        problems.push(
            list.first().map_or(span.clone(), Told::span),
            format!("`{key}` tells {} months", list.len()),
            format!("give twelve values, January first{or_one}"),
        );
        return None;
    }
    let read: Vec<Option<T>> = list.iter().map(|told| problems.take(told)).collect();
    let read: Option<Vec<T>> = read.into_iter().collect();
    let read = read?;
    Some(std::array::from_fn(|month| read[month.min(read.len() - 1)]))
}

impl IndoorKeys {
    fn read(&self, span: Range<usize>, problems: &mut Problems) -> Option<Indoor> {
        let heat_to = problems.take_optional(self.heat_to.as_ref());
        let cool_to = problems.take_optional(self.cool_to.as_ref());
        let heated = problems.take_optional(self.heated.as_ref());
        let vapour = problems.take_optional(self.vapour.as_ref());
        let humidify = problems.take_optional(self.humidify_to.as_ref());
        let dehumidify = problems.take_optional(self.dehumidify_to.as_ref());
        let (heat_to, cool_to, heated) = (heat_to?, cool_to?, heated?);
        let heated = heated.is_none_or(|flag| flag.0);
        let heating = match (heated, heat_to, cool_to) {
            (false, None, None) => Heating::Unheated {
                warmer_by_kelvin: 0.0,
            },
            (false, _, _) => {
                problems.push(
                    span,
                    "a room that is not heated has no temperature to heat or cool to",
                    "take out `heated = false`, or `heat_to` and `cool_to`",
                );
                return None;
            }
            (true, Some(heat_to), cool_to) => {
                if cool_to.is_some_and(|cool_to| cool_to < heat_to) {
                    problems.push(
                        span,
                        "the room is cooled below the temperature it is heated to",
                        "give a `cool_to` that is not below `heat_to`",
                    );
                    return None;
                }
                Heating::HeatTo { heat_to, cool_to }
            }
            (true, None, Some(_)) => {
                problems.push(
                    span,
                    "`cool_to` needs `heat_to` beside it",
                    "give the temperature that heating keeps too",
                );
                return None;
            }
            (true, None, None) => Heating::En15026,
        };
        let usual = if heated {
            HouseMoisture::default()
        } else {
            HouseMoisture::None
        };
        let room = Indoor::new(heating, vapour?.unwrap_or(usual));
        match room.with_set_points(humidify?, dehumidify?) {
            Ok(room) => Some(room),
            Err(crossed) => {
                problems.push(
                    span,
                    format!(
                        "the air is humidified to {} % but dehumidified to {} %",
                        crossed.humidify_to.percent(),
                        crossed.dehumidify_to.percent()
                    ),
                    "set `humidify_to` below `dehumidify_to`",
                );
                None
            }
        }
    }
}
