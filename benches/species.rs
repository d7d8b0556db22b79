//! Reading the tables and finding a wood.

use divan::black_box;
use heartside::species::{SpeciesTable, tables};

/// All built-in files, row by row; what the first look-up of a run costs besides the join.
#[divan::bench]
fn parse_every_file() -> usize {
    let shrinkage = [
        tables::shrinkage_domestic(),
        tables::shrinkage_imported(),
        tables::shrinkage_european(),
    ];
    let mechanical = [
        tables::mechanical_12_percent(),
        tables::mechanical_green(),
        tables::mechanical_imported(),
    ];
    let rows = |n: Option<usize>| n.unwrap_or_default();
    shrinkage
        .iter()
        .map(|r| rows(r.as_ref().ok().map(Vec::len)))
        .sum::<usize>()
        + mechanical
            .iter()
            .map(|r| rows(r.as_ref().ok().map(Vec::len)))
            .sum::<usize>()
        + rows(tables::change_coefficients().ok().map(|r| r.len()))
        + rows(tables::elastic_ratios().ok().map(|r| r.len()))
        + rows(tables::poisson_ratios().ok().map(|r| r.len()))
        + rows(tables::green_moisture().ok().map(|r| r.len()))
        + rows(tables::names().ok().map(|r| r.len()))
}

/// A maker's row in front: copies the built-in records and indexes them again.
#[divan::bench]
fn own_table_in_front() -> usize {
    let text = "species,radial_percent,tangential_percent\nPear,4.6,9.1\n";
    SpeciesTable::with_user_csv(black_box(text), "woods.csv").map_or(0, |table| table.all().len())
}

#[divan::bench(args = ["white oak", "Quercus alba", "hard maple", "basswood"])]
fn find(name: &str) -> bool {
    SpeciesTable::built_in().find(black_box(name)).is_ok()
}

#[divan::bench]
fn suggest() -> bool {
    SpeciesTable::built_in()
        .find(black_box("blak walnutt"))
        .is_err()
}
