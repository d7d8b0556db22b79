//! What any one layout of a panel gives: bow, cup, twist, seams and the forces to close and to hold.

use super::composite::{
    Strip, adds_bows, composite_curvature, force_factor, force_to_close_seam,
    force_to_hold_straight, panel_twist,
};
use super::laying::{LaidLines, Panel};
use super::leaf::Leaf;
use super::leaf_match::{Layout, Placed};
use super::line::{Line, cup, deviations};
use super::plate::{PlateLeaf, coupled_leaves, forces_to_hold_flat};
use super::score::Faults;
use crate::units::{Curvature, Force, Length};

/// Less than this a maker does not see.
pub(super) const SEEN_MM: f64 = 0.05;

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
    /// Mean bow over the length, glued and released.
    pub bow: Length,
    /// Bow of the left edge, each seam and the right edge, each against the chord of its own ends: where leaves of unlike
    /// bow meet they cancel at the seam and come back toward the edges.
    pub line_bows: Vec<Length>,
    /// Curvature of that bow, positive when the upper face is hollow.
    pub curvature: Curvature,
    /// Cup after the change of moisture, rings and set together.
    pub cup: Length,
    /// The part that the rings give.
    pub ring_cup: Length,
    /// The part that comes from each leaf's own cup, as drying set leaves it; it is there now.
    pub set_cup: Length,
    /// The maximum rise within one leaf from its rings: the washboarding of leaves that lie heart side alternating.
    pub washboarding: Length,
    /// Lift of one corner.
    pub twist: Length,
    /// How many times the worst leaf's own holding force the row needs.
    pub force_factor: f64,
    /// Forces at the middle that hold the row flat, summed without regard to sign; the ends take as much.
    pub hold_flat: Force,
    /// The same for the worst leaf alone.
    pub worst_leaf_hold_flat: Force,
    /// The seams from left to right.
    pub seams: Vec<Seam>,
}

/// What one layout gives. The figures of the whole are those of the row that is worst in each.
#[derive(Debug, Clone, PartialEq)]
pub struct PanelShape {
    /// The layout.
    pub layout: Layout,
    /// Each row.
    pub rows: Vec<RowShape>,
    /// Mean bow, positive when the show face is hollow.
    pub bow: Length,
    /// The largest bow of any edge or seam.
    pub largest_bow: Length,
    /// Cup after the change of moisture, positive when the show face is hollow.
    pub cup: Length,
    /// The rings' part of it.
    pub ring_cup: Length,
    /// The leaves' own part of it, there already now.
    pub set_cup: Length,
    /// The maximum washboarding within a leaf.
    pub washboarding: Length,
    /// Twist, positive right-handed.
    pub twist: Length,
    /// The maximum misfit of any seam before glue, the line where two rows meet included.
    pub seam_misfit: Length,
    /// Where two rows meet end to end: the maximum step between their faces.
    pub butt_misfit: Option<Length>,
    /// The maximum force that any seam's caul must give.
    pub caul_force: Force,
    /// The maximum force factor of a row.
    pub force_factor: f64,
    /// Whether the bows add: a force factor above 1.
    pub adds_bows: bool,
    /// The maximum force that holds a row flat.
    pub hold_flat: Force,
    /// The weighted score; less is better.
    pub score: f64,
}

impl RowShape {
    /// The largest bow of an edge or seam, or the mean bow of a row without width.
    #[must_use]
    pub fn largest_bow(&self) -> Length {
        self.line_bows.iter().fold(
            self.bow,
            |worst, &bow| {
                if bow.abs() > worst.abs() { bow } else { worst }
            },
        )
    }

    /// Bow of the left edge and of the right edge, where they go opposite ways or differ by a tenth.
    #[must_use]
    pub fn unlike_edges(&self) -> Option<(Length, Length)> {
        let (first, last) = (*self.line_bows.first()?, *self.line_bows.last()?);
        let seen = (0.1 * self.largest_bow().abs().mm()).max(SEEN_MM);
        ((first - last).abs().mm() >= seen).then_some((first, last))
    }
}

