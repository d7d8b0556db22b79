//! Stiffness, forces and loads along a length.

use super::cursor::Cursor;
use super::error::NotationError;
use crate::units::{Force, LineLoad, STANDARD_GRAVITY, Stress};

pub(super) const STRESS: &str =
    "write a stiffness or stress with its unit, such as \"11GPa\", \"11000MPa\" or \"1.8Mpsi\"";
pub(super) const FORCE: &str =
    "write a force with its unit, such as \"200N\", \"45lbf\" or \"20kgf\"";
pub(super) const LINE_LOAD: &str =
    "write a load along the length with its unit, such as \"25lb/ft\", \"0.4N/mm\" or \"37kg/m\"";

/// Newtons in a pound-force.
pub(super) const POUND_FORCE: f64 = 0.453_592_37 * STANDARD_GRAVITY;
/// MPa in one pound-force per square inch.
pub(super) const PSI: f64 = POUND_FORCE / (25.4 * 25.4);

/// A signed number, and the rest as its unit without inner spaces, with `^2` and `²` as `2`.
pub(super) fn number_and_unit(cursor: &mut Cursor<'_>) -> Result<(f64, String), NotationError> {
    let value = cursor.sign()? * cursor.amount()?.value + 0.0;
    let unit = cursor.rest().replace([' ', '^'], "").replace('\u{b2}', "2");
    Ok((value, unit))
}

pub(super) fn unknown(cursor: &Cursor<'_>, unit: &str) -> NotationError {
    if unit.is_empty() {
        cursor.error("the unit is missing")
    } else {
        cursor.error(&format!("`{unit}` is not a unit known here"))
    }
}

/// Reads a stiffness, a strength or a stress: `11GPa`, `11 000` is refused, `1.8Mpsi`, `1.8 million psi`, `1.8e6 psi`,
/// `12 N/mm2`.
///
/// # Errors
/// [`NotationError`] without a unit, for `mPa` and `mpsi` whose small `m` means a
/// thousandth, and outside [`Bounds::STRESS`](crate::units::Bounds::STRESS).
pub fn stress(text: &str) -> Result<Stress, NotationError> {
    let mut cursor = Cursor::new(text, STRESS)?;
    let (value, unit) = number_and_unit(&mut cursor)?;
    let each = match unit.as_str() {
        "MPa" | "Mpa" | "MPA" | "N/mm2" => 1.0,
        "GPa" | "Gpa" | "GPA" | "gpa" | "kN/mm2" => 1e3,
        "kPa" | "kpa" | "KPa" => 1e-3,
        "Pa" => 1e-6,
        "psi" | "PSI" | "lbf/in2" => PSI,
        "ksi" | "KSI" | "kpsi" => PSI * 1e3,
        "Mpsi" | "MPSI" | "Msi" | "millionpsi" => PSI * 1e6,
        "mPa" | "mpa" | "mpsi" => {
            return Err(cursor.error("a small `m` means a thousandth, a large one a million"));
        }
        other => return Err(unknown(&cursor, other)),
    };
    Stress::from_mpa(value * each).map_err(|range| cursor.error(&range.to_string()))
}

/// Reads a force: `200N`, `1.2 kN`, `45 lbf`, `20 kgf`; `lb` and `kg` are read as the weight of so much.
///
/// # Errors
/// [`NotationError`] without a unit and outside [`Bounds::FORCE`](crate::units::Bounds::FORCE).
pub fn force(text: &str) -> Result<Force, NotationError> {
    let mut cursor = Cursor::new(text, FORCE)?;
    let (value, unit) = number_and_unit(&mut cursor)?;
    let each = weight_newtons(&unit).ok_or_else(|| unknown(&cursor, &unit))?;
    Force::from_newtons(value * each).map_err(|range| cursor.error(&range.to_string()))
}

fn weight_newtons(unit: &str) -> Option<f64> {
    Some(match unit {
        "N" | "newton" | "newtons" => 1.0,
        "kN" => 1e3,
        "lbf" | "lb" | "lbs" | "pound" | "pounds" => POUND_FORCE,
        "kgf" | "kg" | "kp" => STANDARD_GRAVITY,
        _ => return None,
    })
}

/// Reads a load along a length: `25lb/ft`, `2 lb/in`, `0.4 N/mm`, `1 kN/m`, `37 kg/m`.
///
/// # Errors
/// [`NotationError`] without a unit and outside [`Bounds::LINE_LOAD`](crate::units::Bounds::LINE_LOAD).
pub fn line_load(text: &str) -> Result<LineLoad, NotationError> {
    let mut cursor = Cursor::new(text, LINE_LOAD)?;
    let (value, unit) = number_and_unit(&mut cursor)?;
    let each = unit
        .split_once('/')
        .or_else(|| unit.split_once("per"))
        .and_then(|(weight, length)| {
            let mm = match length {
                "mm" => 1.0,
                "cm" => 10.0,
                "m" => 1000.0,
                "in" | "inch" => 25.4,
                "ft" | "foot" => 304.8,
                _ => return None,
            };
            Some(weight_newtons(weight)? / mm)
        })
        .ok_or_else(|| unknown(&cursor, &unit))?;
    LineLoad::from_newtons_per_mm(value * each).map_err(|range| cursor.error(&range.to_string()))
}
