//! The sets of a panel boiled down to the numbers that the search needs, and
//! the bounds that hold for every way to lay the sets still in hand.

use super::laying::Panel;
use super::leaf_match::{Layout, Placed};
use super::line::{Chain, Line, POINTS, cup};
use super::score::{Faults, Weights};

/// Points of each leaf that the search holds against its budget of cup: quarters of the width.
const STRIDE: usize = (POINTS - 1) / 4;

/// One state of one set, in the frame of its left edge. Millimetres, radians.
#[derive(Debug, Clone)]
pub(super) struct Piece<'a> {
    /// Its place among the states of its set.
    pub state: usize,
    pub placed: &'a [Placed],
    pub lines: Vec<&'a Line>,
    pub width: f64,
    pub end_z: f64,
    pub turn: f64,
    /// Points of the face, coarser than the lines.
    pub tube: Vec<(f64, f64)>,
    pub first_bow: f64,
    pub last_bow: f64,
    pub inner_misfit: f64,
    /// Its part of the panel's bow.
    pub bow: f64,
    /// Index of `last_bow` among the distinct ones.
    pub last_key: usize,
    /// What its own face deviates at least from whatever straight line: no panel with it cups less.
    pub own_cup: f64,
    /// Index of its face's line among the distinct ones; every flat one is 0, whatever its width, since no flat face
    /// adds to the cup.
    pub shape: u8,
}

fn number_shapes(sets: &mut [Vec<Piece<'_>>]) {
    let mut known: Vec<Vec<(f64, f64)>> = Vec::new();
    for piece in sets.iter_mut().flatten() {
        let flat = piece.lines.iter().all(|line| line.is_flat());
        if flat {
            continue;
        }
        let points: Vec<(f64, f64)> = piece
            .lines
            .iter()
            .flat_map(|line| line.points.iter().copied().chain([(line.turn, 0.0)]))
            .collect();
        let at = known
            .iter()
            .position(|other| *other == points)
            .unwrap_or_else(|| {
                known.push(points);
                known.len() - 1
            });
        // Sixteen sets of eight states have at most 128 shapes.
        piece.shape = u8::try_from(at + 1).unwrap_or(u8::MAX);
    }
}

/// The whole problem in numbers.
pub(super) struct Pieces<'a> {
    /// States of each set, those that give the same numbers given once.
    pub sets: Vec<Vec<Piece<'a>>>,
    /// The first set that gives the same numbers as this one.
    pub class: Vec<usize>,
    pub width: f64,
    /// Twist, the same in every layout.
    pub twist: f64,
    pub weights: Weights,
    keys: Vec<f64>,
}

impl<'a> Pieces<'a> {
    pub(super) fn of(panel: &'a Panel) -> Self {
        let weight: f64 = panel
            .leaves()
            .iter()
            .map(|leaf| leaf.bending_weight())
            .sum();
        let mut sets: Vec<Vec<Piece<'a>>> = Vec::with_capacity(panel.sets.len());
        for set in &panel.sets {
            let mut pieces: Vec<Piece<'a>> = Vec::with_capacity(set.states.len());
            for state in &set.states {
                let piece = piece(panel, &state[0], weight);
                if !pieces.iter().any(|known| known.same(&piece)) {
                    pieces.push(Piece {
                        state: pieces.len(),
                        ..piece
                    });
                }
            }
            sets.push(pieces);
        }
        number_shapes(&mut sets);
        Self::with(
            sets,
            panel.shape_as_beam(&panel.as_listed()).twist.mm(),
            panel.weights(),
        )
    }

    fn with(mut sets: Vec<Vec<Piece<'a>>>, twist: f64, weights: Weights) -> Self {
        let class = (0..sets.len())
            .map(|i| {
                (0..i)
                    .find(|&j| {
                        sets[i].len() == sets[j].len()
                            && sets[i].iter().zip(&sets[j]).all(|(a, b)| a.same(b))
                    })
                    .unwrap_or(i)
            })
            .collect();
        let mut keys: Vec<f64> = sets.iter().flatten().map(|piece| piece.last_bow).collect();
        keys.sort_by(f64::total_cmp);
        keys.dedup();
        for piece in sets.iter_mut().flatten() {
            piece.last_key = keys.partition_point(|&key| key < piece.last_bow);
        }
        Self {
            width: sets
                .iter()
                .filter_map(|set| set.first())
                .map(|piece| piece.width)
                .sum(),
            twist,
            weights,
            sets,
            class,
            keys,
        }
    }

    /// The same with only those states of each set that add this part to the bow.
    pub(super) fn with_bows(&self, bows: &[f64]) -> Self {
        let sets = self
            .sets
            .iter()
            .zip(bows)
            .map(|(set, &bow)| {
                set.iter()
                    .filter(|piece| piece.bow.to_bits() == bow.to_bits())
                    .cloned()
                    .collect()
            })
            .collect();
        Self::with(sets, self.twist, self.weights)
    }

