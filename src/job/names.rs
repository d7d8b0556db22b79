//! Names of a job file: each of its own, and each that is used told somewhere.

use crate::units::told::{Name, Problems, ReadNotation, Told};
use std::collections::HashMap;

/// Notes every name that was told before in the same list.
pub(super) fn check_names<'a>(
    list: &str,
    names: impl Iterator<Item = &'a Told<Name>>,
    problems: &mut Problems,
) {
    let mut seen: HashMap<String, &str> = HashMap::new();
    for told in names {
        let Ok(Name(name)) = Name::read(told.text()) else {
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
                told.span(),
                format!("two {list} are named `{first}`"),
                format!("give each a name of its own{or_count}"),
            );
        } else {
            seen.insert(folded, told.text());
        }
    }
}
