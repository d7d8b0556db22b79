//! What can be wrong with a list of leaves.

use super::leaf_match::LeafMatch;
use crate::units::notation::millimetres;
use crate::units::{Length, RangeError};
use std::fmt;

/// Leaves that cannot make the panel asked for. Each names the leaf and what to do.
#[derive(Debug, Clone, PartialEq)]
pub enum PanelError {
    /// No leaf at all.
    NoLeaves,
    /// Two leaves of one name.
    NameTwice {
        /// The name.
        leaf: String,
    },
    /// A size outside its range.
    Range {
        /// The leaf.
        leaf: String,
        /// Which size, which range.
        error: RangeError,
    },
    /// The crook leaves no straight strip.
    CrookTakesAll {
        /// The leaf.
        leaf: String,
        /// Its crook.
        crook: Length,
        /// Its width.
        width: Length,
    },
    /// Edge-glued leaves must be one length.
    UnlikeLength {
        /// The first leaf.
        first: String,
        /// Its length.
        first_length: Length,
        /// The leaf that differs.
        second: String,
        /// Its length.
        second_length: Length,
    },
    /// The leaves of a pair must be one thickness.
    UnlikeThickness {
        /// The first leaf of the pair.
        first: String,
        /// Its thickness.
        first_thickness: Length,
        /// The second leaf.
        second: String,
        /// Its thickness.
        second_thickness: Length,
    },
    /// A leaf has no partner.
    OddLeaves {
        /// The leaf left over.
        leaf: String,
        /// How many leaves there are.
        count: usize,
        /// The match that asks for pairs.
        leaf_match: LeafMatch,
    },
    /// A pair has no second pair.
    NotByFours {
        /// The pair left over.
        leaves: [String; 2],
        /// How many leaves there are.
        count: usize,
    },
    /// A leaf without a pair among leaves with one.
    PairMissing {
        /// The leaf.
        leaf: String,
    },
    /// A pair's label stands on one leaf or on more than two.
    PairNotTwo {
        /// The label.
        pair: String,
        /// The leaves that carry it.
        leaves: Vec<String>,
    },
    /// The show faces given cannot both be up under the match's rule.
    ShowFacesClash {
        /// One leaf.
        first: String,
        /// The other.
        second: String,
        /// The match.
        leaf_match: LeafMatch,
    },
}

impl PanelError {
    /// What is wrong.
    #[must_use]
    pub fn reason(&self) -> String {
        match self {
            Self::NoLeaves => "there is no leaf to lay".to_owned(),
            Self::NameTwice { leaf } => format!("two leaves are called `{leaf}`"),
            Self::Range { leaf, error } => format!("leaf `{leaf}`: {error}"),
            Self::CrookTakesAll { leaf, crook, width } => format!(
                "leaf `{leaf}`: jointing a crook of {} out of a width of {} leaves nothing",
                millimetres(*crook),
                millimetres(*width)
            ),
            Self::UnlikeLength {
                first,
                first_length,
                second,
                second_length,
            } => format!(
                "leaf `{second}` is {} long and leaf `{first}` {}",
                millimetres(*second_length),
                millimetres(*first_length)
            ),
            Self::UnlikeThickness {
                first,
                first_thickness,
                second,
                second_thickness,
            } => format!(
                "the pair `{first}` and `{second}` is {} and {} thick",
                millimetres(*first_thickness),
                millimetres(*second_thickness)
            ),
            Self::OddLeaves {
                leaf,
                count,
                leaf_match,
            } => {
                format!("a {leaf_match} needs pairs, and of {count} leaves `{leaf}` has no partner")
            }
            Self::NotByFours { leaves, count } => format!(
                "a four-way match needs leaves by fours, and of {count} leaves the pair `{}` and `{}` is left over",
                leaves[0], leaves[1]
            ),
            Self::PairMissing { leaf } => {
                format!("leaf `{leaf}` has no pair while others have one")
            }
            Self::PairNotTwo { pair, leaves } => format!(
                "pair `{pair}` has {} ({}), not two",
                if leaves.len() == 1 {
                    "one leaf".to_owned()
                } else {
                    format!("{} leaves", leaves.len())
                },
                leaves
                    .iter()
                    .map(|leaf| format!("`{leaf}`"))
                    .collect::<Vec<_>>()
                    .join(", ")
            ),
            Self::ShowFacesClash {
                first,
                second,
                leaf_match,
            } => format!(
                "the show faces given for `{first}` and `{second}` cannot both be up in a {leaf_match}"
            ),
        }
    }

    /// What to do about it.
    #[must_use]
    pub fn remedy(&self) -> String {
        match self {
            Self::NoLeaves => "list at least one leaf with its width, thickness, length and bow".to_owned(),
            Self::NameTwice { .. } => "give each leaf its own name".to_owned(),
            Self::Range { .. } => "measure that size again, or write its unit again".to_owned(),
            Self::CrookTakesAll { leaf, .. } => {
                format!("cut `{leaf}` shorter before jointing (crook goes with the square of the length), or leave it out")
            }
            Self::UnlikeLength { first_length, second_length, .. } => format!(
                "cut all leaves to one length, {} here, then measure their bows again: a bow goes with the square of the length",
                millimetres(first_length.min(*second_length))
            ),
            Self::UnlikeThickness { first_thickness, second_thickness, .. } => format!(
                "plane both to one thickness, {} here, and measure their bows again, or match them with `random`",
                millimetres(first_thickness.min(*second_thickness))
            ),
            Self::OddLeaves { leaf, .. } => {
                format!("add the partner of `{leaf}`, take `{leaf}` out, or match with `random`")
            }
            Self::NotByFours { .. } => "add a second pair, take this one out, or match with `bookmatch`".to_owned(),
            Self::PairMissing { leaf } => format!("write the pair of `{leaf}`, or leave the whole column out to pair the leaves in the order of the list"),
            Self::PairNotTwo { .. } => "write one label on exactly two leaves".to_owned(),
            Self::ShowFacesClash { leaf_match, .. } => match leaf_match {
                LeafMatch::SlipMatch => "a slip-match shows the sawn face of one leaf and the back of its partner: change one of the two, or bookmatch them".to_owned(),
                _ => "a bookmatch shows the same face of both leaves: change one of the two, or slip-match them".to_owned(),
            },
        }
    }
}

impl fmt::Display for PanelError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}; {}", self.reason(), self.remedy())
    }
}

impl std::error::Error for PanelError {}
