//! How far the pith may be off: piths spread about the best one as the evidence and the model allow.

use super::photo::EndSize;
use super::pith::{Best, Evidence, Pith};
use super::refine::{Residual, information, inverted, times};
use crate::chance::normal_quantile;
use crate::numerics::symmetric_eigen;
use std::collections::BTreeMap;

/// Piths drawn about the best one.
const SAMPLES: usize = 512;

/// What real rings do that circles do not, each as one standard deviation of a field of directions.
/// Measured on sawn discs; without them the bands are too narrow.
mod floor {
    /// All turned alike, degrees.
    pub(super) const TURN_DEG: f64 = 1.5;
    /// Turned in proportion to the angle about the pith, and to its square (radians).
    pub(super) const ALONG: f64 = 0.07;
    pub(super) const ALONG_SQUARED: f64 = 0.05;
    /// Turned in proportion to the place along the width, radians a half width: corners, tilt.
    pub(super) const ACROSS: f64 = 0.035;
    /// The pith itself, in thicknesses.
    pub(super) const PLACE: f64 = 0.04;
}

/// A pith that may be the true one, and how much it counts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Sample {
    pub(super) pith: Pith,
    pub(super) weight: f64,
    /// Whether it is beyond infinity seen from the middle of the samples: rings that curve the other way.
    pub(super) beyond: bool,
}

/// The middle of the samples, and the samples.
pub(super) fn samples(evidence: &Evidence, best: &Best, size: &EndSize) -> (Pith, Vec<Sample>) {
    let tangents = best.pith.tangents();
    let residuals = evidence.residuals(&best.pith, best.rays, &tangents);
    let covariance = covariance(&residuals, &best.pith, &tangents, size);
    let root = lower_root(covariance);
    // The R2 sequence (M. Roberts 2018, from memory): the powers of the plastic number fill a square evenly.
    let plastic = 1.324_717_957_244_746_f64;
    let steps = [1.0 / plastic, 1.0 / (plastic * plastic)];
    let mut drawn: Vec<([f64; 3], f64)> = Vec::with_capacity(SAMPLES);
    let mut matrix = [[0.0; 3]; 3];
    for k in 0..SAMPLES {
        let normal = steps.map(|step| normal_quantile((0.5 + step * (k + 1) as f64).fract()));
        let step = [
            root[0][0] * normal[0],
            root[1][0] * normal[0] + root[1][1] * normal[1],
        ];
        let pith = best.pith.moved(&tangents, step);
        let weight = pith.nearness(evidence.half_width_mm);
        for (row, one) in matrix.iter_mut().zip(pith.0) {
            for (cell, other) in row.iter_mut().zip(pith.0) {
                *cell += weight * one * other;
            }
        }
        drawn.push((pith.0, weight));
    }
    let middle = Pith::of(symmetric_eigen(matrix)[0].1);
    let samples = drawn
        .into_iter()
        .map(|(numbers, weight)| {
            let pith = Pith(numbers);
            Sample {
                pith,
                weight,
                beyond: pith.dot(&middle) < 0.0,
            }
        })
        .collect();
    (middle, samples)
}

/// The covariance of the pith along its tangents: what the scatter of the windows allows, counted by cells of half a
/// thickness since neighbors err together, and what the model leaves out.
fn covariance(
    residuals: &[Residual],
    pith: &Pith,
    tangents: &[[f64; 3]; 2],
    size: &EndSize,
) -> [[f64; 2]; 2] {
    // With nothing to hold the pith it may be anywhere on the sphere.
    let anywhere = [[1.0, 0.0], [0.0, 1.0]];
    let Some(inverse) = information(residuals).and_then(inverted) else {
        return anywhere;
    };
    let cell = size.thickness / size.width;
    let mut cells: BTreeMap<(i64, i64), [f64; 2]> = BTreeMap::new();
    for residual in residuals {
        let place = residual.at.map(|at| (at / cell + 0.5).floor() as i64);
        let sum = cells.entry((place[0], place[1])).or_default();
        for (sum, turn) in sum.iter_mut().zip(residual.turn) {
            *sum += residual.weight * turn * residual.off;
        }
    }
    let count = cells.len() as f64;
    if count < 3.0 {
        return anywhere;
    }
    let mut covariance = [[0.0; 2]; 2];
    let mut add = |pull: [f64; 2], factor: f64| {
        let step = times(&inverse, pull);
        for (row, one) in covariance.iter_mut().zip(step) {
            for (cell, other) in row.iter_mut().zip(step) {
                *cell += factor * one * other;
            }
        }
    };
    for pull in cells.into_values() {
        add(pull, count / (count - 2.0));
    }
    let [a, b, _] = pith.0;
    // The direction from the pith to the middle of the board, from which turns are counted.
    let middle = libm::atan2(-b, -a);
    let about = |residual: &Residual| {
        let turned = residual.normal - middle;
        let straight = pith.0[2] == 0.0;
        if straight {
            0.0
        } else {
            libm::atan2(libm::sin(turned), libm::cos(turned))
        }
    };
    let fields: [&dyn Fn(&Residual) -> f64; 4] = [
        &|_| floor::TURN_DEG.to_radians(),
        &|residual| floor::ALONG * about(residual),
        &|residual| floor::ALONG_SQUARED * about(residual).powi(2),
        &|residual| floor::ACROSS * residual.at[0],
    ];
    for field in fields {
        let mut pull = [0.0; 2];
        for residual in residuals {
            let off = field(residual);
            for (pull, turn) in pull.iter_mut().zip(residual.turn) {
                *pull += residual.weight * turn * off;
            }
        }
        add(pull, 1.0);
    }
    let shift = pith.0[2] * floor::PLACE * (2.0 * size.thickness.mm() / size.width.mm());
    for axis in 0..2 {
        let step = tangents.map(|tangent| shift * tangent[axis]);
        for (row, one) in covariance.iter_mut().zip(step) {
            for (cell, other) in row.iter_mut().zip(step) {
                *cell += one * other;
            }
        }
    }
    covariance
}

/// The lower triangular root of a symmetric 2 x 2 matrix.
fn lower_root(m: [[f64; 2]; 2]) -> [[f64; 2]; 2] {
    let first = m[0][0].max(0.0).sqrt();
    let side = if first > 0.0 { m[1][0] / first } else { 0.0 };
    [
        [first, 0.0],
        [side, (m[1][1] - side * side).max(0.0).sqrt()],
    ]
}
