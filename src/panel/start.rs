//! Good orders to begin a search with: the sets as listed and shuffled, each
//! bettered by swapping, shifting, turning back and changing states until
//! nothing helps. Where a search cannot come to its end, orders are also cooled (simulated annealing): changes that
//! make one worse are taken too, less and less, so that it leaves the first hollow it falls into.

use super::bows::min_of_all;
use super::line::Chain;
use super::pieces::{Piece, Pieces};
use super::search::{Best, MOST_SETS};
use crate::numerics::Deadline;
use rand::{Rng, SeedableRng};
use rand_pcg::Pcg64Mcg;

/// A set and its state, from left to right.
pub(super) type Order = Vec<(usize, usize)>;

/// Shuffles tried besides the order as listed.
const SHUFFLES: usize = 7;

/// One generator and one seed, so that the same leaves always give the same answer.
const SEED: u64 = 0x1eaf;

/// Coolings, each from a shuffle of its own.
const COOLINGS: usize = 32;

/// Changes tried in one cooling: so many times the number of sets squared, and no more than keep one
/// cooling to so many sets looked at.
const CHANGES: usize = 400;
const MOST_LOOKED_AT: usize = 2_000_000;

/// Sets looked at in all coolings of more sets than can be searched through: the search then stops at its limit, with
/// the best that it met (judgement).
const MOST_COOLED_AT: usize = 16_000_000;

/// Sets looked at while one order is bettered; more than orders of twenty sets ask for (judgement).
const MOST_BETTERED_AT: usize = 300_000;

/// How many orders of so many sets are looked at while one is bettered.
pub(super) fn most_bettered(sets: usize) -> usize {
    MOST_BETTERED_AT / sets.max(1)
}

/// What a change may worsen the score by, first and last: shares of what the order as listed, bettered, scores above
/// what no order can beat.
const WARM: f64 = 0.06;
const COLD: f64 = 0.015;

/// Offers the orders worth starting from, and every order met on the way to them.
pub(super) fn offer_good_orders(pieces: &Pieces<'_>, best: &mut Best<'_>) {
    offer_bettered(pieces, best, &start_orders(&states(pieces)));
}

/// The order as listed and shuffles of it, for sets of so many states each.
pub(super) fn start_orders(states: &[usize]) -> Vec<Order> {
    let mut generator = Pcg64Mcg::seed_from_u64(SEED);
    let shuffles = (0..SHUFFLES).map(|_| shuffled(states, &mut generator));
    std::iter::once(as_listed(states.len()))
        .chain(shuffles)
        .collect()
}

fn states(pieces: &Pieces<'_>) -> Vec<usize> {
    pieces.sets.iter().map(Vec::len).collect()
}

/// Offers these orders, and every order met while bettering them.
pub(super) fn offer_bettered(pieces: &Pieces<'_>, best: &mut Best<'_>, orders: &[Order]) {
    for order in orders {
        better(pieces, best, order.clone());
    }
}

/// The best order of each cooling; of those before the deadline.
pub(super) fn cooled(pieces: &Pieces<'_>, deadline: Deadline<'_>) -> Vec<Order> {
    let count = pieces.sets.len();
    let mut first = Best::new(&[], deadline);
    better(pieces, &mut first, as_listed(count));
    let above = first.limit() - min_of_all(pieces);
    if count < 2 || !above.is_finite() || above <= 0.0 {
        return Vec::new();
    }
    let changes = (CHANGES * count * count).min(MOST_LOOKED_AT / count);
    let mut cooling = Cooling {
        pieces,
        states: states(pieces),
        turned: turned_round(pieces),
        generator: Pcg64Mcg::seed_from_u64(SEED),
        deadline,
    };
    let coolings = if count <= MOST_SETS {
        COOLINGS
    } else {
        (MOST_COOLED_AT / (changes * count)).clamp(1, COOLINGS)
    };
    (0..coolings)
        .map(|_| cooling.run(changes, WARM * above, COLD * above))
        .collect()
}

fn as_listed(sets: usize) -> Order {
    (0..sets).map(|set| (set, 0)).collect()
}

fn shuffled(states: &[usize], generator: &mut Pcg64Mcg) -> Order {
    let mut order = as_listed(states.len());
    for i in (1..order.len()).rev() {
        order.swap(i, below(generator, i + 1));
    }
    for (set, state) in &mut order {
        *state = below(generator, states[*set]);
    }
    order
}

fn below(generator: &mut Pcg64Mcg, count: usize) -> usize {
    // The remainder's bias is of the order count / 2^64.
    (generator.next_u64() % count as u64) as usize
}

/// Above 0, at most 1.
fn share(generator: &mut Pcg64Mcg) -> f64 {
    ((generator.next_u64() >> 11) + 1) as f64 / (1_u64 << 53) as f64
}

/// For every state of every set the state that it looks like when it is turned half round on the bench, as near as the set has one.
fn turned_round(pieces: &Pieces<'_>) -> Vec<Vec<usize>> {
    let unlike = |piece: &Piece<'_>, other: &Piece<'_>| {
        let end_z = piece.turn * piece.width - piece.end_z;
        (other.first_bow - piece.last_bow).abs()
            + (other.last_bow - piece.first_bow).abs()
            + (other.turn - piece.turn).abs() * piece.width
            + (other.end_z - end_z).abs()
    };
    pieces
        .sets
        .iter()
        .map(|set| {
            set.iter()
                .map(|piece| {
                    (0..set.len())
                        .min_by(|&a, &b| unlike(piece, &set[a]).total_cmp(&unlike(piece, &set[b])))
                        .unwrap_or(0)
                })
                .collect()
        })
        .collect()
}

