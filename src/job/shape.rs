//! The shape of a job file against its schema: keys that are unknown or
//! missing, tables where a value is wanted. All of them are found in one walk,
//! and taken out, so that the rest of the file can still be read and checked.

use crate::units::notation::{DayOrder, date, nearest};
use crate::units::spanned::{Problems, ReadNotation};
use jiff::civil::Date;
use serde_json::{Map, Value};
use std::borrow::Cow;
use std::collections::HashSet;
use std::ops::Range;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// Most characters of a key that are repeated in words about it.
const LONGEST_SHOWN: usize = 60;

/// Walks a file's tables along the schema.
pub(super) struct Shape<'s> {
    root: &'s Value,
    problems: Problems,
    /// The order of day and month that [job] gives.
    order: Option<DayOrder>,
    /// Places of problems that would only repeat what the walk has already found.
    silenced: HashSet<Range<usize>>,
}

/// What the schema wants at a place.
enum Wanted<'s> {
    /// A table with these keys and those of them that must be given.
    Table(&'s Map<String, Value>, Vec<&'s str>),
    /// A table whose keys are names.
    Names(&'s Value),
    /// A list of the same.
    List(&'s Value),
    /// One value; what to write.
    One(&'s str),
}

impl<'s> Shape<'s> {
    pub(super) fn new(root: &'s Value) -> Self {
        Self {
            root,
            problems: Problems::new(),
            order: None,
            silenced: HashSet::new(),
        }
    }

    /// The problems found, and the places where later problems only repeat them.
    pub(super) fn finish(self) -> (Problems, HashSet<Range<usize>>) {
        (self.problems, self.silenced)
    }

    fn resolve(&self, schema: &'s Value) -> &'s Value {
        let mut at = schema;
        // References and "or nothing" nest a few levels at most.
        for _ in 0..8 {
            if let Some(name) = at["$ref"].as_str().and_then(|path| path.rsplit('/').next()) {
                at = &self.root["$defs"][name];
            } else if let Some(choices) = at["anyOf"].as_array() {
                at = choices
                    .iter()
                    .find(|choice| choice["type"] != "null")
                    .unwrap_or(&Value::Null);
            } else {
                break;
            }
        }
        at
    }

    fn wanted(&self, schema: &'s Value) -> Wanted<'s> {
        let at = self.resolve(schema);
        if let Some(keys) = at["properties"].as_object() {
            let needed = at["required"].as_array().map_or_else(Vec::new, |list| {
                list.iter().filter_map(Value::as_str).collect()
            });
            Wanted::Table(keys, needed)
        } else if at["additionalProperties"].is_object() {
            Wanted::Names(&at["additionalProperties"])
        } else if at["items"].is_object() {
            Wanted::List(&at["items"])
        } else {
            Wanted::One(at["title"].as_str().unwrap_or("one value"))
        }
    }

    /// Checks the whole file.
    pub(super) fn file(&mut self, file: &mut DeTable<'_>) {
        let root = self.root;
        self.order = file
            .get("job")
            .and_then(|job| job.get_ref().get("date_order"))
            .and_then(|order| order.get_ref().as_str())
            .and_then(|order| DayOrder::read(order).ok());
        if let Some(keys) = root["properties"].as_object() {
            let needed = self.needed(root);
            self.table(file, 0..0, keys, &needed, "");
        }
    }

    fn needed(&self, schema: &'s Value) -> Vec<&'s str> {
        match self.wanted(schema) {
            Wanted::Table(_, needed) => needed,
            _ => Vec::new(),
        }
    }

    /// Checks one table and takes out of it what is wrong.
    fn table(
        &mut self,
        table: &mut DeTable<'_>,
        span: Range<usize>,
        keys: &'s Map<String, Value>,
        needed: &[&'s str],
        path: &str,
    ) {
        let mut meant: Vec<&str> = Vec::new();
        let mut wrong: Vec<String> = Vec::new();
        for (key, value) in table.iter_mut() {
            let name = key.get_ref().as_ref();
            let Some(schema) = keys.get(name) else {
                meant.extend(self.unknown(name, key.span(), keys, path));
                wrong.push(name.to_owned());
                continue;
            };
            let below = if path.is_empty() {
                name.to_owned()
            } else {
                format!("{path}.{name}")
            };
            if !self.value(value, schema, &below) {
                wrong.push(name.to_owned());
            }
        }
        for key in needed {
            let given = table.contains_key(*key) && !wrong.iter().any(|name| name == key);
            if given {
                continue;
            }
            if !meant.contains(key) && !wrong.iter().any(|name| name == key) {
                self.missing(key, &keys[*key], span.clone(), path);
            }
        }
        // What is gone because it was given wrong need not be missed a second time.
        if !meant.is_empty() || wrong.iter().any(|name| keys.contains_key(name)) {
            self.silenced.insert(span.clone());
        }
        if !wrong.is_empty() {
            for name in &wrong {
                table.remove(name.as_str());
            }
        }
        // A value that reads as nothing stands in for a missing one, so that the rest can be read.
        let nowhere = usize::MAX..usize::MAX;
        for key in needed {
            if !table.contains_key(*key) && matches!(self.wanted(&keys[*key]), Wanted::One(_)) {
                self.silenced.insert(nowhere.clone());
                table.insert(
                    Spanned::new(nowhere.clone(), Cow::Owned((*key).to_owned())),
                    Spanned::new(nowhere.clone(), DeValue::String(Cow::Borrowed(""))),
                );
            }
        }
    }

    fn unknown<'k>(
        &mut self,
        name: &str,
        span: Range<usize>,
        keys: &'k Map<String, Value>,
        path: &str,
    ) -> Option<&'k str> {
        let near = nearest(name, keys.keys().map(String::as_str));
        let known = keys
            .keys()
            .map(|key| format!("`{key}`"))
            .collect::<Vec<_>>()
            .join(", ");
        let remedy = match near {
            Some(near) => format!("did you mean `{near}`?"),
            None => format!("take it out; the keys here are {known}"),
        };
        let shown: String = name.chars().take(LONGEST_SHOWN).collect();
        let of = if path.is_empty() {
            "of a job file".to_owned()
        } else {
            format!("of `{path}`")
        };
        self.problems
            .push(span, format!("`{shown}` is no key {of}"), remedy);
        near
    }

    fn missing(&mut self, key: &str, schema: &'s Value, span: Range<usize>, path: &str) {
        let what = match self.wanted(schema) {
            Wanted::One(what) => what.to_owned(),
            Wanted::List(_) => format!("a list `[[{key}]]`"),
            Wanted::Table(..) | Wanted::Names(_) => format!("a table `[{key}]`"),
        };
        let place = if path.is_empty() {
            "the job file".to_owned()
        } else {
            format!("`{path}`")
        };
        let given = schema["description"]
            .as_str()
            .map_or(String::new(), |given| format!(": {}", first_line(given)));
        self.problems.push(
            span,
            format!("{place} has no `{key}`"),
            format!("add `{key} = ...`, {what}{given}"),
        );
    }

    /// Checks one value; false when its shape is wrong and it must be taken out.
    fn value(&mut self, value: &mut Spanned<DeValue<'_>>, schema: &'s Value, path: &str) -> bool {
        let span = value.span();
        match (self.wanted(schema), value.get_mut()) {
            (Wanted::One(what), DeValue::String(text)) if what == Date::WHAT => {
                if self.order.is_some()
                    && let Ok(day) = date(text, self.order)
                {
                    *text = Cow::Owned(day.to_string());
                }
                true
            }
            (Wanted::One(_), _) => true,
            (Wanted::Table(keys, needed), DeValue::Table(table)) => {
                self.table(table, span, keys, &needed, path);
                true
            }
            (Wanted::Names(schema), DeValue::Table(table)) => {
                let mut wrong = Vec::new();
                for (key, value) in table.iter_mut() {
                    let name = key.get_ref();
                    // The path is in every problem below: a name of half a megabyte is not.
                    let shown: String = name.chars().take(LONGEST_SHOWN).collect();
                    if !self.value(value, schema, &format!("{path}.{shown}")) {
                        wrong.push(name.to_string());
                    }
                }
                for name in &wrong {
                    table.remove(name.as_str());
                }
                true
            }
            (Wanted::List(schema), DeValue::Array(list)) => {
                let mut right = true;
                for item in list.iter_mut() {
                    right &= self.value(item, schema, path);
                }
                right
            }
            (wanted, found) => {
                self.misshapen(&wanted, found.type_str(), span, path);
                false
            }
        }
    }

    fn misshapen(&mut self, wanted: &Wanted<'_>, found: &str, span: Range<usize>, path: &str) {
        let key = path.rsplit('.').next().unwrap_or(path);
        let (what, remedy) = match wanted {
            Wanted::Table(keys, _) => {
                let known = keys
                    .keys()
                    .map(|key| format!("`{key}`"))
                    .collect::<Vec<_>>()
                    .join(", ");
                let section = if path.contains('.') || found != "array" {
                    format!("write {key} = {{ ... }}, or a table [{path}]")
                } else {
                    format!("write [{path}], once")
                };
                ("a table", format!("{section}; its keys are {known}"))
            }
            Wanted::Names(_) => ("a table", format!("write [{path}.NAME]")),
            Wanted::List(items) => match self.wanted(items) {
                Wanted::Table(..) => ("a list", format!("write [[{path}]], once for each")),
                _ => ("a list", format!("write {key} = [\"...\", \"...\"]")),
            },
            Wanted::One(_) => return,
        };
        let found = match found {
            "string" => "text",
            "array" => "a list",
            "table" => "a single table",
            "datetime" => "a date",
            _ => "a number or true/false",
        };
        self.problems
            .push(span, format!("`{path}` is {what}, not {found}"), remedy);
    }
}

fn first_line(text: &str) -> String {
    let line = text.lines().next().unwrap_or_default();
    line.trim_end_matches('.').to_owned()
}
