//! From a place in the text of a job file to the key that stands there.

use serde_json::{Map, Value};
use std::ops::Range;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// A job file as the page needs it: its values, and where each stands.
pub(super) struct Document {
    /// The whole file; dates are text.
    pub(super) values: Value,
    spans: Vec<(Range<usize>, Vec<Value>)>,
}

impl Document {
    /// Reads a text; nothing when it is not TOML.
    pub(super) fn read(text: &str) -> Option<Self> {
        let table = DeTable::parse(text).ok()?;
        let mut spans = Vec::new();
        let values = table_value(table.get_ref(), &mut Vec::new(), &mut spans);
        Some(Self { values, spans })
    }

    /// The path of the smallest thing that holds a span; empty when nothing does.
    pub(super) fn path_of(&self, span: &Range<usize>) -> Vec<Value> {
        self.spans
            .iter()
            .filter(|(around, _)| around.start <= span.start && span.end <= around.end)
            .min_by_key(|(around, path)| (around.len(), usize::MAX - path.len()))
            .map(|(_, path)| path.clone())
            .unwrap_or_default()
    }
}

fn table_value(
    table: &DeTable<'_>,
    path: &mut Vec<Value>,
    spans: &mut Vec<(Range<usize>, Vec<Value>)>,
) -> Value {
    let mut values = Map::new();
    for (key, value) in table.iter() {
        path.push(Value::from(key.get_ref().as_ref()));
        spans.push((key.span(), path.clone()));
        values.insert(key.get_ref().to_string(), value_of(value, path, spans));
        path.pop();
    }
    Value::Object(values)
}

fn value_of(
    value: &Spanned<DeValue<'_>>,
    path: &mut Vec<Value>,
    spans: &mut Vec<(Range<usize>, Vec<Value>)>,
) -> Value {
    spans.push((value.span(), path.clone()));
    match value.get_ref() {
        DeValue::Table(table) => table_value(table, path, spans),
        DeValue::Array(list) => Value::Array(
            list.iter()
                .enumerate()
                .map(|(index, item)| {
                    path.push(Value::from(index));
                    let value = value_of(item, path, spans);
                    path.pop();
                    value
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
