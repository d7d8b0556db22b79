//! The JSON Schema of the job file, made of the sections' own types and words.

use super::sections::JobFile;
use serde_json::Value;
use std::sync::OnceLock;

/// The JSON Schema of the job file, with what each key means.
#[must_use]
pub fn schema() -> Value {
    whole_schema().clone()
}

pub(super) fn whole_schema() -> &'static Value {
    static SCHEMA: OnceLock<Value> = OnceLock::new();
    SCHEMA.get_or_init(|| {
        let mut schema = schemars::schema_for!(JobFile).to_value();
        without_null(&mut schema);
        schema
    })
}

/// TOML has no null: a key that may be left out is simply left out.
fn without_null(schema: &mut Value) {
    match schema {
        Value::Object(keys) => {
            let alone = keys
                .get("anyOf")
                .and_then(Value::as_array)
                .and_then(|ways| {
                    let given: Vec<_> = ways.iter().filter(|way| way["type"] != "null").collect();
                    match given[..] {
                        [Value::Object(way)] if ways.len() == 2 => Some(way.clone()),
                        _ => None,
                    }
                });
            if let Some(way) = alone {
                keys.remove("anyOf");
                keys.extend(way);
            }
            if let Some(Value::Array(types)) = keys.get_mut("type") {
                types.retain(|name| name != "null");
                if let [only] = &types[..] {
                    let only = only.clone();
                    keys.insert("type".to_owned(), only);
                }
            }
            if keys.get("default") == Some(&Value::Null) {
                keys.remove("default");
            }
            keys.values_mut().for_each(without_null);
        }
        Value::Array(list) => list.iter_mut().for_each(without_null),
        _ => {}
    }
}
