//! What any one layout of a panel gives: bow, cup, twist, seams and the forces to close and to hold.

use super::composite::{
    Strip, adds_bows, composite_curvature, force_factor, force_to_close_seam,
    force_to_hold_straight, panel_twist,
};
use super::laying::{LaidLines, Panel};
use super::leaf::Leaf;
use super::leaf_match::{Layout, Placed};
use super::line::{Line, cup, deviations};
use super::score::Faults;
use crate::units::{Curvature, Force, Length};

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
    /// The maximum rise within one leaf from its rings: the washboarding of leaves that lie heart side alternating.
    pub washboarding: Length,
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

/// What one layout gives. The figures of the whole are those of the row that is worst in each.
#[derive(Debug, Clone, PartialEq)]
pub struct PanelShape {
    /// The layout.
    pub layout: Layout,
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

    /// What a layout gives. Any layout of these leaves can be asked for, also one that breaks the rule.
    #[must_use]
    pub fn shape(&self, layout: &Layout) -> PanelShape {
        let rows: Vec<RowShape> = layout.rows.iter().map(|row| self.row_shape(row)).collect();
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

    fn row_shape(&self, row: &[Placed]) -> RowShape {
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
        let rise = |line: fn(&LaidLines) -> &Line| {
            Length::from_mm_unchecked(cup(row.iter().map(|placed| line(self.laid(placed)))))
        };
        RowShape {
            width,
            width_lost: total(|leaf| leaf.width) - width,
            bow: curvature.rise_over(length),
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
