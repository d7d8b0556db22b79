//! Changes of a job file's text that leave all else as it stands: comments, order, layout.

use crate::job::schema;
use crate::units::{Refusal, refusals};
use serde::Deserialize;
use serde_json::Value as Json;
use std::fmt;
use std::sync::OnceLock;
use toml_edit::{Array, ArrayOfTables, DocumentMut, InlineTable, Item, Table, Value};

/// One change: at a path of keys and places in lists, a value set, taken out, or put into a list.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Edit {
    /// Keys and, in lists, places counted from 0.
    pub at: Vec<Step>,
    /// The new value; null takes out what stands there.
    #[serde(default)]
    pub to: Json,
    /// Instead of `to`: a table to put into the list before the place that `at` ends in.
    #[serde(default)]
    pub insert: Option<Json>,
}

/// One step of a path.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(untagged)]
pub enum Step {
    /// A place in a list, from 0.
    Index(usize),
    /// A key of a table.
    Key(String),
}

impl fmt::Display for Step {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Index(index) => write!(f, "{index}"),
            Self::Key(key) => f.write_str(key),
        }
    }
}

refusals! {
    /// The text is not TOML, so that nothing in it has a place.
    not_toml() = "the job file is not TOML", "fix its text first";
    /// The path leads through something that is neither a table nor a list, or beyond a list's end.
    no_such_place(path: &str) =
        "the job file has no place `{path}`",
        "load the page again, so that its form is that of the file";
}

/// Makes changes in a job file's text, one after the other. Text that no change touches stays to the letter.
///
/// # Errors
/// [`Refusal`] when the text is not TOML or a path leads nowhere; the text is then as it was.
pub fn apply(text: &str, edits: &[Edit]) -> Result<String, Refusal> {
    if edits.is_empty() {
        return Ok(text.to_owned());
    }
    let mut document: DocumentMut = text.parse().map_err(|_| not_toml())?;
    for edit in edits {
        change(&mut document, edit).ok_or_else(|| {
            let path: Vec<String> = edit.at.iter().map(ToString::to_string).collect();
            no_such_place(&path.join("."))
        })?;
    }
    Ok(document.to_string())
}

fn change(document: &mut DocumentMut, edit: &Edit) -> Option<()> {
    let (last, before) = edit.at.split_last()?;
    let kind = Kind::at(&edit.at);
    if let Some(made) = &edit.insert {
        let Step::Index(index) = last else {
            return None;
        };
        return insert(document, before, *index, made, &edit.at);
    }
    if edit.to.is_null() {
        return take_out(document, before, last);
    }
    // A missing table is made only where a key is set, never a missing place in a list.
    let mut holder = Holder::Table(document.as_table_mut());
    for (depth, step) in before.iter().enumerate() {
        holder = holder.enter(
            step,
            Kind::at(&edit.at[..=depth]),
            before.get(depth + 1).or(Some(last)),
        )?;
    }
    holder.set(last, &edit.to, kind, &edit.at)
}