    /// Whether some pieces share one shape, so that different orders can end alike.
    pub(super) fn repeats_shapes(&self) -> bool {
        let pieces: usize = self.sets.iter().map(Vec::len).sum();
        let mut shapes: Vec<u8> = self
            .sets
            .iter()
            .flatten()
            .map(|piece| piece.shape)
            .collect();
        shapes.sort_unstable();
        shapes.dedup();
        pieces <= usize::from(u8::MAX) && 2 * shapes.len() <= pieces
    }

    pub(super) fn layout(&self, order: &[(usize, usize)]) -> Layout {
        Layout {
            rows: vec![
                order
                    .iter()
                    .flat_map(|&(set, state)| self.sets[set][state].placed.iter().copied())
                    .collect(),
            ],
        }
    }

    /// The pieces of an order, from left to right.
    pub(super) fn laid(
        &self,
        order: &[(usize, usize)],
    ) -> impl Iterator<Item = &Piece<'a>> + Clone {
        order.iter().map(|&(set, state)| &self.sets[set][state])
    }

    /// Bow, twist and maximum seam misfit of a whole order; its cup left at 0.
    pub(super) fn flat_faults(&self, order: &[(usize, usize)]) -> Faults {
        let (mut bow, mut seam, mut last) = (0.0, 0.0_f64, None);
        for piece in self.laid(order) {
            bow += piece.bow;
            seam = seam.max(piece.inner_misfit);
            if let Some(last) = last {
                seam = seam.max(f64::abs(piece.first_bow - last));
            }
            last = Some(piece.last_bow);
        }
        Faults {
            bow,
            cup: 0.0,
            twist: self.twist,
            seam,
        }
    }

    /// All faults of a whole order.
    pub(super) fn faults(&self, order: &[(usize, usize)]) -> Faults {
        let lines = self
            .laid(order)
            .flat_map(|piece| piece.lines.iter().copied());
        Faults {
            cup: cup(lines),
            ..self.flat_faults(order)
        }
    }
}

impl Piece<'_> {
    fn same(&self, other: &Self) -> bool {
        let near = |a: f64, b: f64| (a - b).abs() <= 1e-12 * (1.0 + a.abs());
        near(self.bow, other.bow)
            && near(self.first_bow, other.first_bow)
            && near(self.last_bow, other.last_bow)
            && near(self.inner_misfit, other.inner_misfit)
            && self.lines.len() == other.lines.len()
            && self.lines.iter().zip(&other.lines).all(|(a, b)| {
                near(a.turn, b.turn)
                    && a.points
                        .iter()
                        .zip(&b.points)
                        .all(|(p, q)| near(p.0, q.0) && near(p.1, q.1))
            })
    }
}

/// One state of one set in numbers; `weight` is the bending weight of the whole panel, N mm2.
pub(super) fn piece<'a>(panel: &'a Panel, placed: &'a [Placed], weight: f64) -> Piece<'a> {
    let lines: Vec<&Line> = placed.iter().map(|one| panel.line(one)).collect();
    let mut chain = Chain::default();
    let mut tube = Vec::with_capacity(4 * lines.len());
    for line in &lines {
        tube.extend(
            line.points
                .iter()
                .skip(STRIDE)
                .step_by(STRIDE)
                .map(|&point| chain.place(point)),
        );
        chain = chain.with(line.end().0, line.end().1, line.turn);
    }
    let own_cup = min_deviation(&tube);
    let bows: Vec<f64> = placed.iter().map(|one| panel.bow_as_laid(one)).collect();
    Piece {
        state: 0,
        placed,
        width: chain.x,
        end_z: chain.z,
        turn: chain.turn,
        tube,
        first_bow: bows[0],
        last_bow: bows[bows.len() - 1],
        inner_misfit: bows
            .windows(2)
            .map(|two| (two[0] - two[1]).abs())
            .fold(0.0, f64::max),
        bow: placed
            .iter()
            .zip(&bows)
            .map(|(one, bow)| {
                if weight > 0.0 {
                    panel.leaves()[one.leaf].bending_weight() / weight * bow
                } else {
                    0.0
                }
            })
            .sum(),
        last_key: 0,
        own_cup,
        shape: 0,
        lines,
    }
}

