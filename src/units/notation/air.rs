//! Moisture, humidity, temperature and plain shares.

use super::cursor::Cursor;
use super::error::NotationError;
use crate::units::{Bounds, MoistureContent, RangeError, RelativeHumidity, Temperature};

pub(super) const MOISTURE: &str = "write a moisture content in percent, such as \"9.5%\"";
pub(super) const HUMIDITY: &str = "write a relative humidity in percent, such as \"58%\"";
pub(super) const TEMPERATURE: &str =
    "write a temperature with its unit, such as \"64F\" or \"20C\"";
pub(super) const PERCENT: &str = "write a share in percent, such as \"15%\"";

/// A number followed by `%` and nothing else but `also`.
fn per_cent<T>(
    text: &str,
    remedy: &'static str,
    also: &str,
    check: impl FnOnce(f64) -> Result<T, RangeError>,
) -> Result<T, NotationError> {
    let mut cursor = Cursor::new(text, remedy)?;
    let value = cursor.sign()? * cursor.amount()?.value;
    let unit = cursor.rest();
    let word = unit
        .strip_prefix('%')
        .or_else(|| unit.strip_prefix("percent"))
        .or_else(|| unit.strip_prefix("per cent"));
    match word.map(str::trim) {
        Some("") => {}
        Some(word) if word.eq_ignore_ascii_case(also) => {}
        Some(word) => return Err(cursor.error(&format!("`{word}` does not belong here"))),
        None if unit.is_empty() => return Err(cursor.error("the percent sign is missing")),
        None => return Err(cursor.error(&format!("`{unit}` is not a percent sign"))),
    }
    check(value + 0.0).map_err(|range| cursor.error(&range.to_string()))
}

/// Reads a moisture content: `9.5%`, `9,5 %`, `10% MC`.
///
/// # Errors
/// [`NotationError`] without a percent sign and outside [`Bounds::MOISTURE`].
pub fn moisture(text: &str) -> Result<MoistureContent, NotationError> {
    per_cent(text, MOISTURE, "MC", MoistureContent::from_percent)
}

/// Reads a relative humidity: `58%`, `58 % RH`.
///
/// # Errors
/// [`NotationError`] without a percent sign and outside [`Bounds::HUMIDITY`].
pub fn humidity(text: &str) -> Result<RelativeHumidity, NotationError> {
    per_cent(text, HUMIDITY, "RH", RelativeHumidity::from_percent)
}

/// Reads a share, in percent: `15%` is 15.
///
/// # Errors
/// [`NotationError`] without a percent sign and outside [`Bounds::SHARE`].
pub fn percent(text: &str) -> Result<f64, NotationError> {
    per_cent(text, PERCENT, "", |value| Bounds::SHARE.check(value))
}

/// Reads a temperature: `64F`, `20C`, `-5 °C`, `64 deg F`.
///
/// # Errors
/// [`NotationError`] without a unit and outside [`Bounds::TEMPERATURE`].
pub fn temperature(text: &str) -> Result<Temperature, NotationError> {
    let mut cursor = Cursor::new(text, TEMPERATURE)?;
    let value = cursor.sign()? * cursor.amount()?.value;
    let unit: String = cursor
        .rest()
        .to_lowercase()
        .replace(['\u{b0}', ' '], "")
        .replace("degrees", "")
        .replace("deg", "");
    let celsius = match unit.as_str() {
        "c" | "celsius" | "\u{2103}" => value,
        "f" | "fahrenheit" | "\u{2109}" => (value - 32.0) / 1.8,
        "" => return Err(cursor.error("it is not said whether this is Fahrenheit or Celsius")),
        _ => return Err(cursor.error(&format!("`{unit}` is not a unit of temperature known here"))),
    };
    Temperature::from_celsius(celsius + 0.0).map_err(|range| cursor.error(&range.to_string()))
}
