//! Why a glue-up cannot be staged, and what would help.

use super::answer::Shorten;
use crate::units::{Duration, Refusal};
use std::fmt;

/// Why there are no stages.
#[derive(Debug, Clone, PartialEq)]
pub enum GlueupError {
    /// More parts or joints than a plan can hold.
    TooLarge {
        /// How many there are of the more numerous.
        count: usize,
        /// How many there may be.
        most: usize,
    },
    /// A joint names a part that is not there, or one part twice.
    UnknownPart {
        /// The joint's or trap's name.
        joint: String,
    },
    /// The open time, the margin or the hands leave no time at all.
    NoTime,
    /// Even in the best order one stage is longer than the glue stays open.
    TooLong {
        /// The joints that must be closed together.
        joints: Vec<String>,
        /// The one that takes longest.
        longest: String,
        /// How long they take.
        takes: Duration,
        /// How long a stage may take.
        allowed: Duration,
        /// What would help.
        remedies: Vec<Shorten>,
    },
    /// Even in the best order one stage needs more clamps than are at hand.
    TooFewClamps {
        /// The joints that must be closed together.
        joints: Vec<String>,
        /// How many clamps they take.
        needs: u64,
        /// How many there are.
        at_hand: u32,
    },
    /// No order was found in the time given, nor proven impossible.
    Unsettled,
}

fn minutes(time: Duration) -> String {
    let seconds = time.seconds();
    if seconds < 60.0 {
        format!("{seconds:.0} s")
    } else {
        format!("{:.1} min", seconds / 60.0)
    }
}

impl GlueupError {
    /// What is wrong, and what would help.
    #[must_use]
    pub fn refusal(&self) -> Refusal {
        match self {
            Self::TooLarge { count, most } => Refusal::new(
                format!("{count} parts or joints are more than the {most} a plan holds"),
                "plan the sub-assemblies one by one",
            ),
            Self::UnknownPart { joint } => Refusal::new(
                format!("{joint} does not join two different parts of the piece"),
                "name two of its parts",
            ),
            Self::NoTime => Refusal::new(
                "no time is left to glue anything",
                "give a longer open time, a smaller margin or at least one pair of hands",
            ),
            Self::TooLong {
                joints,
                longest,
                takes,
                allowed,
                remedies,
            } => {
                let words: Vec<String> = remedies.iter().map(ToString::to_string).collect();
                Refusal::new(
                    format!(
                        "no order works: {} must be glued together and take {}, but a stage may take {}, and {longest} takes longest",
                        joints.join(", "),
                        minutes(*takes),
                        minutes(*allowed)
                    ),
                    if words.is_empty() {
                        "leave a joint dry and fasten it later".to_owned()
                    } else {
                        words.join(", or ")
                    },
                )
            }
            Self::TooFewClamps {
                joints,
                needs,
                at_hand,
            } => Refusal::new(
                format!(
                    "no order works: {} must be glued together and take {needs} clamps, but {at_hand} are at hand",
                    joints.join(", ")
                ),
                "borrow clamps, or use cauls that share one",
            ),
            Self::Unsettled => Refusal::new(
                "no order was found that fits, and none was proven impossible",
                "plan the sub-assemblies one by one",
            ),
        }
    }
}

impl fmt::Display for GlueupError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.refusal().fmt(f)
    }
}

impl std::error::Error for GlueupError {}

impl fmt::Display for Shorten {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::SlowerGlue(kind) => write!(f, "use a slower glue such as {}", kind.word()),
            Self::Helpers(hands) => write!(f, "work with {hands} pairs of hands"),
            Self::PreGlue(joint) => write!(f, "glue {joint} in a stage of its own before"),
        }
    }
}