struct Cooling<'a> {
    pieces: &'a Pieces<'a>,
    /// How many states each set has.
    states: Vec<usize>,
    turned: Vec<Vec<usize>>,
    generator: Pcg64Mcg,
    deadline: Deadline<'a>,
}

impl Cooling<'_> {
    /// The best order met from a shuffle on, while what a change may worsen falls from `warm` to `cold`.
    fn run(&mut self, changes: usize, warm: f64, cold: f64) -> Order {
        let mut order = shuffled(&self.states, &mut self.generator);
        let mut score = self
            .score_below(&order, f64::INFINITY)
            .unwrap_or(f64::INFINITY);
        let (mut min, mut best) = (score, order.clone());
        let mut before = order.clone();
        let mut warmth = warm;
        let falls = libm::pow(cold / warm, 1.0 / changes as f64);
        for _ in 0..changes {
            if self.deadline.is_over() {
                break;
            }
            warmth *= falls;
            before.copy_from_slice(&order);
            self.change(&mut order);
            // The chance of taking a change is drawn before it is looked at: most are refused by bow and seams alone.
            let limit = score - warmth * libm::log(share(&mut self.generator));
            match self.score_below(&order, limit) {
                Some(new) => {
                    score = new;
                    if score < min {
                        min = score;
                        best.copy_from_slice(&order);
                    }
                }
                None => order.copy_from_slice(&before),
            }
        }
        best
    }

    fn change(&mut self, order: &mut [(usize, usize)]) {
        let count = order.len();
        let one = below(&mut self.generator, count);
        let other = (one + 1 + below(&mut self.generator, count - 1)) % count;
        let (i, j) = (one.min(other), one.max(other));
        match below(&mut self.generator, 10) {
            0..=2 => self.draw_state(&mut order[one]),
            3 => {
                order.swap(i, j);
                self.draw_state(&mut order[i]);
                self.draw_state(&mut order[j]);
            }
            4 | 5 => order.swap(i, j),
            6 => order[i..=j].rotate_left(1),
            7 => order[i..=j].rotate_right(1),
            _ => {
                order[i..=j].reverse();
                for (set, state) in &mut order[i..=j] {
                    *state = self.turned[*set][*state];
                }
            }
        }
    }

    fn draw_state(&mut self, (set, state): &mut (usize, usize)) {
        *state = below(&mut self.generator, self.states[*set]);
    }

    /// The score, its cup held at quarters of each face alone, where that is at most the limit.
    fn score_below(&self, order: &[(usize, usize)], limit: f64) -> Option<f64> {
        let weights = &self.pieces.weights;
        // Most changes are refused here.
        let flat = weights.of(self.pieces.flat_faults(order));
        if flat > limit {
            return None;
        }
        let pieces = || self.pieces.laid(order);
        let end = pieces().fold(Chain::default(), |chain, piece| {
            chain.with(piece.width, piece.end_z, piece.turn)
        });
        let slope = if end.x > 0.0 { end.z / end.x } else { 0.0 };
        let (mut chain, mut score) = (Chain::default(), flat);
        for piece in pieces() {
            for &point in &piece.tube {
                let (x, z) = chain.place(point);
                score = score.max(flat + weights.cup * (x * slope - z).abs());
            }
            if score > limit {
                return None;
            }
            chain = chain.with(piece.width, piece.end_z, piece.turn);
        }
        Some(score)
    }
}

fn better(pieces: &Pieces<'_>, best: &mut Best<'_>, mut order: Vec<(usize, usize)>) {
    let mut left = most_bettered(order.len());
    let mut score = |order: &[(usize, usize)]| {
        if left == 0 || best.is_late() {
            left = 0;
            return f64::INFINITY;
        }
        left -= 1;
        let faults = pieces.faults(order);
        let score = pieces.weights.of(faults);
        best.offer(order, faults, score);
        score
    };
    let mut min = score(&order);
    loop {
        let before = min;
        for i in 0..order.len() {
            let (set, was) = order[i];
            let mut kept = was;
            for state in 0..pieces.sets[set].len() {
                order[i].1 = state;
                let new = score(&order);
                if new < min - 1e-12 {
                    (min, kept) = (new, state);
                }
            }
            order[i].1 = kept;
            for j in i + 1..order.len() {
                order.swap(i, j);
                let swapped = score(&order);
                if swapped < min - 1e-12 {
                    min = swapped;
                    continue;
                }
                order.swap(i, j);
                order[i..=j].rotate_left(1);
                let shifted = score(&order);
                if shifted < min - 1e-12 {
                    min = shifted;
                    continue;
                }
                order[i..=j].rotate_right(1);
                order[i..=j].reverse();
                let reversed = score(&order);
                if reversed < min - 1e-12 {
                    min = reversed;
                    continue;
                }
                order[i..=j].reverse();
            }
        }
        if min >= before - 1e-12 {
            return;
        }
    }
}
