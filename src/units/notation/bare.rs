//! Numbers without a unit, read in the unit of a job and said with it.

use super::error::NotationError;
use crate::units::UnitSystem;

/// Whether a text is a number and nothing else.
fn is_number(text: &str) -> bool {
    let text = text.trim();
    text.contains(|letter: char| letter.is_ascii_digit())
        && text.chars().all(|letter| {
            letter.is_ascii_digit()
                || matches!(
                    letter,
                    ' ' | '/' | '.' | ',' | '-' | '\u{2212}' | '\u{2044}'
                )
                || is_fraction(letter)
        })
}

const fn is_fraction(letter: char) -> bool {
    matches!(letter, '\u{bc}'..='\u{be}' | '\u{2150}'..='\u{215e}')
}

/// A bare length with the job's unit: inches, or millimeters; any other text as it is.
///
/// # Errors
/// [`NotationError`] for a fraction in a metric job: it is a fraction of an inch as likely as one of a millimeter.
pub fn length_in(text: &str, units: UnitSystem) -> Result<String, NotationError> {
    let text = text.trim();
    if !is_number(text) {
        return Ok(text.to_owned());
    }
    match units {
        UnitSystem::Inch => Ok(format!("{text} in")),
        UnitSystem::Metric
            if text.contains(|c: char| c == '/' || c == '\u{2044}' || is_fraction(c)) =>
        {
            Err(NotationError::new(
                text,
                &format!("this may be {text} in or {text} mm"),
                "write the fraction with its unit, such as \"3/8in\"",
            ))
        }
        UnitSystem::Metric => Ok(format!("{text} mm")),
    }
}

/// Several bare lengths with commas between.
///
/// # Errors
/// As [`length_in`].
pub(super) fn lengths_in(text: &str, units: UnitSystem) -> Result<String, NotationError> {
    let each: Result<Vec<String>, NotationError> = text
        .split([',', ';'])
        .map(|item| length_in(item, units))
        .collect();
    Ok(each?.join(", "))
}

/// A bare share, moisture content or humidity as percent.
///
/// # Errors
/// [`NotationError`] for a number between 0 and 1, which may be meant as a share of 1.
pub(super) fn percent_in(text: &str, _: UnitSystem) -> Result<String, NotationError> {
    let text = text.trim();
    if !is_number(text) {
        return Ok(text.to_owned());
    }
    match text.replace(',', ".").parse::<f64>() {
        Ok(value) if value > 0.0 && value < 1.0 => {
            let hundredfold = format!("{:.6}", value * 100.0);
            let hundredfold = hundredfold.trim_end_matches('0').trim_end_matches('.');
            Err(NotationError::new(
                text,
                &format!("this may be {value}% or {hundredfold}%"),
                "write it with its percent sign",
            ))
        }
        _ => Ok(format!("{text}%")),
    }
}

/// A bare temperature: Fahrenheit in an inch job, Celsius in a metric one.
///
/// # Errors
/// [`NotationError`] where the other scale is as likely in a workshop or a house.
pub(super) fn temperature_in(text: &str, units: UnitSystem) -> Result<String, NotationError> {
    let text = text.trim();
    if !is_number(text) {
        return Ok(text.to_owned());
    }
    // Below 40 it is cold for a Fahrenheit room, above it too hot for a Celsius one.
    let fahrenheit = text
        .replace(',', ".")
        .parse::<f64>()
        .is_ok_and(|value| value > 40.0);
    match (units, fahrenheit) {
        (UnitSystem::Inch, true) => Ok(format!("{text}F")),
        (UnitSystem::Metric, false) => Ok(format!("{text}C")),
        _ => Err(NotationError::new(
            text,
            &format!("this may be {text}F or {text}C"),
            "write it with its unit, such as \"64F\" or \"18C\"",
        )),
    }
}

/// A bare angle in degrees.
///
/// # Errors
/// None; the signature is that of the others.
pub(super) fn degrees_in(text: &str, _: UnitSystem) -> Result<String, NotationError> {
    let text = text.trim();
    Ok(if is_number(text) {
        format!("{text}deg")
    } else {
        text.to_owned()
    })
}
