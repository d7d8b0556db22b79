//! What can be wrong with a list of leaves. Each names the leaf and what to do.

use super::leaf::Leaf;
use super::leaf_match::LeafMatch;
use crate::units::notation::millimetres;
use crate::units::{RangeError, Refusal, refusals};

refusals! {
    no_leaves() =
        "there is no leaf to lay",
        "list at least one leaf with its width, thickness, length and bow";
    too_many(count: usize, most: usize) =
        "there are {count} leaves, and one panel takes at most {most}",
        "lay them in several panels";
    name_twice(leaf: &str) =
        "two leaves are called `{leaf}`",
        "give each leaf its own name";
    not_by_fours(first: &str, second: &str, count: usize) =
        "a four-way match needs leaves by fours, and of {count} leaves the pair `{first}` and `{second}` is left over",
        "add a second pair, take this one out, or match with `bookmatch`";
    odd_leaves(leaf: &str, count: usize, leaf_match: LeafMatch) =
        "a {leaf_match} needs pairs, and of {count} leaves `{leaf}` has no partner",
        "add the partner of `{leaf}`, take `{leaf}` out, or match with `random`";
    pair_missing(leaf: &str) =
        "leaf `{leaf}` has no pair while others have one",
        "write the pair of `{leaf}`, or leave the whole column out to pair the leaves in the order of the list";
}

pub(super) fn out_of_range(leaf: &str, error: RangeError) -> Refusal {
    Refusal::new(
        error.to_string(),
        "measure that size again, or write its unit again",
    )
    .at(format!("leaf `{leaf}`"))
}

/// The crook leaves no straight strip.
pub(super) fn crook_takes_all(leaf: &Leaf) -> Refusal {
    let (name, crook, width) = (&leaf.name, millimetres(leaf.crook), millimetres(leaf.width));
    Refusal::new(
        format!("jointing a crook of {crook} out of a width of {width} leaves nothing"),
        format!(
            "cut `{name}` shorter before jointing (crook goes with the square of the length), or leave it out"
        ),
    )
    .at(format!("leaf `{name}`"))
}

/// Edge-glued leaves must be one length.
pub(super) fn unlike_length(first: &Leaf, second: &Leaf) -> Refusal {
    let [one, other, min] =
        [first.length, second.length, first.length.min(second.length)].map(millimetres);
    Refusal::new(
        format!(
            "leaf `{}` is {other} long and leaf `{}` {one}",
            second.name, first.name
        ),
        format!(
            "cut all leaves to one length, {min} here, then measure their bows again: a bow goes with the square of the length"
        ),
    )
}

/// The leaves of a pair must be one thickness.
pub(super) fn unlike_thickness(first: &Leaf, second: &Leaf) -> Refusal {
    let [one, other, min] = [
        first.thickness,
        second.thickness,
        first.thickness.min(second.thickness),
    ]
    .map(millimetres);
    Refusal::new(
        format!(
            "the pair `{}` and `{}` is {one} and {other} thick",
            first.name, second.name
        ),
        format!(
            "plane both to one thickness, {min} here, and measure their bows again, or match them with `random`"
        ),
    )
}

/// A pair's label is on one leaf or on more than two.
pub(super) fn pair_not_two(pair: &str, leaves: &[&str]) -> Refusal {
    let count = match leaves.len() {
        1 => "one leaf".to_owned(),
        count => format!("{count} leaves"),
    };
    let names: Vec<String> = leaves.iter().map(|leaf| format!("`{leaf}`")).collect();
    Refusal::new(
        format!("pair `{pair}` has {count} ({}), not two", names.join(", ")),
        "write one label on exactly two leaves",
    )
}

/// The show faces given cannot both be up under the match's rule.
pub(super) fn show_faces_clash(first: &str, second: &str, leaf_match: LeafMatch) -> Refusal {
    let remedy = match leaf_match {
        LeafMatch::SlipMatch => {
            "a slip-match shows the sawn face of one leaf and the back of its partner: change one of the two, or bookmatch them"
        }
        _ => {
            "a bookmatch shows the same face of both leaves: change one of the two, or slip-match them"
        }
    };
    Refusal::new(
        format!(
            "the show faces given for `{first}` and `{second}` cannot both be up in a {leaf_match}"
        ),
        remedy,
    )
}
