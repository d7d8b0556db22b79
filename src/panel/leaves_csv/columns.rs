//! The columns of a table of leaves and its header row.

use super::faults;
use crate::units::Refusals;
use crate::units::notation::nearest;

/// The header that every table needs.
pub(super) const USUAL_HEADER: &str = "leaf, width, thickness, length, bow";

/// Every column a table may have, the needed ones first.
pub(super) const COLUMNS: [&str; 14] = [
    "leaf",
    "width",
    "thickness",
    "length",
    "bow",
    "crook",
    "twist",
    "cup",
    "pith_depth",
    "pith_offset",
    "species",
    "pair",
    "show_face",
    "sawn_side",
];

/// How many of the columns every table has.
const NEEDED: usize = 5;

const WORDS: [&str; 5] = ["leaf", "species", "pair", "show_face", "sawn_side"];

const UNITS: [&str; 8] = ["mm", "cm", "m", "in", "inch", "inches", "ft", "feet"];

#[derive(Debug, Clone)]
pub(super) struct Header {
    pub written: String,
    pub unit: Option<&'static str>,
}

fn tidy(header: &str) -> String {
    header
        .to_lowercase()
        .split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .collect::<Vec<_>>()
        .join("_")
}

fn without_unit(name: &str) -> &str {
    match name.rsplit_once('_') {
        Some((column, unit)) if UNITS.contains(&unit) => column,
        _ => name,
    }
}

/// Characters of an unknown header that are shown.
const LONGEST_SHOWN: usize = 60;
/// A table of more columns is no table of leaves.
const MOST_COLUMNS: usize = 1_000;

/// The header of each known column, with its place in the row.
pub(super) fn headers(
    record: &csv::StringRecord,
) -> Result<[Option<(usize, Header)>; 14], Refusals> {
    let mut found: [Option<(usize, Header)>; 14] = std::array::from_fn(|_| None);
    if record.len() > MOST_COLUMNS {
        return Err(faults::too_many_columns(record.len()).into());
    }
    let mut refused = Vec::new();
    for (place, written) in record.iter().enumerate() {
        let name = tidy(written);
        if name.is_empty() {
            continue;
        }
        let known = COLUMNS.iter().enumerate().find_map(|(i, column)| {
            let rest = name.strip_prefix(column)?;
            if rest.is_empty() {
                return Some((i, None));
            }
            let unit = rest.strip_prefix('_')?;
            let unit = UNITS.iter().find(|known| **known == unit)?;
            Some((i, Some(*unit)))
        });
        match known {
            None => refused.push(faults::column_unknown(
                &written.chars().take(LONGEST_SHOWN).collect::<String>(),
                nearest(without_unit(&name), COLUMNS),
            )),
            Some((i, _)) if found[i].is_some() => {
                refused.push(faults::column_twice(COLUMNS[i]));
            }
            Some((i, Some(_))) if WORDS.contains(&COLUMNS[i]) => {
                refused.push(faults::unit_on_words(written));
            }
            Some((i, unit)) => {
                let written = written.to_owned();
                found[i] = Some((place, Header { written, unit }));
            }
        }
    }
    for (i, column) in COLUMNS.into_iter().enumerate().take(NEEDED) {
        if found[i].is_none() {
            refused.push(faults::column_missing(column));
        }
    }
    Refusals::unless(refused, found)
}
