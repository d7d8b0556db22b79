//! Quantities read by `serde`: a number in the metric unit, or shop notation.

use super::bounds::RangeError;
use super::notation::NotationError;
use serde::de::{Deserializer, Error, Visitor};
use std::fmt;

/// A text as a quantity; `None` where no notation tells such a quantity.
type ReadText<T> = fn(&str) -> Option<Result<T, NotationError>>;

struct Reader<T> {
    number: fn(f64) -> Result<T, RangeError>,
    text: ReadText<T>,
}

pub(super) fn read<'de, T, D: Deserializer<'de>>(
    deserializer: D,
    number: fn(f64) -> Result<T, RangeError>,
    text: ReadText<T>,
) -> Result<T, D::Error> {
    let reader = Reader { number, text };
    if deserializer.is_human_readable() {
        deserializer.deserialize_any(reader)
    } else {
        deserializer.deserialize_f64(reader)
    }
}

impl<T> Visitor<'_> for Reader<T> {
    type Value = T;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a number in the metric unit, or text with a unit")
    }

    fn visit_f64<E: Error>(self, number: f64) -> Result<T, E> {
        (self.number)(number).map_err(E::custom)
    }

    fn visit_i64<E: Error>(self, number: i64) -> Result<T, E> {
        self.visit_f64(number as f64)
    }

    fn visit_u64<E: Error>(self, number: u64) -> Result<T, E> {
        self.visit_f64(number as f64)
    }

    fn visit_str<E: Error>(self, text: &str) -> Result<T, E> {
        match (self.text)(text) {
            Some(read) => read.map_err(E::custom),
            None => Err(E::custom("a plain number is wanted")),
        }
    }
}