/// The minimum that points can be held off a straight line, the start (0, 0) among them: half the height of the flattest
/// strip that holds them all. The best strip lies along a line through two of them.
fn min_deviation(tube: &[(f64, f64)]) -> f64 {
    let points = || std::iter::once((0.0, 0.0)).chain(tube.iter().copied());
    let mut min = f64::INFINITY;
    for (i, (x, z)) in points().enumerate() {
        for (other_x, other_z) in points().skip(i + 1) {
            if other_x - x <= 0.0 {
                continue;
            }
            let slope = (other_z - z) / (other_x - x);
            let (low, high) = spread(points().map(|(x, z)| z - slope * x));
            min = min.min((high - low) / 2.0);
        }
    }
    if min.is_finite() { min } else { 0.0 }
}

/// For every subset of the sets, what laying just these to the right of the others can give at
/// best. Exact for each quantity by itself: a quantity's minimum over all orders and states follows
/// from the subsets one set smaller, since the widths of what is left fix every place.
pub(super) struct Subsets {
    /// Height of the end over the start, in the frame of the subset's own left edge: minimum and maximum.
    pub rise: Vec<(f64, f64)>,
    /// Part of the bow: minimum and maximum.
    pub bow: Vec<(f64, f64)>,
    /// Width.
    pub width: Vec<f64>,
    /// The maximum cup that one of them has by itself, in its flattest state.
    pub own_cup: Vec<f64>,
    /// The minimum maximum misfit of the seams still to come, by subset and last bow.
    neck: Vec<f64>,
    keys: usize,
}

impl Subsets {
    pub(super) fn of(pieces: &Pieces<'_>) -> Self {
        let count = pieces.sets.len();
        let all = 1_usize << count;
        let keys = pieces.keys.len();
        let mut it = Self {
            rise: vec![(0.0, 0.0); all],
            bow: vec![(0.0, 0.0); all],
            width: vec![0.0; all],
            own_cup: vec![0.0; all],
            neck: vec![0.0; all * keys],
            keys,
        };
        // What matters of a set to its seams: its two outer bows and what lies between.
        let seams: Vec<Vec<(f64, usize, f64)>> = pieces
            .sets
            .iter()
            .map(|set| {
                let mut kinds: Vec<(f64, usize, f64)> = Vec::new();
                for piece in set {
                    let kind = (piece.first_bow, piece.last_key, piece.inner_misfit);
                    if !kinds.contains(&kind) {
                        kinds.push(kind);
                    }
                }
                kinds
            })
            .collect();
        let mut row = vec![0.0; keys];
        for mask in 1..all {
            let lowest = mask.trailing_zeros() as usize;
            let rest = mask & (mask - 1);
            let set = &pieces.sets[lowest];
            it.width[mask] = it.width[rest] + set[0].width;
            let (min, max) = spread(set.iter().map(|piece| piece.bow));
            let (own_cup, _) = spread(set.iter().map(|piece| piece.own_cup));
            it.own_cup[mask] = it.own_cup[rest].max(own_cup);
            it.bow[mask] = (it.bow[rest].0 + min, it.bow[rest].1 + max);
            it.rise[mask] = (f64::INFINITY, f64::NEG_INFINITY);
            row.fill(f64::INFINITY);
            for i in members(mask) {
                let without = mask & !(1 << i);
                for piece in &pieces.sets[i] {
                    let start = piece.end_z + piece.turn * it.width[without];
                    it.rise[mask].0 = it.rise[mask].0.min(start + it.rise[without].0);
                    it.rise[mask].1 = it.rise[mask].1.max(start + it.rise[without].1);
                }
                for &(first, last_key, inner) in &seams[i] {
                    let after = inner.max(it.neck[without * keys + last_key]);
                    for (min, &key) in row.iter_mut().zip(&pieces.keys) {
                        *min = min.min(after.max((key - first).abs()));
                    }
                }
            }
            it.neck[mask * keys..(mask + 1) * keys].copy_from_slice(&row);
        }
        it
    }

    /// The minimum that the maximum misfit of the seams still to come can be.
    pub(super) fn min_misfit(&self, mask: usize, last_key: usize) -> f64 {
        self.neck[mask * self.keys + last_key]
    }

    /// The minimum size of a bow that can come of `so_far` and the sets still in hand.
    pub(super) fn min_bow(&self, mask: usize, so_far: f64) -> f64 {
        let (min, max) = self.bow[mask];
        (so_far + min).max(-(so_far + max)).max(0.0)
    }
}

/// Members of a subset.
pub(super) fn members(mask: usize) -> impl Iterator<Item = usize> {
    let mut left = mask;
    std::iter::from_fn(move || {
        (left != 0).then(|| {
            let lowest = left.trailing_zeros() as usize;
            left &= left - 1;
            lowest
        })
    })
}

pub(super) fn spread(values: impl Iterator<Item = f64>) -> (f64, f64) {
    values.fold((f64::INFINITY, f64::NEG_INFINITY), |(min, max), value| {
        (min.min(value), max.max(value))
    })
}
