//! The pith brought to the peaks of the windows' energy, and what each window says about it.

use super::pith::{Evidence, Pith, Rays};
use super::texture::{BIN, BINS, Window, half_turn};
use std::f64::consts::FRAC_PI_2;

/// Reach of the kernel that finds a peak, radians.
const REACH: f64 = 18.0 * std::f64::consts::PI / 180.0;
/// Residual at which a window counts half, radians.
const ROBUST: f64 = 8.0 * std::f64::consts::PI / 180.0;
/// Energy above this belongs to a peak.
const FLOOR: f64 = 0.9;
/// Longest step on the sphere.
const MAX_STEP: f64 = 0.1;

/// One window's word about the pith.
#[derive(Debug, Clone, Copy)]
pub(super) struct Residual {
    /// Peak less the direction that the pith predicts, radians.
    pub(super) off: f64,
    /// How much it counts.
    pub(super) weight: f64,
    /// How the predicted direction turns as the pith moves along its two tangents.
    pub(super) turn: [f64; 2],
    /// Where the window is, half widths from the middle.
    pub(super) at: [f64; 2],
    /// The predicted direction of the ring's normal.
    pub(super) normal: f64,
}

/// The peak of a window's energy near a direction, as an angle from it, and the energy in it.
fn peak(window: &Window, near: f64) -> (f64, f64) {
    let mut off = 0.0;
    let mut mass = 0.0;
    for _ in 0..3 {
        let (mut sum, mut moment) = (0.0, 0.0);
        let middle = near + off;
        let first = ((middle - REACH) / BIN).ceil() as i64;
        let last = ((middle + REACH) / BIN).floor() as i64;
        for place in first..=last {
            let apart = place as f64 * BIN - middle;
            let energy = f64::from(window.energy[place.rem_euclid(BINS as i64) as usize]) - FLOOR;
            if energy > 0.0 {
                let kernel = (1.0 - (apart / REACH).powi(2)).max(0.0).powi(2);
                sum += kernel * energy;
                moment += kernel * energy * apart;
            }
        }
        mass = sum;
        if sum <= 0.0 {
            break;
        }
        off += moment / sum;
    }
    (half_turn(off), mass)
}

impl Evidence {
    /// What the windows say about a pith near this one.
    pub(super) fn residuals(
        &self,
        pith: &Pith,
        rays: Rays,
        tangents: &[[f64; 3]; 2],
    ) -> Vec<Residual> {
        let mut residuals = Vec::with_capacity(2 * self.windows.len());
        for window in &self.windows {
            let [dx, dz] = pith.toward(window.at);
            let square = dx * dx + dz * dz;
            let soft = pith.0[2] * window.half;
            let clear = square / (square + soft * soft);
            if clear <= 0.0 {
                continue;
            }
            let [x, z] = window.at;
            let by = [dz / square, -dx / square, (dx * z - dz * x) / square];
            let turn = tangents.map(|tangent| by.iter().zip(tangent).map(|(a, b)| a * b).sum());
            let normal = libm::atan2(dz, dx);
            let rays = rays.share(window);
            for (direction, share) in [(normal, 1.0 - rays), (normal + FRAC_PI_2, rays)] {
                let (off, mass) = peak(window, direction);
                let weight = window.weight * clear * mass * share / (1.0 + (off / ROBUST).powi(2));
                if weight > 0.0 {
                    residuals.push(Residual {
                        off,
                        weight,
                        turn,
                        at: window.at,
                        normal,
                    });
                }
            }
        }
        residuals
    }

    /// The pith after so many Gauss-Newton steps toward the peaks.
    pub(super) fn refined(&self, start: Pith, rays: Rays, steps: usize) -> Pith {
        let mut pith = start;
        for _ in 0..steps {
            let tangents = pith.tangents();
            let residuals = self.residuals(&pith, rays, &tangents);
            let Some(inverse) = information(&residuals).and_then(inverted) else {
                break;
            };
            let mut pull = [0.0; 2];
            for residual in &residuals {
                for (pull, turn) in pull.iter_mut().zip(residual.turn) {
                    *pull += residual.weight * turn * residual.off;
                }
            }
            let step = times(&inverse, pull);
            let length = libm::hypot(step[0], step[1]);
            let cap = if length > MAX_STEP {
                MAX_STEP / length
            } else {
                1.0
            };
            pith = pith.moved(&tangents, step.map(|part| cap * part));
            if length < 1e-9 {
                break;
            }
        }
        pith
    }
}

/// `J' W J` of the residuals; `None` when they are none.
pub(super) fn information(residuals: &[Residual]) -> Option<[[f64; 2]; 2]> {
    let mut matrix = [[0.0; 2]; 2];
    for residual in residuals {
        for (row, one) in matrix.iter_mut().zip(residual.turn) {
            for (cell, other) in row.iter_mut().zip(residual.turn) {
                *cell += residual.weight * one * other;
            }
        }
    }
    (!residuals.is_empty()).then_some(matrix)
}

/// The inverse of a symmetric 2 x 2 matrix; `None` when it has none.
pub(super) fn inverted(m: [[f64; 2]; 2]) -> Option<[[f64; 2]; 2]> {
    let determinant = m[0][0] * m[1][1] - m[0][1] * m[1][0];
    let trace = m[0][0] + m[1][1];
    (determinant > 1e-12 * trace * trace).then(|| {
        [
            [m[1][1] / determinant, -m[0][1] / determinant],
            [-m[1][0] / determinant, m[0][0] / determinant],
        ]
    })
}

/// A 2 x 2 matrix times a column.
pub(super) fn times(m: &[[f64; 2]; 2], v: [f64; 2]) -> [f64; 2] {
    [
        m[0][0] * v[0] + m[0][1] * v[1],
        m[1][0] * v[0] + m[1][1] * v[1],
    ]
}
