//! What can be wrong with a table of leaves, in words that name the place and the remedy.

use super::columns::{COLUMNS, USUAL_HEADER};
use crate::units::{Refusal, refusals};

refusals! {
    empty() =
        "the table is empty",
        "write a header row `{USUAL_HEADER}` and a row for each leaf";
    too_many_columns(count: usize) =
        "row 1 has {count} columns, and a table of leaves has at most 14",
        "look whether this is the right file";
    no_leaves() =
        "the table has a header but no leaf",
        "write a row for each leaf below it";
    column_missing(column: &str) =
        "row 1: the column `{column}` is missing",
        "the header needs `{USUAL_HEADER}`, the unit of lengths in the header or in each cell";
    column_twice(column: &str) =
        "row 1: the column `{column}` appears twice",
        "keep one";
    unit_on_words(header: &str) =
        "row 1: `{header}` holds words, no lengths",
        "take its unit out";
    unreadable() =
        "the row cannot be read as a table",
        "look for a stray quotation mark";
    stray_cell(leaf: &str, cell: &str) =
        "leaf `{leaf}` has more cells than the header has columns, such as `{cell}`",
        "quote a cell that holds a comma";
    no_unit(cell: &str, column: &str) =
        "`{cell}` has no unit",
        "write it in the cell (`{cell} mm`) or for all rows in the header (`{column}_mm`, `{column}_in`)";
    unit_twice(cell: &str, header: &str) =
        "`{cell}` has a unit and so does its header `{header}`",
        "keep the unit in one of the two places";
    no_depth(header: &str) =
        "`{header}` is given without the pith's depth",
        "write `pith_depth` too, from the heart-side face square to the pith, or leave both out";
    name_twice(leaf: &str) =
        "the leaf `{leaf}` appears a second time",
        "give each leaf its own name";
}

/// A column nobody knows, with the nearest known one.
pub(super) fn column_unknown(header: &str, nearest: Option<&str>) -> Refusal {
    let first = nearest.map_or_else(
        || "take it out or rename it".to_owned(),
        |nearest| format!("did you mean `{nearest}`?"),
    );
    let mark = if nearest.is_some() { "" } else { ";" };
    let known = COLUMNS.map(|column| format!("`{column}`")).join(", ");
    Refusal::new(
        format!("row 1: `{header}` is no column known here"),
        format!("{first}{mark} the columns are {known}"),
    )
}

/// A cell that must be filled is empty.
pub(super) fn missing(column: &str) -> Refusal {
    match column {
        "leaf" => Refusal::new("the leaf has no name", "write the one you marked on it"),
        "bow" => Refusal::new(
            "the bow is missing",
            "lay a straightedge or a string along the leaf and write the gap at its middle, negative when the sawn face is round, `0 mm` when it is straight",
        ),
        _ => Refusal::new("the cell is empty", "measure it and write it"),
    }
}
