//! The moisture tracks of a grid's nodes, kept so that many days are added up side by side.

use super::grid_range::{STENCIL, Stencil};
use multiversion::multiversion;
use std::ops::{AddAssign, Mul};

/// A number of single or of double precision: what a cloud of draws asks needs the few digits of single precision.
pub(super) trait Number: Copy + Default + Mul<Output = Self> + AddAssign {
    /// The nearest to a number.
    fn nearest(value: f64) -> Self;
    /// Itself in double precision.
    fn value(self) -> f64;
}

impl Number for f64 {
    #[inline]
    fn nearest(value: f64) -> Self {
        value
    }
    #[inline]
    fn value(self) -> f64 {
        self
    }
}

impl Number for f32 {
    #[inline]
    fn nearest(value: f64) -> Self {
        value as Self
    }
    #[inline]
    fn value(self) -> f64 {
        f64::from(self)
    }
}

/// Days that are added up side by side.
const SIDE_BY_SIDE: usize = 16;

/// Rows of numbers in blocks that are added up side by side: first the block of every row that holds its first numbers, then those
/// that hold the next.
#[derive(Debug, Clone, Default)]
pub(super) struct Blocks<N> {
    rows: usize,
    length: usize,
    blocks: Vec<[N; SIDE_BY_SIDE]>,
    /// For each place of blocks, how many rows there are up to the last that is not zero there.
    filled: Vec<usize>,
}

impl<N: Number> Blocks<N> {
    /// Of rows that are all as long.
    pub(super) fn of(rows: &[impl AsRef<[f64]>]) -> Self {
        let length = rows.first().map_or(0, |row| row.as_ref().len());
        let mut blocks = Vec::with_capacity(rows.len() * length.div_ceil(SIDE_BY_SIDE));
        let mut filled = Vec::with_capacity(length.div_ceil(SIDE_BY_SIDE));
        for first in (0..length).step_by(SIDE_BY_SIDE) {
            let some = |row: &[f64]| row[first..].iter().take(SIDE_BY_SIDE).any(|v| *v != 0.0);
            let last = rows.iter().rposition(|row| some(row.as_ref()));
            filled.push(last.map_or(0, |last| last + 1));
            blocks.extend(rows.iter().map(|row| {
                let row = &row.as_ref()[first..];
                std::array::from_fn(|place| N::nearest(row.get(place).copied().unwrap_or(0.0)))
            }));
        }
        Self {
            rows: rows.len(),
            length,
            blocks,
            filled,
        }
    }

    /// How long each row is.
    pub(super) const fn length(&self) -> usize {
        self.length
    }

    /// Some places of each row.
    pub(super) fn picked<M: Number>(&self, places: &[usize]) -> Blocks<M> {
        if self.length == 0 {
            return Blocks::default();
        }
        let at = |row: usize, place: usize| {
            self.blocks[place / SIDE_BY_SIDE * self.rows + row][place % SIDE_BY_SIDE].value()
        };
        let pick = |row: usize| places.iter().map(|place| at(row, *place)).collect();
        Blocks::of(&(0..self.rows).map(pick).collect::<Vec<Vec<f64>>>())
    }

    /// Memory that they take, bytes.
    pub(super) fn bytes(&self) -> usize {
        size_of_val(&self.blocks[..])
    }
}

/// Rows that belong to the nodes of a grid, first those of one kind, then those of the next: puts the sum of the kinds, each so
/// many times, between the nodes into `out`, which is as long as a row; rows of no length leave it as it is.
#[multiversion(targets("x86_64+avx2"))]
pub(super) fn sum_around<N: Number, const KINDS: usize>(
    of: &Blocks<N>,
    around: &[Stencil; 2],
    times: [f64; KINDS],
    out: &mut [f64],
) {
    let [rows, columns] = around;
    let mut weights = [[[N::default(); STENCIL]; STENCIL]; KINDS];
    for (weights, times) in weights.iter_mut().zip(times) {
        for (weights, row) in weights.iter_mut().zip(rows.weights) {
            for (weight, column) in weights.iter_mut().zip(columns.weights) {
                *weight = N::nearest(times * row * column);
            }
        }
    }
    let nodes = (of.rows / KINDS).max(1);
    for ((out, blocks), filled) in out
        .chunks_mut(SIDE_BY_SIDE)
        .zip(of.blocks.chunks_exact(of.rows.max(1)))
        .zip(&of.filled)
    {
        let mut sums = [N::default(); SIDE_BY_SIDE];
        // What is left of the start and of the earlier air is forgotten after some time.
        let kinds = filled.div_ceil(nodes);
        for (weights, kind) in weights[..kinds].iter().zip(blocks.chunks_exact(nodes)) {
            for (row, weights) in weights[..rows.count].iter().enumerate() {
                let first = (rows.first + row) * columns.of + columns.first;
                let beside = &kind[first..first + columns.count];
                for (values, weight) in beside.iter().zip(weights) {
                    for (sum, value) in sums.iter_mut().zip(values) {
                        *sum += *weight * *value;
                    }
                }
            }
        }
        for (out, sum) in out.iter_mut().zip(sums) {
            *out = sum.value();
        }
    }
}
