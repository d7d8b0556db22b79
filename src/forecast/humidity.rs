//! The steady indoor humidity that a fit survives.

use super::curve::Curve;
use crate::air::{AirState, equilibrium_percent};
use crate::joint::{Axis, Fit, Motion, PartId};
use crate::units::MoistureContent;

/// Driest and wettest steady humidity looked at, percent.
const RANGE: (u32, u32) = (2, 95);

/// What a fit needs to be asked about steady air.
pub struct Steady<'a> {
    curves: &'a [Curve],
    fit: &'a Fit,
    cut_mm: f64,
    /// Ratios on the day of the cut, by part and axis.
    at_cut: &'a dyn Fn(PartId, Axis) -> f64,
    home: AirState,
}

impl<'a> Steady<'a> {
    /// A fit, its cut, the curves of all parts, their sizes on the day of the cut and the mean air of the home.
    pub fn new(
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

    /// Least of the two spares once everything has settled at a humidity; negative: it does not survive.
    fn spare_mm(&self, humidity_percent: f64) -> f64 {
        let emc = equilibrium_percent(self.home.temperature.celsius(), humidity_percent / 100.0);
        let mut motion = Motion::still(self.curves.len(), 2);
        for part in self.fit.parts() {
            for axis in Axis::ALL {
                let ratios = motion.ratios_mut(part, axis);
                ratios[0] = (self.at_cut)(part, axis);
                ratios[1] = self.curves[part.0].ratio(axis, emc);
            }
        }
        let gap = self.fit.gap_mm(&motion, 1, 0, self.cut_mm);
        let tight = gap - self.fit.least.mm();
        let loose = self
            .fit
            .upper_mm(&motion, 1, 0, self.cut_mm)
            .map_or(f64::INFINITY, |upper| upper - gap);
        tight.min(loose)
    }

    /// The range of steady humidity that holds, percent: the one the home's own mean lies in, else the
    /// nearest to it. `None` when no humidity holds.
    #[must_use]
    pub fn survives(&self) -> Option<[f64; 2]> {
        let holds = |percent: u32| self.spare_mm(f64::from(percent)) >= 0.0;
        let home = (self.home.humidity.percent().round() as u32).clamp(RANGE.0, RANGE.1);
        let start = (RANGE.0..=RANGE.1)
            .filter(|percent| holds(*percent))
            .min_by_key(|percent| percent.abs_diff(home))?;
        let edge = |mut inside: f64, mut outside: f64| {
            for _ in 0..20 {
                let middle = (inside + outside) / 2.0;
                if self.spare_mm(middle) >= 0.0 {
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
        Some([low, high])
    }
}

/// The curve of a part at the middle draw.
#[must_use]
pub fn middle_curve(part: &super::prepare::PartModel) -> Curve {
    Curve::new(
        part.section,
        &part.shrinkage,
        MoistureContent::computed_percent(part.measured_percent),
    )
}
