//! The steady indoor humidity that a joint survives.

use super::curve::Curve;
use crate::air::{AirState, equilibrium_percent};
use crate::joint::bond::SPLIT_HOLDS;
use crate::joint::{Axis, BondLine, BondPlan, Fit, Motion, PartId};
use crate::units::{Length, MoistureContent, RelativeHumidity, Strain};

/// Driest and wettest steady humidity looked at, percent.
const RANGE: (u32, u32) = (2, 95);

/// The range of steady humidity in which `spare`, of the moisture that wood settles at, is not negative: the one
/// the home's own mean lies in, else the nearest to it. `None` when no humidity holds. An end that is open is 0 or 100.
#[must_use]
pub(super) fn survived(
    home: AirState,
    spare: impl Fn(f64) -> f64,
) -> Option<[RelativeHumidity; 2]> {
    let at = |percent: f64| spare(settled_percent(home, percent));
    let holds = |percent: u32| at(f64::from(percent)) >= 0.0;
    let mean = (home.humidity.percent().round() as u32).clamp(RANGE.0, RANGE.1);
    let start = (RANGE.0..=RANGE.1)
        .filter(|percent| holds(*percent))
        .min_by_key(|percent| percent.abs_diff(mean))?;
    let edge = |mut inside: f64, mut outside: f64| {
        for _ in 0..20 {
            let middle = (inside + outside) / 2.0;
            if at(middle) >= 0.0 {
                inside = middle;
            } else {
                outside = middle;
            }
        }
        inside
    };
    let low = (RANGE.0..start)
        .rev()
        .find(|percent| !holds(*percent))
        .map_or(0.0, |out| edge(f64::from(out + 1), f64::from(out)));
    let high = (start + 1..=RANGE.1)
        .find(|percent| !holds(*percent))
        .map_or(100.0, |out| edge(f64::from(out - 1), f64::from(out)));
    Some([low, high].map(RelativeHumidity::computed_percent))
}

fn settled_percent(home: AirState, humidity_percent: f64) -> f64 {
    equilibrium_percent(home.temperature.celsius(), humidity_percent / 100.0)
}

/// What a fit needs to be asked about steady air.
pub(super) struct Steady<'a> {
    curves: &'a [Curve],
    fit: &'a Fit,
    cut_mm: f64,
    /// Ratios on the day of the cut, by part and axis.
    at_cut: &'a dyn Fn(PartId, Axis) -> f64,
    home: AirState,
}

impl<'a> Steady<'a> {
    /// A fit, its cut, the curves of all parts, their sizes on the day of the cut and the mean air of the home.
    pub(super) fn new(
        curves: &'a [Curve],
        fit: &'a Fit,
        cut_mm: f64,
        at_cut: &'a dyn Fn(PartId, Axis) -> f64,
        home: AirState,
    ) -> Self {
        Self {
            curves,
            fit,
            cut_mm,
            at_cut,
            home,
        }
    }

    /// What is spare on the tight and on the loose side once everything has settled at a moisture, mm.
    fn spares_mm(&self, settled_percent: f64) -> [f64; 2] {
        let mut motion = Motion::still(self.curves.len(), 2);
        for part in self.fit.parts() {
            for axis in Axis::ALL {
                let ratios = motion.ratios_mut(part, axis);
                ratios[0] = (self.at_cut)(part, axis);
                ratios[1] = self.curves[part.0].ratio(axis, settled_percent);
            }
        }
        let gap = self.fit.gap_mm(&motion, 1, 0, self.cut_mm);
        let loose = self
            .fit
            .upper_mm(&motion, 1, 0, self.cut_mm)
            .map_or(f64::INFINITY, |upper| upper - gap);
        [gap - self.fit.min.mm(), loose]
    }

    /// The range of steady humidity that holds; see [`survived`].
    #[must_use]
    pub(super) fn survives(&self) -> Option<[RelativeHumidity; 2]> {
        survived(self.home, |settled| {
            let [tight, loose] = self.spares_mm(settled);
            tight.min(loose)
        })
    }

    /// What happens a little beyond an end of the range that holds; `None` at an open end.
    #[must_use]
    pub(super) fn fails(&self, end_percent: f64, wetter: bool) -> Option<&'a str> {
        if !(0.5..=99.5).contains(&end_percent) {
            return None;
        }
        let beyond = if wetter { 1.0 } else { -1.0 };
        let [tight, loose] = self.spares_mm(settled_percent(self.home, end_percent + beyond));
        Some(if tight < loose {
            &self.fit.words.too_tight
        } else {
            &self.fit.words.too_loose
        })
    }
}

/// The range of steady humidity in which a glued line still holds: boards spread about the middle draw. `glued_with` is the ratio of the
/// moving over the holding part's size on the day it was glued.
#[must_use]
pub(super) fn bond_survives(
    curves: &[Curve],
    plan: &BondPlan,
    line: &BondLine,
    glued: Length,
    glued_with: f64,
    shrinkage_cov: f64,
    home: AirState,
) -> Option<[RelativeHumidity; 2]> {
    let line = BondLine {
        spread: line.spread.of_unknown_boards(shrinkage_cov),
        ..*line
    };
    survived(home, |settled| {
        let ratio = |side: &crate::joint::BondSide| curves[side.part.0].ratio(side.axis, settled);
        let wanted = ratio(&plan.moves) / ratio(&plan.holds) / glued_with - 1.0;
        let strain = Strain::computed_ratio;
        let judged = line.judge(glued, strain(wanted.min(0.0)), strain(wanted.max(0.0)));
        (SPLIT_HOLDS - judged.split.chance())
            .percent()
            .min(100.0 * (1.0 - judged.end_shear_share))
    })
}

/// The curve of a part as a draw has it.
#[must_use]
pub(super) fn drawn_curve(
    part: &super::part_model::PartModel,
    draw: &super::draw::PartDraw,
) -> Curve {
    let measured = part.measured_percent + draw.moisture_offset_percent;
    let measured = MoistureContent::computed_percent(measured.max(0.0));
    if !part.boards.is_empty() {
        return super::evaluate::drawn_curve_at(part, draw, measured);
    }
    Curve::new(
        super::evaluate::drawn_section(part, draw),
        &super::evaluate::drawn_shrinkage(part, draw),
        measured,
    )
}
