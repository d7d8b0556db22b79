//! What each publication says of a wood's shrinkage, brought to one measure, and how far they disagree.

use super::sourced::Status;
use std::sync::Arc;

/// Coefficient of variation between boards of one wood that is there anyway (Wood Handbook ch. 4, from memory).
const WITHIN_A_WOOD: f64 = 0.15;
/// Width of a range that holds nine in ten, in standard deviations: twice the 95 % quantile of the normal.
const NINE_IN_TEN_WIDTH: f64 = 3.289_707_253_902_945;

/// One publication's shrinkage of one wood, as total shrinkage with the fiber saturation it belongs to.
#[derive(Debug, Clone, PartialEq)]
pub struct Witness {
    /// Total radial shrinkage, percent.
    pub radial_percent: f64,
    /// Total tangential shrinkage, percent.
    pub tangential_percent: f64,
    /// Fiber saturation the totals belong to, percent moisture.
    pub fiber_saturation_percent: f64,
    /// The publication.
    pub source: Arc<str>,
    /// Whether it was read, recalled or worked out.
    pub status: Status,
}

impl Witness {
    /// Of movement per 1 % moisture, percent of the size at 10 %: totals with the same slope there, for 30 % fiber saturation.
    pub(super) fn of_unit(
        radial_percent_per_percent: f64,
        tangential_percent_per_percent: f64,
        source: &Arc<str>,
        status: Status,
    ) -> Self {
        let total = |percent: f64| total_of_coefficient(percent / 100.0, 30.0);
        Self {
            radial_percent: total(radial_percent_per_percent),
            tangential_percent: total(tangential_percent_per_percent),
            fiber_saturation_percent: 30.0,
            source: Arc::clone(source),
            status,
        }
    }

    /// Radial and tangential change for 1 % moisture, percent of the size at 10 %: the measure in which publications compare.
    #[must_use]
    pub fn percent_per_percent(&self) -> [f64; 2] {
        [self.radial_percent, self.tangential_percent].map(|total| {
            let slope = total / self.fiber_saturation_percent;
            slope / (1.0 - slope / 100.0 * (self.fiber_saturation_percent - 10.0))
        })
    }
}

/// Total shrinkage, percent, whose slope at 10 % moisture is the coefficient `C`:
/// `C = s / (1 - s (F - 10))` with `s = S/100/F`, solved for `S`.
pub(super) fn total_of_coefficient(coefficient: f64, fiber_saturation_percent: f64) -> f64 {
    let slope = coefficient / (1.0 + coefficient * (fiber_saturation_percent - 10.0));
    slope * fiber_saturation_percent * 100.0
}

/// How far the witnesses of a wood disagree, as coefficients of variation of the tangential and the radial
/// shrinkage: the deviation of the logarithms of their slopes. A recalled figure does not witness against a
/// read one.
///
/// Each is a mean over many boards, in which the spread between boards is averaged out: the whole of their deviation
/// comes on top of it. A range over all observations holds that spread, which [`beyond_usual`] takes out.
pub(super) fn disagreement(witnesses: &[Witness]) -> [f64; 2] {
    let any_read = witnesses.iter().any(|w| w.status != Status::Memory);
    let heard: Vec<[f64; 2]> = witnesses
        .iter()
        .filter(|w| !any_read || w.status != Status::Memory)
        .map(Witness::percent_per_percent)
        .collect();
    [1, 0].map(|direction| {
        let logs: Vec<f64> = heard
            .iter()
            .map(|slopes| libm::log(slopes[direction]))
            .collect();
        deviation(&logs)
    })
}

/// Standard deviation of a sample; 0 of fewer than two.
fn deviation(values: &[f64]) -> f64 {
    if values.len() < 2 {
        return 0.0;
    }
    let count = values.len() as f64;
    let mean = values.iter().sum::<f64>() / count;
    let squares: f64 = values.iter().map(|value| (value - mean).powi(2)).sum();
    (squares / (count - 1.0)).sqrt()
}

/// What a range over all observations, taken to hold nine boards in ten, adds to the spread between boards of one wood.
pub(super) fn beyond_usual(low: f64, high: f64) -> f64 {
    if low <= 0.0 || high <= low {
        return 0.0;
    }
    let whole = libm::log(high / low) / NINE_IN_TEN_WIDTH;
    (whole * whole - WITHIN_A_WOOD * WITHIN_A_WOOD)
        .max(0.0)
        .sqrt()
}
