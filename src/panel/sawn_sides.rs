//! Which side each leaf's sawn face is on, where nobody said.

use super::leaf::Leaf;
use super::leaf_match::{LeafMatch, pairs};
use crate::movement::{Face, Rings};

/// Pith depths nearer than this do not tell which leaf lay above the other.
const DEPTH_READING_MM: f64 = 0.5;

/// Which side each sawn face is on, where rings make it matter and nobody said. The two leaves of a pair
/// come of one cut, so their fresh faces look at each other: the leaf that lay nearer the pith is marked on its bark side, the other on its heart side.
pub(super) fn settle_sawn_sides(
    leaves: &mut [Leaf],
    leaf_match: LeafMatch,
    notes: &mut Vec<String>,
) {
    let known_pairs = match leaf_match {
        LeafMatch::Random if leaves.iter().all(|leaf| leaf.pair.is_none()) => Vec::new(),
        _ => pairs(leaves, leaf_match).unwrap_or_default(),
    };
    for [a, b] in known_pairs {
        if leaves[a].rings.is_none() && leaves[b].rings.is_none() {
            continue;
        }
        let sides = match (leaves[a].sawn_side, leaves[b].sawn_side) {
            (Some(_), Some(_)) => continue,
            (Some(side), None) => [side, opposite(side)],
            (None, Some(side)) => [opposite(side), side],
            (None, None) => match (leaves[a].rings, leaves[b].rings) {
                (Some(Rings::Pith { depth: one, .. }), Some(Rings::Pith { depth: other, .. }))
                    if (one - other).abs().mm() > DEPTH_READING_MM =>
                {
                    if one < other {
                        [Face::Bark, Face::Heart]
                    } else {
                        [Face::Heart, Face::Bark]
                    }
                }
                _ => {
                    notes.push(format!(
                        "It is not given on which side `{}` and `{}` are marked, and their rings do not show it: taken as two leaves of one cut, `{}` marked on its bark side and `{}` on its heart side.",
                        leaves[a].name, leaves[b].name, leaves[a].name, leaves[b].name
                    ));
                    [Face::Bark, Face::Heart]
                }
            },
        };
        (leaves[a].sawn_side, leaves[b].sawn_side) = (Some(sides[0]), Some(sides[1]));
    }
    let not_given: Vec<String> = leaves
        .iter_mut()
        .filter(|leaf| leaf.sawn_side.is_none() && leaf.rings.is_some())
        .map(|leaf| {
            leaf.sawn_side = Some(Face::Bark);
            format!("`{}`", leaf.name)
        })
        .collect();
    if !not_given.is_empty() {
        notes.push(format!(
            "It is not given on which side these leaves are marked: taken as the bark side of {}.",
            not_given.join(", ")
        ));
    }
}

const fn opposite(face: Face) -> Face {
    match face {
        Face::Bark => Face::Heart,
        Face::Heart => Face::Bark,
    }
}
