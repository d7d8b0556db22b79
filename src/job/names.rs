//! Names of a job file: each of its own, and each that is used given somewhere.

use crate::units::spanned::{Name, Problems, ReadNotation, Spanned};
use std::collections::HashMap;

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
