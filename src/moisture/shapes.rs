//! The few courses in time that all moisture tracks of a grid are sums of.

use super::grid_range::{STENCIL, Stencil};
use super::track::MoistureTrack;
use multiversion::multiversion;
use std::ops::{AddAssign, Mul};

/// How near the shapes of a grid come to every track of its nodes on every day, percent of moisture: what a middle draw asks
/// for its driest and its wettest day.
const SHAPES_PERCENT: f64 = 1e-6;
/// Most shapes of a grid.
pub(super) const MOST_SHAPES: usize = 40;

/// One course in time.
///
/// All tracks of a grid go much the same way: a dozen shapes give each of them to within [`SHAPES_PERCENT`].
#[derive(Debug, Clone)]
pub(super) struct Shape {
    /// Mean moisture by day, percent.
    pub(super) mean: Vec<f64>,
    /// Slope by day, percent per mm; empty where both faces are alike.
    pub(super) slope: Vec<f64>,
}

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

/// Days, and shares of shapes, that are added up side by side.
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

    /// How many rows.
    pub(super) const fn rows(&self) -> usize {
        self.rows
    }

    /// How long each row is.
    pub(super) const fn length(&self) -> usize {
        self.length
    }

    /// One row.
    pub(super) fn row(&self, row: usize) -> Vec<N> {
        let blocks = self.blocks.iter().skip(row).step_by(self.rows.max(1));
        let mut values: Vec<N> = blocks.flatten().copied().collect();
        values.truncate(self.length);
        values
    }

    /// Some places of each row.
    pub(super) fn picked(&self, places: &[usize]) -> Self {
        let pick = |row: usize| -> Vec<f64> {
            let values = self.row(row);
            places.iter().map(|place| values[*place].value()).collect()
        };
        Self::of(&(0..self.rows).map(pick).collect::<Vec<_>>())
    }

    /// Memory that they take, bytes.
    pub(super) fn bytes(&self) -> usize {
        size_of_val(&self.blocks[..])
    }
}

/// Puts the sum of all rows, each so many times, into `out`, which is as long as a row; rows of no length leave it as it is.
#[multiversion(targets("x86_64+avx2"))]
pub(super) fn sum<N: Number>(of: &Blocks<N>, times: &[N], out: &mut [f64]) {
    for (out, rows) in out
        .chunks_mut(SIDE_BY_SIDE)
        .zip(of.blocks.chunks_exact(of.rows.max(1)))
    {
        let mut sums = [N::default(); SIDE_BY_SIDE];
        for (row, times) in rows.iter().zip(times) {
            for (sum, value) in sums.iter_mut().zip(row) {
                *sum += *times * *value;
            }
        }
        for (out, sum) in out.iter_mut().zip(sums) {
            *out = sum.value();
        }
    }
}

/// Rows that belong to the nodes of a grid, first those of one kind, then those of the next: puts the sum of the kinds, each so
/// many times, between the nodes into `out`, which is as long as a row.
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

/// Takes so many times a course off a row; gives the largest that is left, without its sign.
#[multiversion(targets("x86_64+avx2"))]
fn less(row: &mut [f64], share: f64, course: &[f64]) -> f64 {
    // Several at a time: one after another they would wait for the largest so far.
    let mut most = [0.0_f64; 8];
    for (values, course) in row.chunks_mut(8).zip(course.chunks(8)) {
        for ((value, course), most) in values.iter_mut().zip(course).zip(&mut most) {
            *value -= share * course;
            if value.abs() > *most {
                *most = value.abs();
            }
        }
    }
    most.into_iter().fold(0.0, f64::max)
}

/// How much of which shapes some tracks have, by track: Gaussian elimination with complete pivoting, ended when nothing is left of any
/// track. Slopes count as the difference over the whole thickness.
pub(super) fn shapes(tracks: &[MoistureTrack], thickness_mm: f64) -> (Vec<Vec<f64>>, Vec<Shape>) {
    let mut left: Vec<Vec<f64>> = tracks
        .iter()
        .map(|track| {
            let slopes = track.slope_percent_per_mm.iter().map(|s| s * thickness_mm);
            track.mean_percent.iter().copied().chain(slopes).collect()
        })
        .collect();
    let days = tracks.first().map_or(0, MoistureTrack::days);
    let mut largest: Vec<f64> = left
        .iter()
        .map(|row| row.iter().fold(0.0_f64, |most, v| most.max(v.abs())))
        .collect();
    let mut shares = vec![Vec::new(); left.len()];
    let mut shapes = Vec::new();
    while shapes.len() < MOST_SHAPES.min(left.len())
        && let Some((row, most)) = largest
            .iter()
            .copied()
            .enumerate()
            .max_by(|a, b| a.1.total_cmp(&b.1))
        && most > SHAPES_PERCENT
        && let Some(day) = left[row].iter().position(|v| v.abs() >= most)
    {
        let pivot = left[row][day];
        let course: Vec<f64> = left[row].iter().map(|v| v / pivot).collect();
        for ((row, shares), most) in left.iter_mut().zip(&mut shares).zip(&mut largest) {
            // A track of which nothing is left needs no more.
            let mut share = 0.0;
            if *most > SHAPES_PERCENT {
                share = row[day];
                *most = less(row, share, &course);
            }
            shares.push(share);
        }
        let (mean, slope) = course.split_at(days);
        shapes.push(Shape {
            mean: mean.to_vec(),
            slope: slope.iter().map(|s| s / thickness_mm).collect(),
        });
    }
    (shares, shapes)
}