/// What a path stands in.
enum Holder<'a> {
    Table(&'a mut Table),
    Inline(&'a mut InlineTable),
    Tables(&'a mut ArrayOfTables),
    Array(&'a mut Array),
}

impl<'a> Holder<'a> {
    fn of(item: &'a mut Item) -> Option<Self> {
        match item {
            Item::Table(table) => Some(Self::Table(table)),
            Item::ArrayOfTables(tables) => Some(Self::Tables(tables)),
            Item::Value(value) => Self::of_value(value),
            Item::None => None,
        }
    }

    fn of_value(value: &'a mut Value) -> Option<Self> {
        match value {
            Value::InlineTable(table) => Some(Self::Inline(table)),
            Value::Array(list) => Some(Self::Array(list)),
            _ => None,
        }
    }

    /// Goes one step on; a table that is missing on the way is made.
    fn enter(self, step: &Step, kind: Kind, next: Option<&Step>) -> Option<Self> {
        match (self, step) {
            (Self::Table(table), Step::Key(key)) => {
                if !table.contains_key(key) {
                    if matches!(next, Some(Step::Index(_))) {
                        return None;
                    }
                    let made = if kind == Kind::Section {
                        Item::Table(Table::new())
                    } else {
                        Item::Value(Value::InlineTable(InlineTable::new()))
                    };
                    table.insert(key, made);
                }
                Self::of(table.get_mut(key)?)
            }
            (Self::Inline(table), Step::Key(key)) => {
                if !table.contains_key(key) {
                    if matches!(next, Some(Step::Index(_))) {
                        return None;
                    }
                    table.insert(key, Value::InlineTable(InlineTable::new()));
                }
                Self::of_value(table.get_mut(key)?)
            }
            (Self::Tables(tables), Step::Index(index)) => tables.get_mut(*index).map(Self::Table),
            (Self::Array(list), Step::Index(index)) => Self::of_value(list.get_mut(*index)?),
            _ => None,
        }
    }

    fn set(self, step: &Step, to: &Json, kind: Kind, path: &[Step]) -> Option<()> {
        match (self, step) {
            (Self::Table(table), Step::Key(key)) => {
                match table.get_mut(key) {
                    Some(Item::Value(old)) => put(old, value(to, path)?),
                    _ if kind == Kind::Section && to.is_object() => {
                        table.insert(key, Item::Table(section(to, path)?));
                    }
                    _ => {
                        table.insert(key, Item::Value(value(to, path)?));
                    }
                }
                Some(())
            }
            (Self::Inline(table), Step::Key(key)) => {
                let new = value(to, path)?;
                match table.get_mut(key) {
                    Some(old) => put(old, new),
                    None => {
                        table.insert(key, new);
                    }
                }
                Some(())
            }
            (Self::Array(list), Step::Index(index)) => {
                let new = value(to, path)?;
                put(list.get_mut(*index)?, new);
                Some(())
            }
            (Self::Tables(tables), Step::Index(index)) => {
                let table = tables.get_mut(*index)?;
                *table = section(to, path)?;
                Some(())
            }
            _ => None,
        }
    }
}

/// Puts a value in the place of another, with the space and comments around the old one.
fn put(old: &mut Value, mut new: Value) {
    *new.decor_mut() = old.decor().clone();
    *old = new;
}

fn find<'a>(document: &'a mut DocumentMut, path: &[Step]) -> Option<Holder<'a>> {
    let mut holder = Holder::Table(document.as_table_mut());
    for step in path {
        holder = match (holder, step) {
            (Holder::Table(table), Step::Key(key)) => Holder::of(table.get_mut(key)?)?,
            (Holder::Inline(table), Step::Key(key)) => Holder::of_value(table.get_mut(key)?)?,
            (Holder::Tables(tables), Step::Index(index)) => Holder::Table(tables.get_mut(*index)?),
            (Holder::Array(list), Step::Index(index)) => Holder::of_value(list.get_mut(*index)?)?,
            _ => return None,
        };
    }
    Some(holder)
}

/// Takes out a key or a place in a list; what is not there is out already.
fn take_out(document: &mut DocumentMut, before: &[Step], last: &Step) -> Option<()> {
    let Some(holder) = find(document, before) else {
        return Some(());
    };
    match (holder, last) {
        (Holder::Table(table), Step::Key(key)) => {
            table.remove(key);
        }
        (Holder::Inline(table), Step::Key(key)) => {
            table.remove(key);
        }
        (Holder::Tables(tables), Step::Index(index)) if *index < tables.len() => {
            tables.remove(*index);
        }
        (Holder::Array(list), Step::Index(index)) if *index < list.len() => {
            list.remove(*index);
        }
        (Holder::Tables(_) | Holder::Array(_), Step::Index(_)) => {}
        _ => return None,
    }
    drop_empty(document, before);
    Some(())
}

/// A list or an inline table that holds nothing any more goes too, and so its holders; sections stay.
fn drop_empty(document: &mut DocumentMut, path: &[Step]) {
    let Some((last, before)) = path.split_last() else {
        return;
    };
    let empty = match find(document, path) {
        Some(Holder::Inline(table)) => table.is_empty(),
        Some(Holder::Array(list)) => list.is_empty(),
        Some(Holder::Tables(tables)) => tables.is_empty(),
        _ => false,
    };
    if !empty {
        return;
    }
    match (find(document, before), last) {
        (Some(Holder::Table(table)), Step::Key(key)) => {
            table.remove(key);
        }
        (Some(Holder::Inline(table)), Step::Key(key)) => {
            table.remove(key);
            drop_empty(document, before);
        }
        _ => {}
    }
}

fn insert(
    document: &mut DocumentMut,
    list: &[Step],
    index: usize,
    made: &Json,
    path: &[Step],
) -> Option<()> {
    let (Step::Key(key), before) = list.split_last()? else {
        return None;
    };
    let mut holder = Holder::Table(document.as_table_mut());
    for (depth, step) in before.iter().enumerate() {
        holder = holder.enter(step, Kind::at(&list[..=depth]), list.get(depth + 1))?;
    }
    match holder {
        Holder::Table(table) => {
            let sections = Kind::at(list) == Kind::Section;
            let item = table.entry(key).or_insert_with(|| {
                if sections {
                    Item::ArrayOfTables(ArrayOfTables::new())
                } else {
                    Item::Value(Value::Array(Array::new()))
                }
            });
            match item {
                Item::ArrayOfTables(tables) => insert_table(tables, index, section(made, path)?),
                Item::Value(Value::Array(list)) => insert_value(list, index, value(made, path)?),
                _ => None,
            }
        }
        Holder::Inline(table) => {
            let slot = table
                .entry(key)
                .or_insert_with(|| Value::Array(Array::new()));
            match slot {
                Value::Array(list) => insert_value(list, index, value(made, path)?),
                _ => None,
            }
        }
        _ => None,
    }
}

/// Puts a table into a list `[[of.tables]]`. The reader orders tables by their place in the text, so one
/// that goes between others takes over the place of the next.
fn insert_table(tables: &mut ArrayOfTables, index: usize, mut table: Table) -> Option<()> {
    if index > tables.len() {
        return None;
    }
    table.decor_mut().set_prefix("\n");
    if index == tables.len() {
        tables.push(table);
        return Some(());
    }
    let mut all: Vec<Table> = std::mem::take(tables).into_iter().collect();
    table.set_position(all[index].position());
    all.insert(index, table);
    for each in all {
        tables.push(each);
    }
    Some(())
}

fn insert_value(list: &mut Array, index: usize, mut new: Value) -> Option<()> {
    if index > list.len() {
        return None;
    }
    // A list with one item on each line goes on so.
    if let Some(last) = list.iter().last() {
        *new.decor_mut() = last.decor().clone();
        new.decor_mut().set_suffix("");
    }
    list.insert(index, new);
    Some(())
}

/// How a table of the file is written: with a header of its own, or inline.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Kind {
    Section,
    Inline,
}

