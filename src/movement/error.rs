//! What can be wrong with the rings a maker tells.

use crate::units::{Length, RangeError, Refusal, refusals};

refusals! {
    chord_not_positive(chord: Length) =
        "the ring's chord is {chord:.1}",
        "measure the straight line between two points of one ring and give it as a positive length";
    rise_not_positive(rise: Length) =
        "the ring rises {rise:.1} over its chord",
        "rings arch toward the bark, so turn the section bark side up and measure again, or say `flat` when the ring is straight";
    rise_beyond_half_circle(rise: Length, chord: Length) =
        "a rise of {rise:.1} over a chord of {chord:.1} is more than half a circle",
        "check that rise and chord are not swapped, or give the depth of the pith";
    too_few_angles(given: usize) =
        "{given} ring angle was given and two places are needed to find the pith",
        "measure a second place, or say `flat`, `rift` or `quarter`";
    place_off_board(at: Length, half_width: Length) =
        "a ring angle is given at {at:.1}, off the board",
        "places run from the centre line, {half_width:.1} to either side";
    places_coincide(at: Length) =
        "all ring angles are given at {at:.1}",
        "measure at places well apart along the width";
    photo_not_read() =
        "the rings are in a photo, which cannot be read here",
        "run `heartside rings` on the photo and give the pith that it finds";
    pith_above_bark_face(above: Length) =
        "this puts the pith {above:.1} above the heart-side face, beyond the bark-side face",
        "turn the section bark side up, and count angles positive where the ring rises to the right";
    pith_too_far(depth: Length, offset: Length) =
        "this puts the pith {depth:.0} below and {offset:.0} beside the board",
        "say `flat`, `rift` or `quarter` for rings that look straight";
}

pub(super) fn radius(error: RangeError) -> Refusal {
    Refusal::new(
        error.to_string(),
        "measure the rise over a longer chord, or say `flat` for rings that look straight",
    )
}
