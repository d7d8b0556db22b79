//! A panel: leaves, figure and the moisture change it must live through, and
//! what any one placing of it gives.

use super::composite::{
    Strip, adds_bows, composite_curvature, force_factor, force_to_close_seam,
    force_to_hold_straight, panel_twist,
};
use super::error::PanelError;
use super::figure::{Figure, Placed, Placing, Set, pairs, sets};
use super::leaf::{EndForward, FaceUp, Leaf};
use super::line::{LaidSection, Line, cup, deviations};
use crate::movement::{Face, RingStrains, Rings};
use crate::units::{Bounds, Curvature, Force, Length, MoistureContent};

/// Thicknesses nearer than this are one thickness: what a caliper reads on planed wood.
pub(super) const THICKNESS_READING_MM: f64 = 0.1;
/// Lengths nearer than this are one length: what a tape reads.
const LENGTH_READING_MM: f64 = 1.0;
/// Pith depths nearer than this do not tell which leaf lay above the other.
const DEPTH_READING_MM: f64 = 0.5;

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

/// What a millimetre of each fault counts when placings are compared:
/// `score = bow |bow| + cup |cup| + twist |twist| + seam (greatest seam misfit)`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Weights {
    /// Per millimetre of bow.
    pub bow: f64,
    /// Per millimetre of cup.
    pub cup: f64,
    /// Per millimetre of twist.
    pub twist: f64,
    /// Per millimetre of the greatest seam misfit.
    pub seam: f64,
}

impl Default for Weights {
    /// Bow, cup and twist alike: all stay in the panel. A seam's misfit a quarter: cauls close it, and what remains of it is
    /// stress (judgement).
    fn default() -> Self {
        Self {
            bow: 1.0,
            cup: 1.0,
            twist: 1.0,
            seam: 0.25,
        }
    }
}

impl Weights {
    /// The score, in weighted millimetres; less is better.
    #[must_use]
    pub fn score(&self, bow: Length, cup: Length, twist: Length, seam: Length) -> f64 {
        self.of(Faults {
            bow: bow.mm(),
            cup: cup.mm(),
            twist: twist.mm(),
            seam: seam.mm(),
        })
    }

    pub(super) fn of(&self, faults: Faults) -> f64 {
        self.bow * faults.bow.abs()
            + self.cup * faults.cup.abs()
            + self.twist * faults.twist.abs()
            + self.seam * faults.seam.abs()
    }
}

/// The faults of a placing, millimetres.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Faults {
    pub bow: f64,
    pub cup: f64,
    pub twist: f64,
    pub seam: f64,
}

/// One seam before glue.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Seam {
    /// Index of the leaf on its left.
    pub left: usize,
    /// Index of the leaf on its right.
    pub right: usize,
    /// Difference of the two leaves' bows: the gap at the middle with the ends flush, that cauls must close.
    pub misfit: Length,
    /// Force of one caul at the middle that closes it, the ends held together.
    pub caul_force: Force,
    /// How far the two edges stand off parallel at either end, over the thickness, because the leaves twist unlike.
    pub edge_gap: Length,
}

/// What one row of leaves becomes. Bow and cup are positive when the upper (show) face is
/// hollow, twist when it is right-handed.
#[derive(Debug, Clone, PartialEq)]
pub struct RowShape {
    /// Width after jointing, edge to edge.
    pub width: Length,
    /// Width lost in jointing crooked edges.
    pub width_lost: Length,
    /// Bow over the length, glued and released.
    pub bow: Length,
    /// Curvature of that bow, positive when the upper face is hollow.
    pub curvature: Curvature,
    /// Cup after the change of moisture, rings and set together.
    pub cup: Length,
    /// The part that the rings give.
    pub ring_cup: Length,
    /// The part that comes from each leaf's own cup, as drying set leaves it; it is there now.
    pub set_cup: Length,
    /// The greatest rise within one leaf from its rings: the ripple of leaves that lie heart side alternating.
    pub ripple: Length,
    /// Lift of one corner.
    pub twist: Length,
    /// How many times the worst leaf's own holding force the row needs.
    pub force_factor: f64,
    /// Force at the middle that holds the row flat; each end takes half of it.
    pub hold_flat: Force,
    /// The same for the worst leaf alone.
    pub worst_leaf_hold_flat: Force,
    /// The seams from left to right.
    pub seams: Vec<Seam>,
}

