//! What can be wrong with a board, a plan or a test strip.

use crate::units::{Length, RangeError, Refusal, refusals};

refusals! {
    no_leaves() =
        "the plan asks for no leaf",
        "say how many leaves, or their thicknesses from the bark face";
    board_too_thin(leaves: usize, thickness: Length, planed: Length, room: Length, kerf: Length) =
        "{leaves} leaves do not come out of {thickness:.1}: after {planed:.1} of planing, {room:.1} are left, and each cut takes {kerf:.1}",
        "ask for fewer or thinner leaves, or use a thinner blade";
    strip_not_read() =
        "the test strip has no reading",
        "put its halves back together and give the gap, or give the bow of each half";
    strip_too_thin(kerf: Length, thickness: Length) =
        "a kerf of {kerf:.1} leaves nothing of a strip {thickness:.1} thick",
        "check both";
    strip_planed_up(thickness: Length, from: Length) =
        "a strip {thickness:.1} thick cannot have been planed from {from:.1}",
        "give the thickness it had when it was dried";
    strip_length(length: Length) =
        "a test strip of {length:.1} is too short to read",
        "use one of some 600 mm, or a third of the board";
    no_such_leaf(leaf: usize, leaves: usize) =
        "leaf {leaf} was measured and the plan has {leaves}",
        "leaves are numbered from 1 at the bark face";
    gap_too_wide(gap: Length, length: Length) =
        "a reading of {gap:.1} over {length:.1} is no shallow arc",
        "check both, and their units";
}

pub(super) fn out_of_range(error: RangeError) -> Refusal {
    Refusal::new(error.to_string(), "check the size of the leaf and the wood")
}
