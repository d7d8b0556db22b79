//! Lists on one line: places along a part, ring angles.

use super::error::NotationError;
use super::length::length;
use super::scale::angle;
use crate::units::{Angle, Length};

pub(super) const LENGTHS: &str =
    "write lengths with their units and commas between, such as \"0mm, 450mm, 900mm\"";
pub(super) const RING_ANGLES: &str =
    "write a place and an angle for each ring, such as \"-100mm:20deg, 100mm:-18deg\"";

fn items<'a>(text: &'a str, remedy: &str) -> Result<Vec<&'a str>, NotationError> {
    let items: Vec<&str> = text.split([',', ';']).map(str::trim).collect();
    if items.len() > 1000 {
        return Err(NotationError::new(
            &format!("{}...", items[0]),
            "the list has more than 1000 items",
            remedy,
        ));
    }
    if items.iter().any(|item| item.is_empty()) {
        return Err(NotationError::new(
            text,
            "an item of the list is empty",
            remedy,
        ));
    }
    Ok(items)
}

/// Reads a list of lengths: `0mm, 450mm, 900mm`. A comma parts two items, so a decimal is given with a point.
///
/// # Errors
/// [`NotationError`] of the first item that is no length with its unit.
pub fn lengths(text: &str) -> Result<Vec<Length>, NotationError> {
    items(text, LENGTHS)?
        .into_iter()
        .map(|item| length(item).map_err(|error| error.with_remedy(LENGTHS)))
        .collect()
}

/// Reads the angles of rings at places across the width: `-100mm:20deg, 100mm:-18deg`. Places are
/// measured from the centre line, positive to the right; angles are positive where the ring rises to the right.
///
/// # Errors
/// [`NotationError`] of the first item that is not a place and an angle.
pub fn ring_angles(text: &str) -> Result<Vec<(Length, Angle)>, NotationError> {
    items(text, RING_ANGLES)?
        .into_iter()
        .map(|item| {
            let (place, ring) = item.split_once(':').ok_or_else(|| {
                NotationError::new(
                    item,
                    "the `:` between place and angle is missing",
                    RING_ANGLES,
                )
            })?;
            Ok((length(place)?, angle(ring)?))
        })
        .collect()
}
