//! From a place in the text of a job file to the key that stands there.

use serde_json::{Map, Value};
use std::ops::Range;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// A job file as the page needs it: its values, and where each stands.
pub(super) struct Document {
    /// The whole file; dates are text.
    pub(super) values: Value,
    places: Vec<Place>,
}

/// A key or a value of the file. Its path is that of the one it is in and one step more, so that a long key is kept once,
/// however much is below it.
struct Place {
    span: Range<usize>,
    /// What it is in; `None` for the file itself.
    within: Option<usize>,
    step: Value,
}

impl Document {
    /// Reads a text; nothing when it is not TOML.
    pub(super) fn read(text: &str) -> Option<Self> {
        let table = DeTable::parse(text).ok()?;
        let mut places = Vec::new();
        let values = table_value(table.get_ref(), None, &mut places);
        Some(Self { values, places })
    }

    /// The path of the smallest thing that holds a span; empty when nothing does.
    pub(super) fn path_of(&self, span: &Range<usize>) -> Vec<Value> {
        // Of two of the same length the deeper one comes later.
        let smallest = self
            .places
            .iter()
            .enumerate()
            .filter(|(_, place)| place.span.start <= span.start && span.end <= place.span.end)
            .min_by_key(|(index, place)| (place.span.len(), usize::MAX - index));
        let mut path = Vec::new();
        let mut at = smallest.map(|(index, _)| index);
        while let Some(place) = at.map(|index| &self.places[index]) {
            path.push(place.step.clone());
            at = place.within;
        }
        path.reverse();
        path
    }
}

fn table_value(table: &DeTable<'_>, within: Option<usize>, places: &mut Vec<Place>) -> Value {
    let mut values = Map::new();
    for (key, value) in table.iter() {
        let step = Value::from(key.get_ref().as_ref());
        let place = |span| Place {
            span,
            within,
            step: step.clone(),
        };
        places.push(place(key.span()));
        places.push(place(value.span()));
        let value = value_of(value, places.len() - 1, places);
        values.insert(key.get_ref().to_string(), value);
    }
    Value::Object(values)
}

/// The value of a place.
fn value_of(value: &Spanned<DeValue<'_>>, place: usize, places: &mut Vec<Place>) -> Value {
    match value.get_ref() {
        DeValue::Table(table) => table_value(table, Some(place), places),
        DeValue::Array(list) => Value::Array(
            list.iter()
                .enumerate()
                .map(|(index, item)| {
                    places.push(Place {
                        span: item.span(),
                        within: Some(place),
                        step: Value::from(index),
                    });
                    value_of(item, places.len() - 1, places)
                })
                .collect(),
        ),
        DeValue::String(text) => Value::from(text.as_ref()),
        DeValue::Boolean(flag) => Value::from(*flag),
        DeValue::Datetime(date) => Value::from(date.to_string()),
        DeValue::Integer(number) => number
            .to_string()
            .replace('_', "")
            .parse::<i64>()
            .map_or_else(|_| Value::from(number.to_string()), Value::from),
        DeValue::Float(number) => number
            .to_string()
            .replace('_', "")
            .parse::<f64>()
            .map_or_else(|_| Value::from(number.to_string()), Value::from),
    }
}

#[cfg(test)]
mod tests {
    use super::Document;
    use serde_json::json;

    #[test]
    fn a_place_is_named_by_the_smallest_thing_around_it() {
        let text = "format = 2\n[[parts]]\nname = \"top\"\nrings = { sawn = \"flat\" }\n[[parts]]\nname = \"side\"\n";
        let document = Document::read(text).unwrap();
        let at = |what: &str| {
            let start = text.rfind(what).unwrap();
            json!(document.path_of(&(start..start + what.len())))
        };
        assert_eq!(at("\"top\""), json!(["parts", 0, "name"]));
        assert_eq!(at("\"flat\""), json!(["parts", 0, "rings", "sawn"]));
        assert_eq!(at("\"side\""), json!(["parts", 1, "name"]));
        assert_eq!(json!(document.path_of(&(900..901))), json!([]));
        assert_eq!(document.values["parts"][1]["name"], "side");
        assert!(Document::read("name = ").is_none());
    }
}
