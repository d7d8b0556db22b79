//! The few courses in time that all moisture tracks of a grid are sums of.

use super::track::MoistureTrack;
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
    /// The most that the shapes before it leave of any track, percent of moisture.
    pub(super) leaves: f64,
    /// Mean moisture by day, percent.
    pub(super) mean: Vec<f64>,
    /// Slope by day, percent per mm; empty where both faces are alike.
    pub(super) slope: Vec<f64>,
}

/// A number of single or of double precision: what a cloud of draws asks needs the few digits of single precision.
pub trait Number: Copy + Default + Mul<Output = Self> + AddAssign {
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
}

impl<N: Number> Blocks<N> {
    /// Of rows that are all as long.
    pub(super) fn of(rows: &[impl AsRef<[f64]>]) -> Self {
        let length = rows.first().map_or(0, |row| row.as_ref().len());
        let mut blocks = Vec::with_capacity(rows.len() * length.div_ceil(SIDE_BY_SIDE));
        for first in (0..length).step_by(SIDE_BY_SIDE) {
            blocks.extend(rows.iter().map(|row| {
                let row = &row.as_ref()[first..];
                std::array::from_fn(|place| N::nearest(row.get(place).copied().unwrap_or(0.0)))
            }));
        }
        Self {
            rows: rows.len(),
            length,
            blocks,
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

    /// One number of a row.
    pub(super) fn value(&self, row: usize, place: usize) -> f64 {
        self.blocks[place / SIDE_BY_SIDE * self.rows + row][place % SIDE_BY_SIDE].value()
    }

    /// Memory that they take, bytes.
    pub(super) fn bytes(&self) -> usize {
        size_of_val(&self.blocks[..])
    }

    /// Puts the sum of all rows, each so many times, into `out`, which is as long as a row.
    pub(super) fn sum(&self, times: &[N], out: &mut [f64]) {
        for (out, rows) in out
            .chunks_mut(SIDE_BY_SIDE)
            .zip(self.blocks.chunks_exact(self.rows.max(1)))
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

    /// Puts the sum of some rows, each so many times, into `out`, which is as long as a row.
    pub(super) fn sum_of(&self, some: &[(usize, N)], out: &mut [N]) {
        for (out, rows) in out
            .chunks_mut(SIDE_BY_SIDE)
            .zip(self.blocks.chunks_exact(self.rows.max(1)))
        {
            let mut sums = [N::default(); SIDE_BY_SIDE];
            for (row, times) in some {
                for (sum, value) in sums.iter_mut().zip(&rows[*row]) {
                    *sum += *times * *value;
                }
            }
            out.copy_from_slice(&sums[..out.len()]);
        }
    }
}

/// Takes so many times a course off a row; gives the largest that is left, without its sign.
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

/// How much of which shapes some tracks have, given by node and for each node by kind: Gaussian elimination with complete
/// pivoting, ended when nothing is left of any track. Slopes count as the difference over the whole thickness.
pub(super) fn shapes(tracks: &[Vec<MoistureTrack>], thickness_mm: f64) -> (Vec<f64>, Vec<Shape>) {
    let mut left: Vec<Vec<f64>> = tracks
        .iter()
        .flatten()
        .map(|track| {
            let slopes = track.slope_percent_per_mm.iter().map(|s| s * thickness_mm);
            track.mean_percent.iter().copied().chain(slopes).collect()
        })
        .collect();
    let days = tracks
        .first()
        .and_then(|node| node.first())
        .map_or(0, MoistureTrack::days);
    let mut largest: Vec<f64> = left
        .iter()
        .map(|row| row.iter().fold(0.0_f64, |most, v| most.max(v.abs())))
        .collect();
    let mut by_shape: Vec<Vec<f64>> = Vec::new();
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
        let shares: Vec<f64> = left.iter().map(|row| row[day]).collect();
        for ((row, share), most) in left.iter_mut().zip(&shares).zip(&mut largest) {
            *most = less(row, *share, &course);
        }
        let (mean, slope) = course.split_at(days);
        shapes.push(Shape {
            leaves: most,
            mean: mean.to_vec(),
            slope: slope.iter().map(|s| s / thickness_mm).collect(),
        });
        by_shape.push(shares);
    }
    let shares = (0..left.len())
        .flat_map(|row| by_shape.iter().map(move |shares| shares[row]))
        .collect();
    (shares, shapes)
}
