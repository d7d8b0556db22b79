//! Which built-in places are near a point, and what their air does to wood, in words.

use super::{Place, built_in, plain};
use crate::air::{AirState, equilibrium_moisture};
use crate::units::notation::NotationError;
use crate::units::spanned::ReadNotation;
use crate::units::{RelativeHumidity, Temperature};

/// Mean radius of the Earth, km.
const EARTH_KM: f64 = 6371.0;

/// A point on the map.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Coordinates {
    /// Latitude, degrees, north positive.
    pub latitude_degrees: f64,
    /// Longitude, degrees, east positive.
    pub longitude_degrees: f64,
}

impl ReadNotation for Coordinates {
    const WHAT: &'static str =
        "latitude and longitude in degrees, such as \"39.7,-105.0\" or \"39.7N 105.0W\"";

    fn read(text: &str) -> Result<Self, NotationError> {
        let wrong =
            |reason: &str| NotationError::new(text, reason, &format!("write {}", Self::WHAT));
        let parts: Vec<&str> = text
            .split([',', ' ', ';'])
            .map(str::trim)
            .filter(|part| !part.is_empty())
            .collect();
        let [latitude, longitude] = parts[..] else {
            return Err(wrong("two numbers are needed"));
        };
        let degrees = |part: &str, minus: char, plus: char, most: f64| {
            let upper = part.to_uppercase();
            let (number, sign) = match upper.strip_suffix(minus) {
                Some(number) => (number, -1.0),
                None => (upper.strip_suffix(plus).unwrap_or(&upper), 1.0),
            };
            let value: f64 = number
                .trim_end_matches('°')
                .replace('\u{2212}', "-")
                .parse()
                .map_err(|_| wrong("a number cannot be read"))?;
            if value.abs() <= most {
                Ok(sign * value)
            } else {
                Err(wrong(&format!("{value} is beyond {most} degrees")))
            }
        };
        Ok(Self {
            latitude_degrees: degrees(latitude, 'S', 'N', 90.0)?,
            longitude_degrees: degrees(longitude, 'W', 'E', 180.0)?,
        })
    }
}

/// Built-in places from the nearest outward, each with its distance along the great circle, km.
#[must_use]
pub fn nearest(point: Coordinates) -> Vec<(f64, &'static Place)> {
    let mut all: Vec<(f64, &Place)> = built_in()
        .iter()
        .map(|place| (place.kilometers_from(point), place))
        .collect();
    all.sort_by(|a, b| a.0.total_cmp(&b.0));
    all
}

/// Built-in places whose name or region holds the words and whose country is the one named; all without either.
#[must_use]
pub fn search(words: Option<&str>, country: Option<&str>) -> Vec<&'static Place> {
    let words = words.map(plain);
    let country = country.map(|country| {
        let country = plain(country);
        match country.as_str() {
            "us" | "usa" | "america" => "united states".to_owned(),
            "uk" | "britain" | "great britain" | "england" | "scotland" | "wales" => {
                "united kingdom".to_owned()
            }
            _ => country,
        }
    });
    built_in()
        .iter()
        .filter(|place| {
            let whole = plain(&place.to_string().replace(',', " "));
            words
                .as_ref()
                .is_none_or(|words| words.split(' ').all(|word| whole.contains(word)))
                && country
                    .as_ref()
                    .is_none_or(|country| plain(&place.country).contains(country.as_str()))
        })
        .collect()
}

impl Place {
    /// Distance along the great circle, km (haversine).
    #[must_use]
    pub fn kilometers_from(&self, point: Coordinates) -> f64 {
        let (a, b) = (
            self.latitude_degrees.to_radians(),
            point.latitude_degrees.to_radians(),
        );
        let across = (self.longitude_degrees - point.longitude_degrees).to_radians();
        let half = libm::sin((a - b) / 2.0).powi(2)
            + libm::cos(a) * libm::cos(b) * libm::sin(across / 2.0).powi(2);
        2.0 * EARTH_KM * libm::asin(half.sqrt().min(1.0))
    }

    /// The coldest and the warmest month by their places in the year, January 0.
    fn extremes(&self) -> [usize; 2] {
        let celsius = |month: &usize| self.months[*month].temperature.celsius();
        let by = |a: &usize, b: &usize| celsius(a).total_cmp(&celsius(b));
        [
            (0..12).min_by(by).unwrap_or(0),
            (0..12).max_by(by).unwrap_or(6),
        ]
    }

    /// EMC outdoors under a roof in a month, by the mean of its humidity, percent.
    fn outdoor_emc(&self, month: usize) -> f64 {
        let humidity = RelativeHumidity::computed_percent(self.printed_humidity_percent[month]);
        equilibrium_moisture(AirState::new(self.months[month].temperature, humidity)).percent()
    }

    /// Moisture that wood comes to outdoors under a roof in the driest and in the dampest month, percent.
    #[must_use]
    pub fn outdoor_emc_percent(&self) -> [f64; 2] {
        (0..12)
            .map(|month| self.outdoor_emc(month))
            .fold([f64::INFINITY, 0.0], |[low, high], emc| {
                [low.min(emc), high.max(emc)]
            })
    }

    /// Humidity of the coldest month's air brought to 20 C with no moisture added, percent: how dry heating makes a house.
    #[must_use]
    pub fn heated_humidity_percent(&self) -> f64 {
        let [coldest, _] = self.extremes();
        self.months[coldest]
            .brought_to(Temperature::computed_celsius(20.0))
            .humidity
            .percent()
    }

    /// The climate in words for a maker: winter, heated rooms in it, summer. Limits by judgement.
    #[must_use]
    pub fn climate_words(&self) -> String {
        let [coldest, warmest] = self.extremes();
        let celsius = |month: usize| self.months[month].temperature.celsius();
        let cold = celsius(coldest);
        let winter = match cold {
            c if c < -8.0 => "severe winters",
            c if c < 2.0 => "cold winters",
            c if c < 10.0 => "mild winters",
            _ => "warm winters",
        };
        let heated = match self.heated_humidity_percent() {
            _ if cold >= 15.0 => "no heating season",
            h if h < 18.0 => "very dry heated rooms",
            h if h < 30.0 => "dry heated rooms",
            h if h < 42.0 => "moderate heated rooms",
            _ => "damp heated rooms",
        };
        let heat = match celsius(warmest) {
            c if c >= 25.0 => "hot",
            c if c >= 18.0 => "warm",
            _ => "cool",
        };
        let damp = match self.outdoor_emc(warmest) {
            m if m < 7.5 => "dry",
            m if m < 11.5 => "moderate",
            m if m < 14.5 => "humid",
            _ => "very humid",
        };
        format!("{winter}, {heated}; {heat}, {damp} summers")
    }
}
