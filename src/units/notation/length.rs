//! Lengths as makers write them.

use super::cursor::{Amount, Cursor};
use super::error::NotationError;
use crate::units::{Bounds, Length};

/// What to write for a length.
pub(super) const LENGTH: &str =
    "write a length with its unit, such as \"3/8in\", \"8' 6 1/2in\" or \"10 mm\"";
/// What to write for a rough thickness.
pub(super) const ROUGH: &str =
    "write quarters of an inch such as \"8/4\", or a length such as \"52 mm\"";

const MM_PER_INCH: f64 = 25.4;

enum Unit {
    Millimetres(f64),
    Inches,
    Feet,
}

fn unit(cursor: &Cursor<'_>, word: &str) -> Result<Unit, NotationError> {
    let lower = word.to_lowercase();
    Ok(match lower.as_str() {
        _ if word == "M" => {
            return Err(cursor.error_with(
                "`M` could be metres or millimetres",
                "write \"m\" or \"mm\"",
            ));
        }
        "mm" | "millimetre" | "millimetres" | "millimeter" | "millimeters" => {
            Unit::Millimetres(1.0)
        }
        "cm" | "centimetre" | "centimetres" | "centimeter" | "centimeters" => {
            Unit::Millimetres(10.0)
        }
        "m" | "metre" | "metres" | "meter" | "meters" => Unit::Millimetres(1000.0),
        "\"" | "in" | "inch" | "inches" => Unit::Inches,
        "'" | "ft" | "foot" | "feet" => Unit::Feet,
        "" => return Err(cursor.error("the unit is missing")),
        _ => {
            return Err(cursor.error(&format!("`{word}` is not a unit of length known here")));
        }
    })
}

fn inches_after_feet(cursor: &mut Cursor<'_>, feet: Amount) -> Result<f64, NotationError> {
    cursor.joining_hyphen()?;
    if !feet.whole {
        return Err(cursor.error("feet before inches must be a whole number"));
    }
    let inches = cursor.amount()?;
    let word = cursor.unit();
    if word.is_empty() {
        return Err(cursor.error("the number after the feet has no inch mark"));
    }
    if !matches!(unit(cursor, &word)?, Unit::Inches) {
        return Err(cursor.error("only inches can follow feet"));
    }
    if inches.value >= 12.0 {
        return Err(cursor.error("inches after feet stay below 12"));
    }
    Ok((feet.value * 12.0 + inches.value) * MM_PER_INCH)
}

/// Reads a length: `3/8in`, `1-3/8"`, `8' 6 1/2"`, `8 ft 6 in`, `25,4 mm`, `-2 cm`.
///
/// # Errors
/// [`NotationError`] where the unit is missing or unknown, where the text could
/// be read in two ways (`1,250 mm`), and outside [`Bounds::LENGTH`].
pub fn length(text: &str) -> Result<Length, NotationError> {
    let mut cursor = Cursor::new(text, LENGTH)?;
    let sign = cursor.sign()?;
    let amount = cursor.amount()?;
    let word = cursor.unit();
    let mm = match unit(&cursor, &word) {
        Ok(Unit::Millimetres(each)) => amount.value * each,
        Ok(Unit::Inches) => amount.value * MM_PER_INCH,
        Ok(Unit::Feet) => {
            cursor.spaces();
            if cursor.done() {
                amount.value * 12.0 * MM_PER_INCH
            } else {
                inches_after_feet(&mut cursor, amount)?
            }
        }
        Err(error) => {
            cursor.spaces();
            return Err(
                if word.is_empty() && cursor.done() && quarters(text).is_some() {
                    cursor.error_with(
                        "quarters without a unit name a rough thickness, and a length is asked here",
                        "write the length with its unit, such as \"1in\"",
                    )
                } else if word.is_empty() && !cursor.done() {
                    let rest = cursor.rest();
                    cursor.error(&format!("`{rest}` is not a unit of length"))
                } else {
                    error
                },
            );
        }
    };
    cursor.finish()?;
    // Adding zero turns a negative zero into zero.
    Length::from_mm(sign * mm + 0.0).map_err(|range| cursor.error_with(&range.to_string(), LENGTH))
}

/// Reads a rough thickness: quarters of an inch as sold, `4/4`, `8/4`, or a [`length()`].
///
/// # Errors
/// [`NotationError`] as for a length, and outside [`Bounds::THICKNESS`].
pub fn rough_thickness(text: &str) -> Result<Length, NotationError> {
    let thickness = match quarters(text) {
        Some(quarters) => Length::from_mm_unchecked(quarters / 4.0 * MM_PER_INCH),
        None => length(text).map_err(|error| error.with_remedy(ROUGH))?,
    };
    thickness
        .within(Bounds::THICKNESS)
        .map_err(|range| NotationError::new(text, &range.to_string(), ROUGH))
}

/// The number of quarters in `8/4`.
fn quarters(text: &str) -> Option<f64> {
    let (count, four) = text.trim().split_once(['/', '\u{2044}'])?;
    let digits = (1..=3).contains(&count.len()) && count.bytes().all(|b| b.is_ascii_digit());
    if four == "4" && digits {
        count.parse().ok()
    } else {
        None
    }
}
