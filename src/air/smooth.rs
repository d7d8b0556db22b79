//! A smooth year through twelve monthly means that keeps each mean.

use super::year::{DAYS_IN_YEAR, MONTH_DAYS};

/// Between what a day's value must stay.
#[derive(Debug, Clone, Copy)]
pub(super) struct Limits {
    pub(super) min: f64,
    pub(super) max: f64,
}

impl Limits {
    pub(super) const NONE: Self = Self {
        min: f64::NEG_INFINITY,
        max: f64::INFINITY,
    };
}

/// A periodic cubic through values at the middle of each month, chosen so that the days of a month
/// average to the month's mean.
pub(super) struct MonthCurve {
    means: [f64; 12],
    days: Vec<f64>,
}

/// First day of each month, counted from 0 on 1 January.
pub(super) fn first_days() -> [usize; 12] {
    let mut first = [0; 12];
    for month in 1..12 {
        first[month] = first[month - 1] + MONTH_DAYS[month - 1];
    }
    first
}

impl MonthCurve {
    /// The curve whose monthly means are `means`. The values at mid-month start at the means and
    /// take up what their months still miss; a month's own value carries more than half of its
    /// mean, so this contracts.
    pub(super) fn through(means: [f64; 12]) -> Self {
        let mut knots = means;
        let mut days = days_through(&knots);
        let scale = means.iter().fold(1e-300_f64, |a, b| a.max(b.abs()));
        for _ in 0..200 {
            let now = month_means(&days);
            let mut worst = 0.0_f64;
            for month in 0..12 {
                let miss = means[month] - now[month];
                knots[month] += miss;
                worst = worst.max(miss.abs());
            }
            days = days_through(&knots);
            if worst < 1e-14 * scale {
                break;
            }
        }
        Self { means, days }
    }

    /// The daily values. Where a month's swing would leave the limits, that month's swing about its
    /// mean is drawn in until it fits, which leaves the mean as it is.
    pub(super) fn daily(mut self, limits: impl Fn(usize) -> Limits) -> Vec<f64> {
        for (month, first) in first_days().into_iter().enumerate() {
            let mean = self.means[month];
            let month_days = first..first + MONTH_DAYS[month];
            let share = month_days
                .clone()
                .map(|day| {
                    let limits = limits(day);
                    let swing = self.days[day] - mean;
                    let bound = if swing < 0.0 { limits.min } else { limits.max };
                    let room = bound - mean;
                    if room * swing > 0.0 && swing.abs() > room.abs() {
                        room / swing
                    } else {
                        1.0
                    }
                })
                .fold(1.0_f64, f64::min);
            if share < 1.0 {
                for day in month_days {
                    self.days[day] = mean + share * (self.days[day] - mean);
                }
            }
        }
        self.days
    }
}

fn month_means(days: &[f64]) -> [f64; 12] {
    let mut means = [0.0; 12];
    for (month, first) in first_days().into_iter().enumerate() {
        let days = &days[first..first + MONTH_DAYS[month]];
        means[month] = days.iter().sum::<f64>() / days.len() as f64;
    }
    means
}

/// Values at the middle of each day of the periodic Catmull-Rom cubic through `knots`.
fn days_through(knots: &[f64; 12]) -> Vec<f64> {
    let first = first_days();
    let year = DAYS_IN_YEAR as f64;
    let middle = |month: i64| {
        let wrapped = month.rem_euclid(12) as usize;
        first[wrapped] as f64
            + 0.5 * MONTH_DAYS[wrapped] as f64
            + year * month.div_euclid(12) as f64
    };
    let value = |month: i64| knots[month.rem_euclid(12) as usize];
    let slope = |month: i64| {
        (value(month + 1) - value(month - 1)) / (middle(month + 1) - middle(month - 1))
    };
    let mut days = vec![0.0; DAYS_IN_YEAR];
    for left in -1..12_i64 {
        let (start, end) = (middle(left), middle(left + 1));
        let span = end - start;
        let (v0, v1) = (value(left), value(left + 1));
        let (s0, s1) = (slope(left) * span, slope(left + 1) * span);
        for (day, out) in days.iter_mut().enumerate() {
            let u = (day as f64 + 0.5 - start) / span;
            if (0.0..1.0).contains(&u) {
                let w = 1.0 - u;
                *out = w * w * ((1.0 + 2.0 * u) * v0 + u * s0)
                    + u * u * ((1.0 + 2.0 * w) * v1 - w * s1);
            }
        }
    }
    days
}
