//! After glue-up: the panel's width, cup and bow through the year.

use super::laying::Panel;
use super::leaf_match::{Layout, Placed};
use super::views::{LeafShape, TrueChain};
use crate::moisture::MoistureTrack;
use crate::movement::{Direction, RingStrains, Section};
use crate::units::{Curvature, Length, MoistureContent};

/// Share of its first force that wood held along the grain still gives after months, the lesser value: relaxation to 60-70 %
/// (Wood Handbook ch. 5, from memory).
pub const KEPT_MIN: f64 = 0.60;
/// The greater value.
pub const KEPT_MOST: f64 = 0.70;
/// The middle of both: so much of a bow comes back when a panel held flat for months is let go.
pub const KEPT_AFTER_MONTHS: f64 = f64::midpoint(KEPT_MIN, KEPT_MOST);

/// A bow that changes by less than this is one that stays.
const STAYS_MM: f64 = 0.1;

/// A panel at one state of its moisture. Bow and cup positive when the show face is hollow. Of a panel of two rows each
/// size is that of the row where it is the greater, cup and bow without regard to sign.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PanelAt {
    /// Width, as the chord of the show face.
    pub width: Length,
    /// Cup of the show face.
    pub cup: Length,
    /// Bow.
    pub bow: Length,
}

impl PanelAt {
    fn worse(self, other: Self) -> Self {
        let greater = |one: Length, other: Length| {
            if other.abs() > one.abs() { other } else { one }
        };
        Self {
            width: greater(self.width, other.width),
            cup: greater(self.cup, other.cup),
            bow: greater(self.bow, other.bow),
        }
    }
}

/// What the bow does after glue-up.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BowTrend {
    /// At some time of the year it is larger than at glue-up.
    Grows,
    /// It never exceeds the bow of glue-up and at some time is less.
    Eases,
    /// It stays within a tenth of a millimetre.
    Stays,
}

/// A panel through the days of a moisture track.
#[derive(Debug, Clone, PartialEq)]
pub struct PanelYear {
    /// Day of the year of the first entry, 0 = 1 January.
    pub first_day: usize,
    /// The panel on each day.
    pub days: Vec<PanelAt>,
    /// The panel when it is glued, even through its thickness.
    pub at_glue_up: PanelAt,
    /// What the bow of the free panel does.
    pub bow_trend: BowTrend,
    /// Bow that comes back when the panel has been held flat for months and is let go: [`KEPT_AFTER_MONTHS`] of it.
    pub bow_after_holding: Length,
}

impl PanelYear {
    /// The day with the minimum and the day with the maximum of a size, as indexes into `days`.
    #[must_use]
    pub fn extremes(&self, size: impl Fn(&PanelAt) -> Length) -> Option<(usize, usize)> {
        let by = |a: &usize, b: &usize| {
            size(&self.days[*a])
                .mm()
                .total_cmp(&size(&self.days[*b]).mm())
        };
        let days = || 0..self.days.len();
        Some((days().min_by(by)?, days().max_by(by)?))
    }
}

impl Panel {
    /// A layout at a mean moisture and a slope through its thickness, percent per mm, positive when the
    /// show face is the moister. Sizes are those of the leaves at the panel's `from` moisture.
    ///
    /// Width and cup come of the exact section map of each leaf, chained with true rotations; the slope adds the
    /// curvature `-C slope` (`C` the strain per 1 % across the leaf) and in length the bow `-C_L slope L^2/8`: the moister
    /// face grows and turns round. Leaves without rings are taken as flat-sawn; without a known wood they keep their size.
    #[must_use]
    pub fn at(&self, layout: &Layout, mean: MoistureContent, slope_percent_per_mm: f64) -> PanelAt {
        let mut rows = layout
            .rows
            .iter()
            .map(|row| self.row_at(row, mean, slope_percent_per_mm));
        let first = rows
            .next()
            .unwrap_or_else(|| self.row_at(&[], mean, slope_percent_per_mm));
        rows.fold(first, PanelAt::worse)
    }

