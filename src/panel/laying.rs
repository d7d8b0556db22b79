//! Leaves to be laid into one panel: what is checked of them, the figure's sets, and the line that each face keeps
//! through the change of moisture.

use super::error;
use super::leaf::{EndForward, FaceUp, Leaf};
use super::leaf_match::{Layout, LeafMatch, Placed, Set, sets};
use super::line::{LaidSection, Line};
use super::sawn_sides::settle_sawn_sides;
use super::score::Weights;
use crate::movement::RingStrains;
use crate::units::{Bounds, Curvature, Length, MoistureContent, Refusal};
use std::collections::HashSet;

/// Thicknesses nearer than this are one thickness: what a caliper reads on planed wood.
pub(super) const THICKNESS_READING_MM: f64 = 0.1;
/// Leaves of one panel, at most: far more than any top is glued of, and as many as a search betters in a second (judgement).
const MOST_LEAVES: usize = 400;
/// Lengths nearer than this are one length: what a tape reads.
const LENGTH_READING_MM: f64 = 1.0;

/// The change of moisture over which the panel's cup is judged.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MoistureChange {
    /// Now, when the leaves are jointed flat.
    pub from: MoistureContent,
    /// Later.
    pub to: MoistureContent,
}

impl Default for MoistureChange {
    /// From 10 % in the shop to 6 % in a heated winter: a usual step for indoor work in dry-winter
    /// country (judgement).
    fn default() -> Self {
        Self {
            from: MoistureContent::computed_percent(10.0),
            to: MoistureContent::computed_percent(6.0),
        }
    }
}

/// Leaves to be laid into one panel under a match's rule.
#[derive(Debug, Clone, PartialEq)]
pub struct Panel {
    leaves: Vec<Leaf>,
    leaf_match: LeafMatch,
    change: MoistureChange,
    weights: Weights,
    notes: Vec<String>,
    pub(super) sets: Vec<Set>,
    lines: Vec<Vec<LaidLines>>,
}

#[derive(Debug, Clone, PartialEq)]
pub(super) struct LaidLines {
    pub ring: Line,
    pub set: Line,
    pub both: Line,
}

const fn lay_index(face: FaceUp, end: EndForward) -> usize {
    face as usize * 2 + end as usize
}

impl Panel {
    /// Checks the leaves against each other and the match's rule.
    ///
    /// # Errors
    /// [`Refusal`] with the leaf's name and what to do: no leaf, a name twice, a size out of range, unlike lengths, and under a
    /// match of pairs an odd leaf, a broken pair, unlike thicknesses or show faces that clash.
    pub fn new(
        mut leaves: Vec<Leaf>,
        leaf_match: LeafMatch,
        change: MoistureChange,
        weights: Weights,
    ) -> Result<Self, Refusal> {
        check(&leaves)?;
        let sets = sets(&leaves, leaf_match)?;
        let mut notes = Vec::new();
        settle_sawn_sides(&mut leaves, leaf_match, &mut notes);
        let lines = leaves
            .iter()
            .map(|leaf| laid_lines(leaf, change, &mut notes))
            .collect();
        Ok(Self {
            leaves,
            leaf_match,
            change,
            weights,
            notes,
            sets,
            lines,
        })
    }

    /// The leaves as given, their marked sides settled.
    #[must_use]
    pub fn leaves(&self) -> &[Leaf] {
        &self.leaves
    }

    /// The match.
    #[must_use]
    pub const fn leaf_match(&self) -> LeafMatch {
        self.leaf_match
    }

    /// The change of moisture over which cup is judged.
    #[must_use]
    pub const fn change(&self) -> MoistureChange {
        self.change
    }

    /// The weights of the score.
    #[must_use]
    pub const fn weights(&self) -> Weights {
        self.weights
    }

    /// What had to be taken for granted, and findings such as a leaf that holds the pith.
    #[must_use]
    pub fn notes(&self) -> &[String] {
        &self.notes
    }

    /// Length of the leaves.
    #[must_use]
    pub fn leaf_length(&self) -> Length {
        // A checked panel has a leaf.
        self.leaves.first().map_or(Length::ZERO, |leaf| leaf.length)
    }

    /// The same leaves under another match.
    ///
    /// # Errors
    /// [`Refusal`] where the other rule cannot be kept.
    pub fn with_match(&self, leaf_match: LeafMatch) -> Result<Self, Refusal> {
        Self::new(self.leaves.clone(), leaf_match, self.change, self.weights)
    }

    /// Whether the rings and the wood of every leaf are given, so that the cup that the seasons bring is known.
    #[must_use]
    pub fn knows_ring_cup(&self) -> bool {
        self.leaves
            .iter()
            .all(|leaf| leaf.rings.is_some() && leaf.wood.shrinkage.is_some())
    }

    /// The leaves in the order of the list, each set in its plainest state.
    #[must_use]
    pub fn as_listed(&self) -> Layout {
        let rows = self.sets.first().map_or(0, |set| set.states[0].len());
        Layout {
            rows: (0..rows)
                .map(|row| {
                    self.sets
                        .iter()
                        .flat_map(|set| set.states[0][row].iter().copied())
                        .collect()
                })
                .collect(),
        }
    }