/// What one placing gives. The figures of the whole are those of the row that is worst in each.
#[derive(Debug, Clone, PartialEq)]
pub struct PanelShape {
    /// The placing.
    pub placing: Placing,
    /// Each row.
    pub rows: Vec<RowShape>,
    /// Bow, positive when the show face is hollow.
    pub bow: Length,
    /// Cup after the change of moisture, positive when the show face is hollow.
    pub cup: Length,
    /// The rings' part of it.
    pub ring_cup: Length,
    /// The leaves' own part of it, there already now.
    pub set_cup: Length,
    /// The greatest ripple within a leaf.
    pub ripple: Length,
    /// Twist, positive right-handed.
    pub twist: Length,
    /// The greatest misfit of any seam before glue, the line where two rows meet included.
    pub seam_misfit: Length,
    /// Where two rows meet end to end: the greatest step between their faces.
    pub butt_misfit: Option<Length>,
    /// The greatest force that any seam's caul must give.
    pub caul_force: Force,
    /// The greatest force factor of a row.
    pub force_factor: f64,
    /// Whether the bows add: a force factor above 1.
    pub adds_bows: bool,
    /// The greatest force that holds a row flat.
    pub hold_flat: Force,
    /// The weighted score; less is better.
    pub score: f64,
}

/// Leaves to be laid into one panel under a figure's rule.
#[derive(Debug, Clone)]
pub struct Panel {
    leaves: Vec<Leaf>,
    figure: Figure,
    change: MoistureChange,
    weights: Weights,
    notes: Vec<String>,
    pub(super) sets: Vec<Set>,
    lines: Vec<Vec<LaidLines>>,
}

#[derive(Debug, Clone)]
struct LaidLines {
    ring: Line,
    set: Line,
    both: Line,
}

const fn lay_index(face: FaceUp, end: EndForward) -> usize {
    face as usize * 2 + end as usize
}

impl Panel {
    /// Checks the leaves against each other and the figure's rule.
    ///
    /// # Errors
    /// [`PanelError`] with the leaf's name and what to do: no leaf, a name twice, a size out of range, unlike lengths, and under a
    /// figure of pairs an odd leaf, a broken pair, unlike thicknesses or show faces that clash.
    pub fn new(
        mut leaves: Vec<Leaf>,
        figure: Figure,
        change: MoistureChange,
        weights: Weights,
    ) -> Result<Self, PanelError> {
        check(&leaves)?;
        let sets = sets(&leaves, figure)?;
        let mut notes = Vec::new();
        settle_marked_sides(&mut leaves, figure, &mut notes);
        let lines = leaves
            .iter()
            .map(|leaf| laid_lines(leaf, change, &mut notes))
            .collect();
        Ok(Self {
            leaves,
            figure,
            change,
            weights,
            notes,
            sets,
            lines,
        })
    }

    /// The leaves as told, their marked sides settled.
    #[must_use]
    pub fn leaves(&self) -> &[Leaf] {
        &self.leaves
    }

