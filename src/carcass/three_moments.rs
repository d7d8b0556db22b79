//! The residual bow left in a bowed panel on supports that all hold both ways, by the
//! equation of three moments: quick enough to try thousands of places.

use super::{BowedPanel, Support};
use crate::numerics::solve_tridiagonal;

/// A panel on fixed supports, to which dividers are added.
pub(super) struct Line {
    length: f64,
    curvature: f64,
    /// Place and height of the fixed supports, from left to right.
    fixed: Vec<(f64, f64)>,
    /// Whether the outermost keep the panel from turning.
    turn_held: [bool; 2],
}

impl Line {
    /// `None` where an inner support keeps the panel from turning: that needs the full equations.
    pub(super) fn new(panel: &BowedPanel, supports: &[Support]) -> Option<Self> {
        let mut sorted: Vec<&Support> = supports.iter().collect();
        sorted.sort_by(|a, b| a.at.mm().total_cmp(&b.at.mm()));
        let (first, last) = (sorted.first()?, sorted.last()?);
        let inner_turn = sorted[1..sorted.len() - 1].iter().any(|s| s.turn_held);
        let overhangs =
            |support: &Support, end: f64| support.turn_held && (support.at.mm() - end).abs() > 0.0;
        if inner_turn || overhangs(first, 0.0) || overhangs(last, panel.length().mm()) {
            return None;
        }
        Some(Self {
            length: panel.length().mm(),
            curvature: -panel.curvature().per_mm().abs(),
            fixed: sorted
                .iter()
                .map(|support| (support.at.mm(), support.out_of_line.mm()))
                .collect(),
            turn_held: [first.turn_held, last.turn_held],
        })
    }

    /// Maximum distance from the straight line with dividers at these places, in mm.
    pub(super) fn residual_bow(&self, dividers: &[f64]) -> Option<f64> {
        const MOST: usize = 64;
        let n = self.fixed.len() + dividers.len();
        if n > MOST {
            return None;
        }
        let mut x = [0.0; MOST];
        let mut w = [0.0; MOST];
        let (mut i, mut j) = (0, 0);
        for k in 0..n {
            let fixed_next = self
                .fixed
                .get(i)
                .is_some_and(|fixed| dividers.get(j).is_none_or(|d| fixed.0 <= *d));
            if fixed_next {
                (x[k], w[k]) = self.fixed[i];
                i += 1;
            } else {
                x[k] = dividers[j];
                j += 1;
            }
        }
        let m = self.moments(&x[..n], &w[..n])?;
        Some(self.max(&x[..n], &w[..n], &m[..n]))
    }

    /// Moments over `E I` at the supports.
    fn moments(&self, x: &[f64], w: &[f64]) -> Option<[f64; 64]> {
        let n = x.len();
        let (mut below, mut diagonal, mut above) = ([0.0; 64], [1.0; 64], [0.0; 64]);
        let (mut right, mut scratch) = ([0.0; 64], [0.0; 64]);
        let length = |i: usize| x[i + 1] - x[i];
        let chord = |i: usize| (w[i + 1] - w[i]) / length(i);
        let k = self.curvature;
        for i in 0..n {
            let left = (i > 0).then(|| (length(i - 1), chord(i - 1)));
            let next = (i + 1 < n).then(|| (length(i), chord(i)));
            match (left, next) {
                (Some((l, a)), Some((r, b))) => {
                    (below[i], diagonal[i], above[i]) = (l, 2.0 * (l + r), r);
                    right[i] = 6.0 * (b - a) - 3.0 * k * (l + r);
                }
                (None, Some((r, b))) if self.turn_held[0] => {
                    (diagonal[i], above[i]) = (2.0 * r, r);
                    right[i] = 6.0 * b - 3.0 * k * r;
                }
                (Some((l, a)), None) if self.turn_held[1] => {
                    (below[i], diagonal[i]) = (l, 2.0 * l);
                    right[i] = -6.0 * a - 3.0 * k * l;
                }
                _ => {}
            }
        }
        solve_tridiagonal(
            &below[..n],
            &diagonal[..n],
            &above[..n],
            &mut right[..n],
            &mut scratch[..n],
        )
        .then_some(right)
    }

    fn max(&self, x: &[f64], w: &[f64], m: &[f64]) -> f64 {
        let k = self.curvature;
        let n = x.len();
        let mut most = w.iter().fold(0.0_f64, |most, w| most.max(w.abs()));
        let (mut first_slope, mut last_slope) = (0.0, 0.0);
        for i in 0..n - 1 {
            let l = x[i + 1] - x[i];
            // w'' runs evenly from a to b.
            let (a, b) = (m[i] + k, m[i + 1] + k);
            let slope = (w[i + 1] - w[i]) / l - l * (2.0 * a + b) / 6.0;
            let (c2, c1, c0) = ((b - a) / (2.0 * l), a, slope);
            let inside = c1 * c1 - 4.0 * c2 * c0;
            if inside >= 0.0 {
                let q = -0.5 * (c1 + inside.sqrt().copysign(c1));
                for s in [c0 / q, q / c2] {
                    if s > 0.0 && s < l {
                        let height = w[i] + s * (c0 + s * (c1 / 2.0 + s * c2 / 3.0));
                        most = most.max(height.abs());
                    }
                }
            }
            if i == 0 {
                first_slope = slope;
            }
            last_slope = slope + l * (a + b) / 2.0;
        }
        let over = |height: f64, slope: f64, free: f64| {
            let turning = (-slope / k).clamp(0.0, free);
            [free, turning]
                .into_iter()
                .map(|s| (height + slope * s + k * s * s / 2.0).abs())
                .fold(0.0_f64, f64::max)
        };
        most.max(over(w[0], -first_slope, x[0])).max(over(
            w[n - 1],
            last_slope,
            self.length - x[n - 1],
        ))
    }
}
