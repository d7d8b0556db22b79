//! What can be wrong with a carcass question, in a maker's words.

use crate::units::{Length, refusals};

refusals! {
    /// Two supports at one place.
    coincident(first: Length, second: Length) =
        "supports at {first:.1} and {second:.1} are at one place",
        "give one support there, or set them at least 1 mm apart";
    /// A support, divider or load off the part.
    off_the_part(what: &str, at: Length, length: Length) =
        "the {what} at {at:.1} is off the part, which runs from 0 to {length:.1}",
        "measure from its reference end";
    /// Too few supports, or supports that only push away: the part can still move.
    not_held() =
        "nothing holds the part: it needs supports at two places that do not all push the same way",
        "add a support or let one hold both ways";
    /// A divider that names a part that is not there, or joins a part to itself.
    unknown_partner(index: usize, parts: usize) =
        "a divider names part number {index}, but it must join two different ones of the {parts} given",
        "count from 0";
    no_room(dividers: usize, spacing: Length) =
        "{dividers} dividers do not fit with {spacing:.1} between them",
        "ask for fewer or for a smaller spacing";
    empty_load(from: Length, to: Length) =
        "a load from {from:.1} to {to:.1} covers nothing",
        "let it end after it begins";
    /// No `span` or `thickness` within the table of ranges meets the allowed sag.
    sag_out_of_reach(what: &str) =
        "no {what} within the allowed range keeps to that sag",
        "allow more sag, lighten the load or add a support";
    unsettled() =
        "the forces could not be settled",
        "check for sizes that differ by many orders of magnitude";
}
