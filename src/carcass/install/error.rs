//! What can be wrong with an installation, in a maker's words.

use crate::units::{Length, refusals};

refusals! {
    /// The strains of driest, present and wettest day are not in order.
    seasons_out_of_order() =
        "the part is wetter or drier today than in any season given",
        "take today into the year";
    screw_off_the_part(at: Length, width: Length) =
        "a screw at {at:.1} is off the part, which is {width:.1} wide",
        "measure from its front edge";
    no_such_day() =
        "the day is past the end of the calendar",
        "check the date of delivery";
}