    fn row_at(&self, row: &[Placed], mean: MoistureContent, slope_percent_per_mm: f64) -> PanelAt {
        let from = self.change().from;
        let mut chain = TrueChain::default();
        let mut face: Vec<(f64, f64)> = Vec::new();
        let (mut along, mut weight) = (0.0, 0.0);
        for placed in row {
            let leaf = &self.leaves()[placed.leaf];
            let half = leaf.jointed_width().mm() / 2.0;
            let mut scale = 1.0;
            let shape = match leaf.wood.shrinkage {
                None => LeafShape::with(self, placed, NO_STRAIN, 1.0, Curvature::ZERO),
                Some(shrinkage) => {
                    let strains = RingStrains::of(&shrinkage, from, mean);
                    let section = leaf.section().filter(|section| !section.contains_pith());
                    let across = section.as_ref().map_or_else(
                        || shrinkage.change_coefficient(Direction::Tangential),
                        |section: &Section| section.width_coefficient(&shrinkage),
                    );
                    if section.is_none() {
                        scale = 1.0 + strains.tangential.ratio();
                    }
                    along += leaf.bending_weight()
                        * shrinkage.change_coefficient(Direction::Longitudinal);
                    LeafShape::with(
                        self,
                        placed,
                        strains,
                        1.0,
                        Curvature::computed_per_mm(-across * slope_percent_per_mm),
                    )
                }
            };
            weight += leaf.bending_weight();
            let at = |i: usize| {
                let (x, z) = shape.face(half * (i as f64 / FACE_STEPS as f64 * 2.0 - 1.0), true);
                (x * scale, z)
            };
            face.extend((0..=FACE_STEPS).map(|i| chain.place(at(i))));
            chain = chain.with(at(FACE_STEPS), shape.turn());
        }
        let along = if weight > 0.0 { along / weight } else { 0.0 };
        let length = self.leaf_length();
        let shape_bow = self.row_curvature(row).rise_over(length);
        let width = libm::hypot(chain.end.0, chain.end.1);
        PanelAt {
            width: Length::from_mm_unchecked(width),
            cup: Length::from_mm_unchecked(max_hollow(&face, chain.end, width)),
            bow: shape_bow
                + Curvature::computed_per_mm(-along * slope_percent_per_mm).rise_over(length),
        }
    }

    /// A layout on every day of a moisture track of the panel, whose face 1 is the show face. With one
    /// face finished or against a wall the track carries a slope, and with it cup and bow.
    #[must_use]
    pub fn through_the_year(&self, layout: &Layout, track: &MoistureTrack) -> PanelYear {
        let at_glue_up = self.at(layout, self.change().from, 0.0);
        let days: Vec<PanelAt> = track
            .mean_percent
            .iter()
            .zip(&track.slope_percent_per_mm)
            .map(|(&mean, &slope)| self.at(layout, MoistureContent::computed_percent(mean), slope))
            .collect();
        let size = |at: &PanelAt| at.bow.abs().mm();
        let (min, max) = days
            .iter()
            .map(size)
            .fold((f64::INFINITY, 0.0_f64), |(min, max), bow| {
                (min.min(bow), max.max(bow))
            });
        let glued = size(&at_glue_up);
        PanelYear {
            first_day: track.first_day,
            bow_trend: if max > glued + STAYS_MM {
                BowTrend::Grows
            } else if min < glued - STAYS_MM {
                BowTrend::Eases
            } else {
                BowTrend::Stays
            },
            bow_after_holding: at_glue_up.bow * KEPT_AFTER_MONTHS,
            at_glue_up,
            days,
        }
    }
}

/// Steps along a leaf's face.
const FACE_STEPS: usize = 8;

const NO_STRAIN: RingStrains = RingStrains {
    radial: crate::units::Strain::ZERO,
    tangential: crate::units::Strain::ZERO,
};

fn max_hollow(face: &[(f64, f64)], end: (f64, f64), width: f64) -> f64 {
    if width <= 0.0 {
        return 0.0;
    }
    let (cos, sin) = (end.0 / width, end.1 / width);
    face.iter()
        .map(|&(x, z)| x * sin - z * cos)
        .fold(0.0_f64, |max, hollow| {
            if hollow.abs() > max.abs() {
                hollow
            } else {
                max
            }
        })
}