impl Kind {
    /// Top sections, places, and the lists of parts, joints and the like have headers; all below is inline.
    fn at(path: &[Step]) -> Self {
        let names = path
            .iter()
            .filter(|step| matches!(step, Step::Key(_)))
            .count();
        let nested = matches!(path.first(), Some(Step::Key(first)) if first == "places" || first == "joints");
        if names <= if nested { 2 } else { 1 } {
            Self::Section
        } else {
            Self::Inline
        }
    }
}

fn section(json: &Json, path: &[Step]) -> Option<Table> {
    let mut table = Table::new();
    for (key, inner) in json.as_object()? {
        if inner.is_null() {
            continue;
        }
        let mut below = path.to_vec();
        below.push(Step::Key(key.clone()));
        table.insert(key, Item::Value(value(inner, &below)?));
    }
    Some(table)
}

fn value(json: &Json, path: &[Step]) -> Option<Value> {
    Some(match json {
        Json::Null => return None,
        Json::Bool(flag) => Value::from(*flag),
        Json::Number(number) => match number.as_i64() {
            Some(whole) => Value::from(whole),
            None => Value::from(number.as_f64()?),
        },
        Json::String(text) => {
            let date = if takes_date(path) {
                text.trim().parse::<toml_edit::Datetime>().ok()
            } else {
                None
            };
            date.map_or_else(|| Value::from(text.as_str()), Value::from)
        }
        Json::Array(items) => {
            let mut list = Array::new();
            for (index, item) in items.iter().enumerate() {
                let mut below = path.to_vec();
                below.push(Step::Index(index));
                list.push(value(item, &below)?);
            }
            Value::Array(list)
        }
        Json::Object(keys) => {
            let mut table = InlineTable::new();
            for (key, inner) in keys.iter().filter(|(_, inner)| !inner.is_null()) {
                let mut below = path.to_vec();
                below.push(Step::Key(key.clone()));
                table.insert(key, value(inner, &below)?);
            }
            Value::InlineTable(table)
        }
    })
}

/// Whether the schema wants a date at a path: dates stand without quotes.
fn takes_date(path: &[Step]) -> bool {
    static SCHEMA: OnceLock<Json> = OnceLock::new();
    let root = SCHEMA.get_or_init(schema);
    let mut at = root;
    for step in path {
        at = resolve(root, at);
        at = match step {
            Step::Index(_) => &at["items"],
            Step::Key(key) if !at["properties"][key].is_null() => &at["properties"][key],
            Step::Key(_) => &at["additionalProperties"],
        };
    }
    at["title"]
        .as_str()
        .is_some_and(|what| what.starts_with("a date"))
}

fn resolve<'s>(root: &'s Json, schema: &'s Json) -> &'s Json {
    let mut at = schema;
    for _ in 0..8 {
        match at["$ref"].as_str().and_then(|path| path.rsplit('/').next()) {
            Some(name) => at = &root["$defs"][name],
            None => break,
        }
    }
    at
}