impl Panel {
    fn strip(&self, placed: &Placed) -> Strip {
        let leaf = &self.leaves()[placed.leaf];
        Strip {
            bending_weight: leaf.bending_weight(),
            curvature: leaf.bow_curvature() * placed.face_up.sign(),
        }
    }

    /// The faults of a layout, without its forces.
    pub(super) fn faults(&self, layout: &Layout) -> Faults {
        let mut faults = Faults {
            seam: self.butt_misfit(layout).map_or(0.0, Length::mm),
            ..Faults::default()
        };
        for row in &layout.rows {
            let (mut bow, mut twist, mut bending, mut twisting, mut width) =
                (0.0, 0.0, 0.0, 0.0, 0.0);
            for placed in row {
                let leaf = &self.leaves()[placed.leaf];
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

    /// What a layout gives, its leaves coupled as a plate. Any layout of these leaves can be asked for, also one that
    /// breaks the rule.
    #[must_use]
    pub fn shape(&self, layout: &Layout) -> PanelShape {
        self.shape_of(layout, Self::coupled)
    }

    /// The same with each row taken as one beam of the mean bow: what layouts are ranked by, those it cannot tell apart by
    /// what the coupled leaves keep. Every edge and seam has that bow.
    #[must_use]
    pub fn shape_as_beam(&self, layout: &Layout) -> PanelShape {
        self.shape_of(layout, |_, row, shared, force| {
            let bow = shared.rise_over(self.leaf_length());
            (vec![bow; row.len() + 1], force.abs())
        })
    }

    fn shape_of(
        &self,
        layout: &Layout,
        lines: impl Fn(&Self, &[Placed], Curvature, Force) -> (Vec<Length>, Force),
    ) -> PanelShape {
        let rows: Vec<RowShape> = layout
            .rows
            .iter()
            .map(|row| self.row_shape(row, &lines))
            .collect();
        let butt_misfit = self.butt_misfit(layout);
        let worst = |leaf_match: fn(&RowShape) -> Length| {
            rows.iter()
                .map(leaf_match)
                .fold(Length::ZERO, |worst, this| {
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
            layout: layout.clone(),
            bow,
            largest_bow: worst(RowShape::largest_bow),
            cup,
            ring_cup: worst(|r| r.ring_cup),
            set_cup: worst(|r| r.set_cup),
            washboarding: worst(|r| r.washboarding),
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
            score: self.weights().score(bow, cup, twist, seam_misfit),
            rows,
        }
    }

    fn row_shape(
        &self,
        row: &[Placed],
        lines: &impl Fn(&Self, &[Placed], Curvature, Force) -> (Vec<Length>, Force),
    ) -> RowShape {
        let length = self.leaf_length();
        let strips: Vec<Strip> = row.iter().map(|placed| self.strip(placed)).collect();
        let leaf = |placed: &Placed| &self.leaves()[placed.leaf];
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
        let beam_force =
            force_to_hold_straight(weight, curvature, length) * curvature.per_mm().signum();
        let (line_bows, hold_flat) = lines(self, row, curvature, beam_force);
        let rise = |line: fn(&LaidLines) -> &Line| {
            Length::from_mm_unchecked(cup(row.iter().map(|placed| line(self.laid(placed)))))
        };
        RowShape {
            width,
            width_lost: total(|leaf| leaf.width) - width,
            bow: curvature.rise_over(length),
            line_bows,
            curvature,
            cup: rise(|lines| &lines.both),
            ring_cup: rise(|lines| &lines.ring),
            set_cup: rise(|lines| &lines.set),
            washboarding: row
                .iter()
                .map(|placed| {
                    Length::from_mm_unchecked(cup(std::iter::once(&self.laid(placed).ring)))
                })
                .fold(Length::ZERO, |worst, this| worst.max(this.abs())),
            twist: panel_twist(&twists, length, width),
            force_factor: force_factor(&strips),
            hold_flat,
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

    /// Bows of the edges and seams, and the forces that hold the row flat. What all leaves share is the beam's; the plate
    /// adds what they differ by.
    fn coupled(
        &self,
        row: &[Placed],
        shared: Curvature,
        beam_force: Force,
    ) -> (Vec<Length>, Force) {
        let length = self.leaf_length();
        let placed = |placed: &Placed| (&self.leaves()[placed.leaf], placed.face_up.sign());
        let leaves: Vec<PlateLeaf> = row
            .iter()
            .map(placed)
            .filter(|(leaf, _)| leaf.jointed_width() > Length::ZERO)
            .map(|(leaf, sign)| PlateLeaf {
                width_mm: leaf.jointed_width().mm(),
                thickness_mm: leaf.thickness.mm(),
                wood: leaf.wood,
                along_per_mm: sign * leaf.bow_curvature().per_mm() - shared.per_mm(),
                across_per_mm: sign * Curvature::of_rise(leaf.cup, leaf.jointed_width()).per_mm(),
                twist_per_mm: leaf.twist_per_area(),
            })
            .collect();
        let same = |one: f64, other: f64| one.to_bits() == other.to_bits();
        let alike = leaves.windows(2).all(|two| {
            same(two[0].along_per_mm, two[1].along_per_mm)
                && same(two[0].across_per_mm, two[1].across_per_mm)
        });
        let bow = shared.rise_over(length);
        let beam = || (vec![bow; leaves.len() + 1], beam_force.abs());
        if alike {
            return beam();
        }
        let flat: Vec<PlateLeaf> = leaves
            .iter()
            .map(|leaf| PlateLeaf {
                across_per_mm: 0.0,
                twist_per_mm: 0.0,
                ..*leaf
            })
            .collect();
        let (Some(shape), Some(forces)) = (
            coupled_leaves(&leaves, length.mm()),
            forces_to_hold_flat(&flat, length.mm()),
        ) else {
            return beam();
        };
        let width = shape.at_mm[leaves.len()];
        // A line takes the beam's force on half of each leaf beside it.
        let half = |leaf: Option<&PlateLeaf>| leaf.map_or(0.0, |leaf| leaf.width_mm / 2.0);
        let held = forces.iter().enumerate().map(|(line, force)| {
            let before = line.checked_sub(1).and_then(|before| leaves.get(before));
            let share = (half(before) + half(leaves.get(line))) / width;
            (force + share * beam_force.newtons()).abs()
        });
        (
            shape
                .bow_mm
                .iter()
                .map(|&own| bow + Length::from_mm_unchecked(own))
                .collect(),
            Force::computed_newtons(held.sum()),
        )
    }

    pub(super) fn row_curvature(&self, row: &[Placed]) -> Curvature {
        let strips: Vec<Strip> = row.iter().map(|placed| self.strip(placed)).collect();
        composite_curvature(&strips)
    }

    fn seam(&self, left: &Placed, right: &Placed) -> Seam {
        let (one, other) = (&self.leaves()[left.leaf], &self.leaves()[right.leaf]);
        let half = one.length.mm() / 2.0;
        let unlike = (one.twist_per_area() - other.twist_per_area()).abs();
        Seam {
            left: left.leaf,
            right: right.leaf,
            misfit: Length::from_mm_unchecked(
                (self.bow_as_laid(left) - self.bow_as_laid(right)).abs(),
            ),
            caul_force: force_to_close_seam(self.strip(left), self.strip(right), one.length),
            edge_gap: one.thickness.min(other.thickness) * (unlike * half),
        }
    }

    /// The maximum step between the faces of two rows where they meet, as they are before glue.
    fn butt_misfit(&self, layout: &Layout) -> Option<Length> {
        let [forward, behind] = &layout.rows[..] else {
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
        Some(Length::from_mm_unchecked(step))
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
