//! The built-in places: mean outdoor air of twelve months.
//!
//! `tmy.csv` holds twelve rows a place: mean temperature, mean dew point and
//! printed mean humidity, taken from the monthly statistics of typical-year
//! weather files (TMY and TMY3 of the USA, CWEC of Canada, national files
//! elsewhere; the `source` column names kind and station). A typical year is no
//! long-term normal. The vapour pressure comes from temperature and dew point:
//! the printed humidity is the mean of the hours and lies above it by several
//! points where days and nights differ much (Denver, Boise, Phoenix).
//!
//! `dwd.csv` holds 101 more in the same columns, worked out from the monthly CLIMAT reports of March 2003 to July 2021 in the
//! open data of the German weather service. Data basis: Deutscher Wetterdienst. Their dew point is that of the mean
//! vapour pressure; their humidity is the mean vapour pressure over the mean saturation pressure, without
//! the swing of days. One printed humidity is far off its dew point, Buenos Aires in August (53 % against 71 %); printed humidities are
//! not used. They are some 0.7 C warmer than the typical years.

use crate::air::psychrometrics::saturation_pressure_pa_at;
use crate::air::{AirState, AirYear};
use crate::units::Refusal;
use std::fmt;
use std::sync::OnceLock;

mod near;

pub use near::{Coordinates, nearest, search};

/// Mean outdoor air of a place, month by month.
#[derive(Debug, Clone, PartialEq)]
pub struct Place {
    /// The city, `Denver`.
    pub name: String,
    /// State or province, `CO`.
    pub region: Option<String>,
    /// The country, `United States`.
    pub country: String,
    /// Latitude, degrees, north positive.
    pub latitude_degrees: f64,
    /// Longitude, degrees, east positive.
    pub longitude_degrees: f64,
    /// Height above the sea, m.
    pub elevation_m: f64,
    /// Mean air of each month, January first, its vapour pressure that of the mean dew point.
    pub months: [AirState; 12],
    /// Mean of the hourly humidities of each month as printed, percent.
    pub printed_humidity_percent: [f64; 12],
    /// The weather file the means come from.
    pub source: String,
    /// `seen` when the source itself was read.
    pub status: String,
}

impl Place {
    /// The smooth outdoor year through the place's months.
    #[must_use]
    pub fn outdoor_year(&self) -> AirYear {
        AirYear::months(self.months)
    }
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.name)?;
        if let Some(region) = &self.region {
            write!(f, ", {region}")?;
        }
        write!(f, ", {}", self.country)
    }
}

/// No built-in place has the name; those of a similar one, the nearest first.
fn unknown(asked: &str, suggestions: &[String]) -> Refusal {
    let others = "a larger city nearby, or give the seasons, the months or a weather file";
    let remedy = if suggestions.is_empty() {
        format!("name {others}")
    } else {
        format!(
            "did you mean {}? Otherwise name {others}",
            suggestions.join(" or ")
        )
    };
    Refusal::new(format!("no built-in place is called `{asked}`"), remedy)
}

/// More than one built-in place has the name.
fn several(asked: &str, choices: &[String]) -> Refusal {
    Refusal::new(
        format!("`{asked}` is the name of several places"),
        format!("write {}", choices.join(" or ")),
    )
}

/// All built-in places, in the order of the table.
pub fn built_in() -> &'static [Place] {
    static PLACES: OnceLock<Vec<Place>> = OnceLock::new();
    PLACES.get_or_init(|| {
        let mut places = parse(include_str!("tmy.csv"));
        places.extend(parse(include_str!("dwd.csv")));
        places
    })
}

/// The built-in place of a name: `Denver`, `Denver, CO`, `Denver, United States`; either half of a
/// double name (`Seattle` for Seattle-Tacoma); capitals, accents and full stops do not count.
///
/// # Errors
/// [`Refusal`] with what is near, or with the places that share the name.
pub fn find(name: &str) -> Result<&'static Place, Refusal> {
    let mut parts = name.split(',').map(plain).filter(|part| !part.is_empty());
    let city = parts.next().unwrap_or_default();
    let wheres: Vec<_> = parts.collect();
    let found: Vec<_> = built_in()
        .iter()
        .filter(|place| {
            let region = place.region.as_deref().map(plain);
            let country = plain(&place.country);
            let lies_in = |part: &String| region.as_ref() == Some(part) || &country == part;
            let is_called = |words: &str| names(place).iter().any(|known| known == words);
            (is_called(&city) && wheres.iter().all(lies_in))
                || (wheres.is_empty()
                    && region.as_ref().is_some_and(|region| {
                        city.strip_suffix(region.as_str())
                            .is_some_and(|words| is_called(words.trim_end()))
                    }))
        })
        .collect();
    match found[..] {
        [place] => Ok(place),
        [] => Err(unknown(name.trim(), &near(&city))),
        _ => {
            let choices: Vec<String> = found.iter().map(ToString::to_string).collect();
            Err(several(name.trim(), &choices))
        }
    }
}