    /// The figure.
    #[must_use]
    pub const fn figure(&self) -> Figure {
        self.figure
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

    /// The same leaves under another figure.
    ///
    /// # Errors
    /// [`PanelError`] where the other rule cannot be kept.
    pub fn with_figure(&self, figure: Figure) -> Result<Self, PanelError> {
        Self::new(self.leaves.clone(), figure, self.change, self.weights)
    }

    /// The leaves in the order of the list, each set in its plainest state.
    #[must_use]
    pub fn as_listed(&self) -> Placing {
        let rows = self.sets.first().map_or(0, |set| set.states[0].len());
        Placing {
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

    /// Whether a placing lays every leaf once, under the figure's rule.
    #[must_use]
    pub fn keeps_rule(&self, placing: &Placing) -> bool {
        let mut left: Vec<&Set> = self.sets.iter().collect();
        let rows = placing.rows.len();
        let mut at = vec![0; rows];
        while !left.is_empty() {
            let found = left.iter().position(|set| {
                set.states.iter().any(|state| {
                    state.len() == rows
                        && state.iter().enumerate().all(|(row, leaves)| {
                            placing.rows[row].get(at[row]..at[row] + leaves.len())
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
            .zip(&placing.rows)
            .all(|(at, row)| *at == row.len())
    }

    fn laid(&self, placed: &Placed) -> &LaidLines {
        &self.lines[placed.leaf][lay_index(placed.face_up, placed.end_forward)]
    }

    pub(super) fn line(&self, placed: &Placed) -> &Line {
        &self.laid(placed).both
    }

    pub(super) fn bow_as_laid(&self, placed: &Placed) -> f64 {
        placed.face_up.sign() * self.leaves[placed.leaf].bow.mm()
    }

    fn strip(&self, placed: &Placed) -> Strip {
        let leaf = &self.leaves[placed.leaf];
        Strip {
            bending_weight: leaf.bending_weight(),
            curvature: leaf.bow_curvature() * placed.face_up.sign(),
        }
    }

    /// The faults of a placing, without its forces.
    pub(super) fn faults(&self, placing: &Placing) -> Faults {
        let mut faults = Faults {
            seam: self.butt_misfit(placing).map_or(0.0, Length::mm),
            ..Faults::default()
        };
        for row in &placing.rows {
            let (mut bow, mut twist, mut bending, mut twisting, mut width) =
                (0.0, 0.0, 0.0, 0.0, 0.0);
            for placed in row {
                let leaf = &self.leaves[placed.leaf];
                let (weight, stiff) = (leaf.bending_weight(), leaf.twisting_weight());
                bow += weight * self.bow_as_laid(placed);
                twist += stiff * leaf.twist_per_area();
                bending += weight;
                twisting += stiff;
                width += leaf.jointed_width().mm();
            }
            let worse = |worst: &mut f64, sum: f64, weight: f64| {
                let this = if weight > 0.0 { sum / weight } else { 0.0 };
                if this.abs() > worst.abs() {
                    *worst = this;
                }
            };
            worse(&mut faults.bow, bow, bending);
            worse(
                &mut faults.twist,
                twist * width * self.leaf_length().mm(),
                twisting,
            );
            worse(
                &mut faults.cup,
                cup(row.iter().map(|placed| self.line(placed))),
                1.0,
            );
            for two in row.windows(2) {
                let misfit = (self.bow_as_laid(&two[0]) - self.bow_as_laid(&two[1])).abs();
                faults.seam = faults.seam.max(misfit);
            }
        }
        faults
    }

    /// What a placing gives. Any placing of these leaves can be asked for, also one that breaks the rule.
    #[must_use]
    pub fn shape(&self, placing: &Placing) -> PanelShape {
        let rows: Vec<RowShape> = placing.rows.iter().map(|row| self.row_shape(row)).collect();
        let butt_misfit = self.butt_misfit(placing);
        let worst = |figure: fn(&RowShape) -> Length| {
            rows.iter().map(figure).fold(Length::ZERO, |worst, this| {
                if this.abs() > worst.abs() {
                    this
                } else {
                    worst
                }
            })
        };
        let (bow, cup, twist) = (worst(|r| r.bow), worst(|r| r.cup), worst(|r| r.twist));
        let seams = || rows.iter().flat_map(|row| &row.seams);
        let seam_misfit = seams()
            .map(|seam| seam.misfit)
            .chain(butt_misfit)
            .fold(Length::ZERO, Length::max);
        let force_factor = rows.iter().map(|row| row.force_factor).fold(0.0, f64::max);
        PanelShape {
            placing: placing.clone(),
            bow,
            cup,
            ring_cup: worst(|r| r.ring_cup),
            set_cup: worst(|r| r.set_cup),
            ripple: worst(|r| r.ripple),
            twist,
            seam_misfit,
            butt_misfit,
            caul_force: seams()
                .map(|seam| seam.caul_force)
                .fold(Force::ZERO, Force::max),
            force_factor,
            adds_bows: adds_bows(force_factor),
            hold_flat: rows
                .iter()
                .map(|row| row.hold_flat)
                .fold(Force::ZERO, Force::max),
            score: self.weights.score(bow, cup, twist, seam_misfit),
            rows,
        }
    }

    fn row_shape(&self, row: &[Placed]) -> RowShape {
        let length = self.leaf_length();
        let strips: Vec<Strip> = row.iter().map(|placed| self.strip(placed)).collect();
        let leaf = |placed: &Placed| &self.leaves[placed.leaf];
        let total = |size: fn(&Leaf) -> Length| {
            row.iter()
                .fold(Length::ZERO, |sum, placed| sum + size(leaf(placed)))
        };
        let width = total(Leaf::jointed_width);
        let twists: Vec<(f64, f64)> = row
            .iter()
            .map(|placed| {
                (
                    leaf(placed).twisting_weight(),
                    leaf(placed).twist_per_area(),
                )
            })
            .collect();
        let curvature = composite_curvature(&strips);
        let weight = strips.iter().map(|strip| strip.bending_weight).sum();
        let rise = |line: fn(&LaidLines) -> &Line| {
            Length::computed_mm(cup(row.iter().map(|placed| line(self.laid(placed)))))
        };
        RowShape {
            width,
            width_lost: total(|leaf| leaf.width) - width,
            bow: curvature.rise_over(length),
            curvature,
            cup: rise(|lines| &lines.both),
            ring_cup: rise(|lines| &lines.ring),
            set_cup: rise(|lines| &lines.set),
            ripple: row
                .iter()
                .map(|placed| Length::computed_mm(cup(std::iter::once(&self.laid(placed).ring))))
                .fold(Length::ZERO, |worst, this| worst.max(this.abs())),
            twist: panel_twist(&twists, length, width),
            force_factor: force_factor(&strips),
            hold_flat: force_to_hold_straight(weight, curvature, length),
            worst_leaf_hold_flat: strips
                .iter()
                .map(|strip| force_to_hold_straight(strip.bending_weight, strip.curvature, length))
                .fold(Force::ZERO, Force::max),
            seams: row
                .windows(2)
                .map(|two| self.seam(&two[0], &two[1]))
                .collect(),
        }
    }

    pub(super) fn row_curvature(&self, row: &[Placed]) -> Curvature {
        let strips: Vec<Strip> = row.iter().map(|placed| self.strip(placed)).collect();
        composite_curvature(&strips)
    }

    fn seam(&self, left: &Placed, right: &Placed) -> Seam {
        let (one, other) = (&self.leaves[left.leaf], &self.leaves[right.leaf]);
        let half = one.length.mm() / 2.0;
        let unlike = (one.twist_per_area() - other.twist_per_area()).abs();
        Seam {
            left: left.leaf,
            right: right.leaf,
            misfit: Length::computed_mm((self.bow_as_laid(left) - self.bow_as_laid(right)).abs()),
            caul_force: force_to_close_seam(self.strip(left), self.strip(right), one.length),
            edge_gap: one.thickness.min(other.thickness) * (unlike * half),
        }
    }

    /// The greatest step between the faces of two rows where they meet, as they are before glue.
    fn butt_misfit(&self, placing: &Placing) -> Option<Length> {
        let [forward, behind] = &placing.rows[..] else {
            return None;
        };
        let face = |row: &[Placed]| {
            let lines: Vec<&Line> = row.iter().map(|placed| &self.laid(placed).set).collect();
            deviations(&lines)
        };
        let (one, other) = (face(forward), face(behind));
        let (xs, zs): (Vec<f64>, Vec<f64>) = other.into_iter().unzip();
        let step = one
            .iter()
            .map(|&(x, z)| (z - between(&xs, &zs, x)).abs())
            .fold(0.0, f64::max);
        Some(Length::computed_mm(step))
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

/// Height at `x` of a line through points whose `x` never falls; the nearest end outside.
fn between(xs: &[f64], zs: &[f64], x: f64) -> f64 {
    let after = xs.partition_point(|&place| place < x);
    match (after.checked_sub(1), xs.get(after)) {
        (None, _) => zs[0],
        (Some(before), None) => zs[before],
        (Some(before), Some(&next)) => {
            let span = next - xs[before];
            let share = if span > 0.0 {
                (x - xs[before]) / span
            } else {
                1.0
            };
            zs[before] + share * (zs[after] - zs[before])
        }
    }
}

fn check(leaves: &[Leaf]) -> Result<(), PanelError> {
    let Some(first) = leaves.first() else {
        return Err(PanelError::NoLeaves);
    };
    for (i, leaf) in leaves.iter().enumerate() {
        if leaves[..i].iter().any(|other| other.name == leaf.name) {
            return Err(PanelError::NameTwice {
                leaf: leaf.name.clone(),
            });
        }
        let range = |error| PanelError::Range {
            leaf: leaf.name.clone(),
            error,
        };
        // A leaf of no width is a limit that tests ask for and files cannot tell; it changes nothing.
        if leaf.width != Length::ZERO {
            leaf.width.within(Bounds::WIDTH).map_err(range)?;
            if leaf.jointed_width() == Length::ZERO {
                return Err(PanelError::CrookTakesAll {
                    leaf: leaf.name.clone(),
                    crook: leaf.crook,
                    width: leaf.width,
                });
            }
        }
        leaf.thickness.within(Bounds::THICKNESS).map_err(range)?;
        leaf.length.within(Bounds::BOARD_LENGTH).map_err(range)?;
        if (leaf.length - first.length).abs().mm() > LENGTH_READING_MM {
            return Err(PanelError::UnlikeLength {
                first: first.name.clone(),
                first_length: first.length,
                second: leaf.name.clone(),
                second_length: leaf.length,
            });
        }
    }
    Ok(())
}

/// Which side each marked face is on, where rings make it matter and nobody told. The two leaves of a pair
/// come of one cut, so their fresh faces look at each other: the leaf that lay nearer the pith is marked on its bark side, the other on its heart side.
fn settle_marked_sides(leaves: &mut [Leaf], figure: Figure, notes: &mut Vec<String>) {
    let known_pairs = match figure {
        Figure::Random if leaves.iter().all(|leaf| leaf.pair.is_none()) => Vec::new(),
        _ => pairs(leaves, figure).unwrap_or_default(),
    };
    for [a, b] in known_pairs {
        if leaves[a].rings.is_none() && leaves[b].rings.is_none() {
            continue;
        }
        let sides = match (leaves[a].marked_side, leaves[b].marked_side) {
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
                        "Nobody told on which side `{}` and `{}` are marked, and their rings do not show it: taken as two leaves of one cut, `{}` marked on its bark side and `{}` on its heart side.",
                        leaves[a].name, leaves[b].name, leaves[a].name, leaves[b].name
                    ));
                    [Face::Bark, Face::Heart]
                }
            },
        };
        (leaves[a].marked_side, leaves[b].marked_side) = (Some(sides[0]), Some(sides[1]));
    }
    let untold: Vec<String> = leaves
        .iter_mut()
        .filter(|leaf| leaf.marked_side.is_none() && leaf.rings.is_some())
        .map(|leaf| {
            leaf.marked_side = Some(Face::Bark);
            format!("`{}`", leaf.name)
        })
        .collect();
    if !untold.is_empty() {
        notes.push(format!(
            "Nobody told on which side these leaves are marked: taken as the bark side of {}.",
            untold.join(", ")
        ));
    }
}

const fn opposite(face: Face) -> Face {
    match face {
        Face::Bark => Face::Heart,
        Face::Heart => Face::Bark,
    }
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
            "`{}` holds the pith: it will check, and no cup can be told for it.",
            leaf.name
        )),
        (Some(_), None) => notes.push(format!(
            "The species of `{}` is not told: its rings give no cup here.",
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
