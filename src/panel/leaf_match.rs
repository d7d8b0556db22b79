//! The figure: which layouts keep the rule of bookmatch, slip-match,
//! four-way match or none.
//!
//! A rule binds leaves into sets. A set has a handful of states (which leaf stands left, which
//! face is up, which end is forward); a layout is an order of the sets and a
//! state of each.

use super::error;
use super::leaf::{EndForward, FaceUp, Leaf};
use crate::units::Refusal;
use crate::units::notation::{NotationError, one_of};
use crate::units::spanned::ReadNotation;
use std::collections::HashMap;
use std::fmt;

/// How the leaves of a panel are matched.
///
/// - `Bookmatch`: a pair opened like a book. Both leaves show the same face (the marked, fresh-sawn one unless
///   given otherwise) with the same end forward; the figure mirrors across the seam.
/// - `SlipMatch`: one leaf of the pair slid over beside the other. One lies sawn face up, the other
///   sawn face down, the same end forward; the figure repeats.
/// - `FourPiece`: two bookmatched pairs, the second turned end for end and set against the ends of the first, so that four
///   leaves meet in a point and the figure mirrors both ways. The panel is then two rows, each glued edge to edge.
/// - `Random`: no rule but the show faces that were given.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum LeafMatch {
    /// Pairs opened like a book.
    Bookmatch,
    /// Pairs slid apart.
    SlipMatch,
    /// Four leaves about a point.
    FourWay,
    /// No rule.
    Random,
}

impl LeafMatch {
    /// Every match.
    pub const ALL: [Self; 4] = [
        Self::Bookmatch,
        Self::SlipMatch,
        Self::FourWay,
        Self::Random,
    ];

    /// The key word of commands, files and JSON: `bookmatch`, `slip`, `four-way` or `random`.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Self::Bookmatch => "bookmatch",
            Self::SlipMatch => "slip",
            Self::FourWay => "four-way",
            Self::Random => "random",
        }
    }

    /// The word in a sentence.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Bookmatch => "bookmatch",
            Self::SlipMatch => "slip-match",
            Self::FourWay => "four-way match",
            Self::Random => "random",
        }
    }
}

impl fmt::Display for LeafMatch {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}

impl ReadNotation for LeafMatch {
    const WHAT: &'static str = "a match: \"bookmatch\", \"slip\", \"four-way\" or \"random\"";
    fn read(text: &str) -> Result<Self, NotationError> {
        one_of(
            text,
            "a match",
            &[
                ("bookmatch", Self::Bookmatch),
                ("slip", Self::SlipMatch),
                ("four-way", Self::FourWay),
                ("random", Self::Random),
                ("slip-match", Self::SlipMatch),
                ("four-way match", Self::FourWay),
            ],
        )
    }
}

/// One leaf as it lies in a panel.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Placed {
    /// Index of the leaf in the list as given.
    pub leaf: usize,
    /// The face up.
    pub face_up: FaceUp,
    /// The end forward.
    pub end_forward: EndForward,
}

/// One way to lay the whole panel: rows of leaves from left to right. All figures have one row but the
/// four-way match, which has two; its first row lies forward.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct Layout {
    /// The rows.
    pub rows: Vec<Vec<Placed>>,
}

impl Layout {
    /// Every leaf as laid, row by row.
    pub fn leaves(&self) -> impl Iterator<Item = &Placed> {
        self.rows.iter().flatten()
    }

    /// The same panel turned half round on the bench: another view of the same layout.
    #[must_use]
    pub fn turned_round(&self) -> Self {
        let turn = |row: &Vec<Placed>| {
            row.iter()
                .rev()
                .map(|placed| Placed {
                    end_forward: placed.end_forward.turned(),
                    ..*placed
                })
                .collect()
        };
        Self {
            rows: self.rows.iter().rev().map(turn).collect(),
        }
    }
}

/// A set of leaves that the rule binds, with every state the rule allows. A state lists, row by row, the leaves as laid.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Set {
    pub states: Vec<Vec<Vec<Placed>>>,
}

const fn laid(leaf: usize, face_up: FaceUp, end_forward: EndForward) -> Placed {
    Placed {
        leaf,
        face_up,
        end_forward,
    }
}

/// The sets of a figure with their states, the plainest state first.
pub(super) fn sets(leaves: &[Leaf], leaf_match: LeafMatch) -> Result<Vec<Set>, Refusal> {
    match leaf_match {
        LeafMatch::Random => Ok((0..leaves.len()).map(|leaf| single(leaves, leaf)).collect()),
        LeafMatch::Bookmatch => pairs(leaves, leaf_match)?
            .into_iter()
            .map(|pair| bookmatched(leaves, pair))
            .collect(),
        LeafMatch::SlipMatch => pairs(leaves, leaf_match)?
            .into_iter()
            .map(|pair| slipped(leaves, pair))
            .collect(),
        LeafMatch::FourWay => {
            let pairs = pairs(leaves, leaf_match)?;
            if let ([.., last], true) = (&pairs[..], pairs.len() % 2 == 1) {
                return Err(error::not_by_fours(
                    &leaves[last[0]].name,
                    &leaves[last[1]].name,
                    leaves.len(),
                ));
            }
            pairs
                .chunks_exact(2)
                .map(|two| four_way(leaves, two[0], two[1]))
                .collect()
        }
    }
}

