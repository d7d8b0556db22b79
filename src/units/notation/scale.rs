//! Angles, masses, times, diffusivities, strains and plain numbers.

use super::cursor::Cursor;
use super::error::NotationError;
use super::load::{number_and_unit, unknown};
use crate::units::{Angle, Bounds, Duration, Mass, Strain};

pub(super) const ANGLE: &str = "write an angle in degrees, such as \"20deg\"";
pub(super) const MASS: &str =
    "write a mass with its unit, such as \"1840g\", \"1.84 kg\" or \"4 lb 2 oz\"";
pub(super) const DURATION: &str =
    "write a time with its unit, such as \"90s\", \"5 min\" or \"10 days\"";
pub(super) const DIFFUSIVITY: &str = "write a diffusivity in m2/s, such as \"3e-11\"";
pub(super) const MICROSTRAIN: &str =
    "write the strain in millionths, such as \"400\" or \"400 microstrain\"";
pub(super) const NUMBER: &str = "write a plain number, such as \"0.5\"";
pub(super) const WHOLE: &str = "write a whole number, such as 3";

/// Reads an angle: `20deg`, `-18°`.
///
/// # Errors
/// [`NotationError`] without a unit and outside [`Bounds::ANGLE`].
pub fn angle(text: &str) -> Result<Angle, NotationError> {
    let mut cursor = Cursor::new(text, ANGLE)?;
    let (value, unit) = number_and_unit(&mut cursor)?;
    match unit.as_str() {
        "deg" | "\u{b0}" | "degree" | "degrees" => {}
        other => return Err(unknown(&cursor, other)),
    }
    Angle::from_degrees(value).map_err(|range| cursor.error(&range.to_string()))
}

/// A run of amounts with units, each smaller than the one before: `4 lb 2 oz`, `1 h 30 min`.
fn run(cursor: &mut Cursor<'_>, each: impl Fn(&str) -> Option<f64>) -> Result<f64, NotationError> {
    let mut total = 0.0;
    let mut last: Option<f64> = None;
    loop {
        let amount = cursor.amount()?;
        let unit = cursor.unit();
        let size = each(&unit).ok_or_else(|| unknown(cursor, &unit))?;
        if let Some(last) = last
            && (size >= last || amount.value * size >= last)
        {
            return Err(cursor.error("each unit must be smaller than the one before it"));
        }
        total += amount.value * size;
        last = Some(size);
        cursor.spaces();
        if cursor.done() {
            return Ok(total);
        }
        if !amount.whole {
            return Err(cursor.error("only the last number may have a fraction"));
        }
    }
}

/// Reads a mass: `1840g`, `1.84 kg`, `4 lb 2 oz`.
///
/// # Errors
/// [`NotationError`] without a unit and outside [`Bounds::MASS`].
pub fn mass(text: &str) -> Result<Mass, NotationError> {
    let mut cursor = Cursor::new(text, MASS)?;
    let sign = cursor.sign()?;
    let grams = run(&mut cursor, |unit| {
        Some(match unit {
            "g" | "gram" | "grams" => 1.0,
            "kg" | "kilogram" | "kilograms" => 1000.0,
            "lb" | "lbs" | "pound" | "pounds" => 453.592_37,
            "oz" | "ounce" | "ounces" => 453.592_37 / 16.0,
            _ => return None,
        })
    })?;
    Mass::from_grams(sign * grams).map_err(|range| cursor.error(&range.to_string()))
}

/// Reads a stretch of time: `90s`, `5 min`, `1 h 30 min`, `10 days`, `3 weeks`. `m` alone, months and
/// years are refused, since they name no fixed length of time.
///
/// # Errors
/// [`NotationError`] without a unit and outside [`Bounds::DURATION`].
pub fn duration(text: &str) -> Result<Duration, NotationError> {
    let mut cursor = Cursor::new(text, DURATION)?;
    let sign = cursor.sign()?;
    let seconds = run(&mut cursor, |unit| {
        Some(match unit {
            "s" | "sec" | "secs" | "second" | "seconds" => 1.0,
            "min" | "mins" | "minute" | "minutes" => 60.0,
            "h" | "hr" | "hrs" | "hour" | "hours" => 3600.0,
            "d" | "day" | "days" => 86_400.0,
            "week" | "weeks" => 604_800.0,
            _ => return None,
        })
    })?;
    Duration::from_seconds(sign * seconds + 0.0).map_err(|range| cursor.error(&range.to_string()))
}

/// Reads a diffusivity in m2/s: `3e-11`, `3e-11 m2/s`.
///
/// # Errors
/// [`NotationError`] for another unit and outside [`Bounds::DIFFUSIVITY`].
pub fn diffusivity(text: &str) -> Result<f64, NotationError> {
    let mut cursor = Cursor::new(text, DIFFUSIVITY)?;
    let (value, unit) = number_and_unit(&mut cursor)?;
    match unit.as_str() {
        "" | "m2/s" => {}
        other => return Err(unknown(&cursor, other)),
    }
    Bounds::DIFFUSIVITY
        .check(value)
        .map_err(|range| cursor.error(&range.to_string()))
}

/// Reads a locked-in strain given in millionths: `400`, `-250 microstrain`.
///
/// # Errors
/// [`NotationError`] for `400e-6`, which tells the ratio and not its millionths, for
/// another unit, and outside [`Bounds::LOCKED_IN`].
pub fn strain_microstrain(text: &str) -> Result<Strain, NotationError> {
    let mut cursor = Cursor::new(text, MICROSTRAIN)?;
    let sign = cursor.sign()?;
    let amount = cursor.amount()?;
    let value = sign * amount.value + 0.0;
    let unit = cursor.rest();
    match unit.as_str() {
        "" if amount.power || (amount.value > 0.0 && amount.value < 0.5) => {
            return Err(cursor.error("this looks like a ratio, and millionths are asked"));
        }
        "" | "microstrain" | "\u{3bc}\u{3b5}" | "ue" => {}
        other => return Err(unknown(&cursor, other)),
    }
    Bounds::LOCKED_IN
        .check(value)
        .map(|value| Strain::computed_ratio(value * 1e-6))
        .map_err(|range| cursor.error(&range.to_string()))
}

/// Reads a plain number: `0.5`, `-3`, `1/2`, `2,5`.
///
/// # Errors
/// [`NotationError`] for anything that is not one number.
pub fn number(text: &str) -> Result<f64, NotationError> {
    let mut cursor = Cursor::new(text, NUMBER)?;
    let value = cursor.sign()? * cursor.amount()?.value + 0.0;
    cursor.finish()?;
    Ok(value)
}

/// Reads a whole number of zero or more, below ten to the 18th.
///
/// # Errors
/// [`NotationError`] for a sign, a fraction or a unit.
pub fn whole(text: &str) -> Result<u64, NotationError> {
    let digits = text.trim();
    let error = |reason: &str| NotationError::new(text, reason, WHOLE);
    if digits.is_empty() {
        return Err(error("nothing is written"));
    }
    if !digits.bytes().all(|b| b.is_ascii_digit()) {
        return Err(error("this is not a whole number of zero or more"));
    }
    if digits.len() > 18 {
        return Err(error("the number is too great"));
    }
    digits
        .parse()
        .map_err(|_| error("this is not a whole number of zero or more"))
}
