//! Why a photo cannot be read for its rings.

use super::photo::{MAX_PIXELS, MAX_SIDE_PX, MIN_BOARD_PX};
use crate::units::{Length, RangeError, Refusal, refusals};

refusals! {
    slenderness(width: Length, thickness: Length) =
        "a width of {width:.1} at a thickness of {thickness:.1} is no board's end that can be read, its width is 1 to 20 times its thickness",
        "give both sizes of the board itself";
    too_thin() =
        "the end is too few pixels high to see rings on it", "go nearer until the board fills the photo";
    blank() =
        "the end is of one tone from edge to edge",
        "light it from one side and focus on the end grain";
    not_finite() = "a corner is no number", "give eight numbers, in pixels";
    counterclockwise() =
        "the corners go round counterclockwise",
        "give them as top left, top right, bottom right, bottom left";
    not_convex() =
        "the corners are no board's end, two edges cross or three corners are on one line",
        "give them as top left, top right, bottom right, bottom left";
    no_corners() =
        "the end of the board does not stand out from what is around it",
        "give its corners with corners = \"x,y,x,y,x,y,x,y\"";
    hardly_visible() =
        "the rings are hardly visible, or this is no end grain",
        "cut the end fresh, sand it, wet it, light it from one side, and take the photo again";
    two_readings() =
        "two readings explain the lines of this photo almost alike",
        "run `heartside rings` on it, look at its figure, and give the pith of the reading that fits";
    no_pith() = "no pith fits this photo", "give the rings by hand";
    outside() = "a corner is outside the photo", "the whole end of the board must be in the photo";
}

pub(super) fn size(width: usize, height: usize) -> Refusal {
    let millions = MAX_PIXELS / 1_000_000;
    Refusal::new(
        format!(
            "the photo is {width} by {height} pixels, and at most {MAX_SIDE_PX} a side and {millions} million in all can be read"
        ),
        "save it smaller",
    )
}

pub(super) fn out_of_range(error: RangeError) -> Refusal {
    Refusal::new(error.to_string(), "give the size of the board's end itself")
}

pub(super) fn small(pixels: f64) -> Refusal {
    Refusal::new(
        format!(
            "the board is {pixels:.0} pixels wide in the photo, and its rings need {MIN_BOARD_PX:.0} or more"
        ),
        "go nearer until the board fills the photo",
    )
}
