//! Why a frame cannot be answered.

use crate::units::refusals;

refusals! {
    /// A joint or a rest names a board that is not there.
    unknown_member(index: usize) = "board number {index} is not in the frame", "count from 0";
    empty_member(index: usize) =
        "board number {index} has no length, width, thickness or stiffness", "give all four above zero";
    heights_no_shape() =
        "the heights do not make a shape",
        "give three or more, at places that ascend from one end of the board to the other";
    /// Something can still move.
    not_held() =
        "a board can still move freely", "give it a joint at both ends, or a rest on the floor";
}
