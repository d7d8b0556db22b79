//! Names that the page offers while a part of one is typed; each list is that of its own room.

use crate::air::places;
use crate::carcass::GlueKind;
use crate::moisture;
use crate::species::{SpeciesTable, YardName};
use crate::stock::Drying;
use serde_json::{Value, json};

/// Every name the page offers.
pub(super) fn words() -> Value {
    let table = SpeciesTable::built_in();
    let yard: Vec<YardName<'_>> = table.yard_names().collect();
    let species: Vec<Value> = table
        .with_other_names()
        .map(|(wood, others)| {
            let mut also: Vec<&str> = wood.latin.as_deref().into_iter().chain(others).collect();
            for name in yard.iter().filter(|name| name.species == wood.name) {
                if !also.contains(&name.name) {
                    also.push(name.name);
                }
            }
            json!({ "name": wood.name, "also": also })
        })
        .collect();
    let mut finishes: Vec<&str> = moisture::finishes()
        .iter()
        .map(|row| row.finish.as_str())
        .collect();
    finishes.dedup();
    json!({
        "species": species,
        "places": places::built_in().iter().map(ToString::to_string).collect::<Vec<_>>(),
        "finishes": finishes,
        "glues": GlueKind::all().iter().map(|kind| kind.word()).collect::<Vec<_>>(),
        "dryings": Drying::ALL.map(Drying::words),
    })
}