fn single(leaves: &[Leaf], leaf: usize) -> Set {
    let faces = leaves[leaf]
        .show_face
        .map_or_else(|| FaceUp::BOTH.to_vec(), |face| vec![face]);
    let states = faces
        .into_iter()
        .flat_map(|face| EndForward::BOTH.map(|end| vec![vec![laid(leaf, face, end)]]))
        .collect();
    Set { states }
}

/// The one face that a bookmatched set shows: the marked one, unless a leaf of it was given to show its back.
fn common_face(leaves: &[Leaf], set: &[usize], leaf_match: LeafMatch) -> Result<FaceUp, Refusal> {
    let mut chosen: Option<(usize, FaceUp)> = None;
    for &leaf in set {
        match (chosen, leaves[leaf].show_face) {
            (Some((first, face)), Some(other)) if face != other => {
                return Err(show_faces_clash(leaves, first, leaf, leaf_match));
            }
            (None, Some(face)) => chosen = Some((leaf, face)),
            _ => {}
        }
    }
    Ok(chosen.map_or(FaceUp::Sawn, |(_, face)| face))
}

fn show_faces_clash(
    leaves: &[Leaf],
    first: usize,
    second: usize,
    leaf_match: LeafMatch,
) -> Refusal {
    error::show_faces_clash(&leaves[first].name, &leaves[second].name, leaf_match)
}

fn bookmatched(leaves: &[Leaf], [a, b]: [usize; 2]) -> Result<Set, Refusal> {
    let face = common_face(leaves, &[a, b], LeafMatch::Bookmatch)?;
    let states = [[a, b], [b, a]]
        .into_iter()
        .flat_map(|order| {
            EndForward::BOTH.map(|end| vec![order.map(|leaf| laid(leaf, face, end)).to_vec()])
        })
        .collect();
    Ok(Set { states })
}

fn slipped(leaves: &[Leaf], [a, b]: [usize; 2]) -> Result<Set, Refusal> {
    let shows =
        |leaf: usize, face: FaceUp| leaves[leaf].show_face.is_none_or(|given| given == face);
    let mut states = Vec::new();
    for face in FaceUp::BOTH {
        if !(shows(a, face) && shows(b, face.turned())) {
            continue;
        }
        let faces = [(a, face), (b, face.turned())];
        for order in [[faces[0], faces[1]], [faces[1], faces[0]]] {
            for end in EndForward::BOTH {
                states.push(vec![
                    order.map(|(leaf, face)| laid(leaf, face, end)).to_vec(),
                ]);
            }
        }
    }
    if states.is_empty() {
        return Err(show_faces_clash(leaves, a, b, LeafMatch::SlipMatch));
    }
    Ok(Set { states })
}

/// Four leaves about a point: the far row repeats the near one mirrored along the length. Leaf and partner
/// show mirrored figures, so the mirror image of a leaf along the length is a partner turned end for end.
fn four_way(leaves: &[Leaf], one: [usize; 2], two: [usize; 2]) -> Result<Set, Refusal> {
    let all = [one[0], one[1], two[0], two[1]];
    let face = common_face(leaves, &all, LeafMatch::FourWay)?;
    let mut states = Vec::new();
    for (forward, behind) in [(one, two), (two, one)] {
        for flip in [false, true] {
            for end in EndForward::BOTH {
                let row = |pair: [usize; 2], swap: bool, end| {
                    let order = if swap { [pair[1], pair[0]] } else { pair };
                    order.map(|leaf| laid(leaf, face, end)).to_vec()
                };
                states.push(vec![
                    row(forward, flip, end),
                    row(behind, !flip, end.turned()),
                ]);
            }
        }
    }
    Ok(Set { states })
}

/// The pairs: by label where labels were given, else in the order of the list.
pub(super) fn pairs(leaves: &[Leaf], leaf_match: LeafMatch) -> Result<Vec<[usize; 2]>, Refusal> {
    let pairs = if leaves.iter().any(|leaf| leaf.pair.is_some()) {
        labelled_pairs(leaves)?
    } else if let (Some(last), true) = (leaves.last(), leaves.len() % 2 == 1) {
        return Err(error::odd_leaves(&last.name, leaves.len(), leaf_match));
    } else {
        (0..leaves.len() / 2).map(|i| [2 * i, 2 * i + 1]).collect()
    };
    for &[a, b] in &pairs {
        let (first, second) = (&leaves[a], &leaves[b]);
        if (first.thickness - second.thickness).abs().mm() > super::laying::THICKNESS_READING_MM {
            return Err(error::unlike_thickness(first, second));
        }
    }
    Ok(pairs)
}

fn labelled_pairs(leaves: &[Leaf]) -> Result<Vec<[usize; 2]>, Refusal> {
    let mut groups: Vec<(&str, Vec<usize>)> = Vec::new();
    let mut known: HashMap<&str, usize> = HashMap::new();
    for (i, leaf) in leaves.iter().enumerate() {
        let Some(label) = leaf.pair.as_deref() else {
            return Err(error::pair_missing(&leaf.name));
        };
        let at = *known.entry(label).or_insert_with(|| {
            groups.push((label, Vec::new()));
            groups.len() - 1
        });
        groups[at].1.push(i);
    }
    groups
        .into_iter()
        .map(|(label, group)| match group[..] {
            [a, b] => Ok([a, b]),
            _ => {
                let names: Vec<&str> = group.iter().map(|&i| leaves[i].name.as_str()).collect();
                Err(error::pair_not_two(label, &names))
            }
        })
        .collect()
}