    /// Whether a layout lays every leaf once, under the match's rule.
    #[must_use]
    pub fn keeps_rule(&self, layout: &Layout) -> bool {
        let mut left: Vec<&Set> = self.sets.iter().collect();
        let rows = layout.rows.len();
        let mut at = vec![0; rows];
        while !left.is_empty() {
            let found = left.iter().position(|set| {
                set.states.iter().any(|state| {
                    state.len() == rows
                        && state.iter().enumerate().all(|(row, leaves)| {
                            layout.rows[row].get(at[row]..at[row] + leaves.len())
                                == Some(&leaves[..])
                        })
                })
            });
            let Some(found) = found else {
                return false;
            };
            for (place, leaves) in at.iter_mut().zip(&left[found].states[0]) {
                *place += leaves.len();
            }
            left.swap_remove(found);
        }
        at.iter()
            .zip(&layout.rows)
            .all(|(at, row)| *at == row.len())
    }

    pub(super) fn laid(&self, placed: &Placed) -> &LaidLines {
        &self.lines[placed.leaf][lay_index(placed.face_up, placed.end_forward)]
    }

    pub(super) fn line(&self, placed: &Placed) -> &Line {
        &self.laid(placed).both
    }

    pub(super) fn bow_as_laid(&self, placed: &Placed) -> f64 {
        placed.face_up.sign() * self.leaves[placed.leaf].bow.mm()
    }

    /// The laid section of a leaf after a change, for drawing it; `None` without rings, without a known wood, or with the pith inside.
    pub(super) fn laid_section(
        &self,
        placed: &Placed,
        strains: RingStrains,
    ) -> Option<LaidSection> {
        let leaf = &self.leaves[placed.leaf];
        LaidSection::new(
            &leaf.section()?,
            strains,
            leaf.bark_up(placed.face_up),
            placed.end_forward == EndForward::Near,
        )
    }
}

fn check(leaves: &[Leaf]) -> Result<(), Refusal> {
    let Some(first) = leaves.first() else {
        return Err(error::no_leaves());
    };
    if leaves.len() > MOST_LEAVES {
        return Err(error::too_many(leaves.len(), MOST_LEAVES));
    }
    let mut names = HashSet::new();
    for leaf in leaves {
        if !names.insert(leaf.name.as_str()) {
            return Err(error::name_twice(&leaf.name));
        }
        let range = |error| error::out_of_range(&leaf.name, error);
        // A leaf of no width is a limit that tests ask for and files cannot tell; it changes nothing.
        if leaf.width != Length::ZERO {
            leaf.width.within(Bounds::WIDTH).map_err(range)?;
            if leaf.jointed_width() == Length::ZERO {
                return Err(error::crook_takes_all(leaf));
            }
        }
        leaf.thickness.within(Bounds::THICKNESS).map_err(range)?;
        leaf.length.within(Bounds::BOARD_LENGTH).map_err(range)?;
        if (leaf.length - first.length).abs().mm() > LENGTH_READING_MM {
            return Err(error::unlike_length(first, leaf));
        }
    }
    Ok(())
}

fn laid_lines(leaf: &Leaf, change: MoistureChange, notes: &mut Vec<String>) -> Vec<LaidLines> {
    let width = leaf.jointed_width().mm();
    let strains = leaf
        .wood
        .shrinkage
        .map(|shrinkage| RingStrains::of(&shrinkage, change.from, change.to));
    let section = leaf.section().filter(|_| width > 0.0);
    match (&section, strains) {
        (Some(section), _) if section.contains_pith() => notes.push(format!(
            "`{}` holds the pith: it will check, and no cup can be given for it.",
            leaf.name
        )),
        (Some(_), None) => notes.push(format!(
            "The species of `{}` is not given: its rings give no cup here.",
            leaf.name
        )),
        _ => {}
    }
    let set_curvature = if width > 0.0 {
        Curvature::of_rise(leaf.cup, leaf.jointed_width())
    } else {
        Curvature::ZERO
    };
    let ring = |face: FaceUp, end: EndForward| {
        section
            .as_ref()
            .zip(strains)
            .and_then(|(section, strains)| {
                LaidSection::new(
                    section,
                    strains,
                    leaf.bark_up(face),
                    end == EndForward::Near,
                )
            })
            .map_or_else(|| Line::flat(width), |laid| laid.line())
    };
    let mut rings = FaceUp::BOTH.map(|face| EndForward::BOTH.map(|end| ring(face, end)));
    // Its bark and its heart face differ by some ten-thousandths of the width; in the chain a leaf takes
    // up their mean, so that the panel is one width however the leaves lie.
    let mean = rings.iter().flatten().map(|line| line.end().0).sum::<f64>() / 4.0;
    for line in rings.iter_mut().flatten() {
        line.take_width(mean);
    }
    rings
        .into_iter()
        .zip(FaceUp::BOTH)
        .flat_map(|(ends, face)| ends.map(|ring| (ring, face)))
        .map(|(ring, face)| {
            let arc = set_curvature * face.sign();
            LaidLines {
                set: Line::flat(width).bent(arc),
                both: ring.clone().bent(arc),
                ring,
            }
        })
        .collect()
}
