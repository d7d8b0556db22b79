//! Why a glue-up cannot be staged, and what would help.

use super::answer::Shorten;
use crate::units::{Duration, Refusal, refusals};
use std::fmt;

refusals! {
    too_large(count: usize, most: usize) =
        "{count} parts or joints are more than the {most} a plan holds",
        "plan the sub-assemblies one by one";
    /// A joint or a trap names a part that is not there, or one part twice.
    unknown_part(joint: &str) =
        "{joint} does not join two different parts of the piece", "name two of its parts";
    /// The open time, the margin or the hands leave no time at all.
    no_time() =
        "no time is left to glue anything",
        "give a longer open time, a smaller margin or at least one pair of hands";
    /// Even in the best order one stage needs more clamps than are at hand.
    too_few_clamps(joints: &str, needs: u64, at_hand: u32) =
        "no order works: {joints} must be glued together and take {needs} clamps, but {at_hand} are at hand",
        "borrow clamps, or use cauls that share one";
    /// No order was found in the time given, nor proven impossible.
    unsettled() =
        "no order was found that fits, and none was proven impossible",
        "plan the sub-assemblies one by one";
}

fn minutes(time: Duration) -> String {
    let seconds = time.seconds();
    if seconds < 60.0 {
        format!("{seconds:.0} s")
    } else {
        format!("{:.1} min", seconds / 60.0)
    }
}

/// Even in the best order one stage is longer than the glue stays open: the joints that must be closed together, the one that takes
/// longest, the times and what would help.
pub(super) fn too_long(
    joints: &str,
    longest: &str,
    [takes, allowed]: [Duration; 2],
    remedies: &[Shorten],
) -> Refusal {
    let (takes, allowed) = (minutes(takes), minutes(allowed));
    let words: Vec<String> = remedies.iter().map(ToString::to_string).collect();
    Refusal::new(
        format!(
            "no order works: {joints} must be glued together and take {takes}, but a stage may take {allowed}, and {longest} takes longest"
        ),
        if words.is_empty() {
            "leave a joint dry and fasten it later".to_owned()
        } else {
            words.join(", or ")
        },
    )
}

impl fmt::Display for Shorten {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::SlowerGlue(kind) => write!(f, "use a slower glue such as {}", kind.word()),
            Self::Helpers(hands) => write!(f, "work with {hands} pairs of hands"),
            Self::PreGlue(joint) => write!(f, "glue {joint} in a stage of its own before"),
        }
    }
}