/// The whole name and each half of a double one.
fn names(place: &Place) -> Vec<String> {
    let mut names = vec![plain(&place.name)];
    names.extend(place.name.split(['-', '(', ')']).map(plain));
    names.retain(|name| !name.is_empty());
    names
}

/// Lower case without accents, full stops and doubled blanks; `saint` is `st`.
fn plain(text: &str) -> String {
    let letters: String = text
        .chars()
        .flat_map(char::to_lowercase)
        .filter_map(|letter| match letter {
            '.' | '\'' | '\u{2019}' => None,
            'á' | 'à' | 'â' | 'ã' | 'ä' => Some('a'),
            'é' | 'è' | 'ê' | 'ë' => Some('e'),
            'í' | 'ï' => Some('i'),
            'ó' | 'ô' | 'ö' | 'õ' => Some('o'),
            'ú' | 'ü' => Some('u'),
            '-' | '_' | '(' | ')' | '/' => Some(' '),
            other => Some(other),
        })
        .collect();
    let words: Vec<_> = letters
        .split_whitespace()
        .map(|word| if word == "saint" { "st" } else { word })
        .collect();
    words.join(" ")
}

/// Up to three places whose name is near.
fn near(city: &str) -> Vec<String> {
    let mut scored: Vec<(f64, String)> = built_in()
        .iter()
        .map(|place| {
            let score = names(place)
                .iter()
                .map(|known| strsim::normalized_damerau_levenshtein(known, city))
                .fold(0.0, f64::max);
            (score, place.to_string())
        })
        .filter(|(score, _)| *score >= 0.6)
        .collect();
    scored.sort_by(|a, b| b.0.total_cmp(&a.0).then_with(|| a.1.cmp(&b.1)));
    scored.into_iter().take(3).map(|(_, name)| name).collect()
}

/// One row of the table.
#[derive(serde::Deserialize)]
struct Row {
    place: String,
    region: Option<String>,
    country: String,
    latitude_deg: f64,
    longitude_deg: f64,
    elevation_m: f64,
    month: usize,
    temperature_c: f64,
    dew_point_c: f64,
    humidity_percent: f64,
    source: String,
    status: String,
}

/// Places of the table that have all their twelve months; that none is lost is tested.
fn parse(text: &str) -> Vec<Place> {
    let mut places: Vec<(Place, usize)> = Vec::new();
    for row in csv::Reader::from_reader(text.as_bytes())
        .deserialize::<Row>()
        .flatten()
    {
        let same = |place: &Place| {
            place.name == row.place && place.region == row.region && place.country == row.country
        };
        if !places.last().is_some_and(|(place, _)| same(place)) {
            let place = Place {
                name: row.place.clone(),
                region: row.region.clone(),
                country: row.country.clone(),
                latitude_degrees: row.latitude_deg,
                longitude_degrees: row.longitude_deg,
                elevation_m: row.elevation_m,
                months: [AirState::computed(0.0, 0.0); 12],
                printed_humidity_percent: [0.0; 12],
                source: row.source.clone(),
                status: row.status.clone(),
            };
            places.push((place, 0));
        }
        let Some((place, months)) = places.last_mut() else {
            continue;
        };
        if row.month == *months + 1 && row.month <= 12 {
            place.months[*months] = AirState::of_vapour_pressure(
                row.temperature_c,
                saturation_pressure_pa_at(row.dew_point_c),
            );
            place.printed_humidity_percent[*months] = row.humidity_percent;
            *months += 1;
        }
    }
    places
        .into_iter()
        .filter_map(|(place, months)| (months == 12).then_some(place))
        .collect()
}
