//! Names of a job file: each of its own, and each that is used given somewhere.

use crate::joint::PartFacts;
use crate::units::notation::nearest;
use crate::units::spanned::{Name, Problems, ReadNotation, Spanned};
use std::collections::HashMap;
use std::ops::Range;

/// Notes every name that was given before in the same list.
pub(super) fn check_names<'a>(
    list: &str,
    names: impl Iterator<Item = &'a Spanned<Name>>,
    problems: &mut Problems,
) {
    let mut seen: HashMap<String, &str> = HashMap::new();
    for given in names {
        let Ok(Name(name)) = Name::read(given.text()) else {
            continue;
        };
        let folded = name.to_lowercase();
        if let Some(first) = seen.get(folded.as_str()) {
            let or_count = if list == "parts" {
                ", or use `count` for parts that are alike"
            } else {
                ""
            };
            problems.push(
                given.span(),
                format!("two {list} are named `{first}`"),
                format!("give each a name of its own{or_count}"),
            );
        } else {
            seen.insert(folded, given.text());
        }
    }
}

/// The index of a name, or `None` after noting that there is none, with the nearest.
pub(super) fn find_name<'a>(
    kind: &str,
    wanted: &str,
    span: Range<usize>,
    names: impl Iterator<Item = &'a str> + Clone,
    how_to_add: &str,
    problems: &mut Problems,
) -> Option<usize> {
    let found = names.clone().position(|name| name == wanted);
    if found.is_none() {
        let known = names
            .clone()
            .map(|name| format!("`{name}`"))
            .collect::<Vec<_>>()
            .join(", ");
        let remedy = match nearest(wanted, names) {
            Some(near) => format!("did you mean `{near}`? The {kind}s are {known}"),
            None if known.is_empty() => format!("add one with {how_to_add}"),
            None => format!("the {kind}s are {known}; add one with {how_to_add}"),
        };
        problems.push(span, format!("no {kind} is named `{wanted}`"), remedy);
    }
    found
}

/// The index of a part, or `None` after noting that there is none.
pub(super) fn find_part(
    wanted: &str,
    span: Range<usize>,
    parts: &[PartFacts],
    problems: &mut Problems,
) -> Option<usize> {
    let names = parts.iter().map(|part| part.name.as_str());
    find_name("part", wanted, span, names, "[[parts]]", problems)
}
