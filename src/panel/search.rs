//! The best placing under the figure's rule.
//!
//! A branch-and-bound search lays the sets from left to right. What is laid fixes
//! its own seams, its part of the bow and the line of its face but for one number: how high the far end of the
//! panel will stand. Every point laid allows that number an interval, given the cup the score still has
//! room for; the sets in hand allow another, known for each subset from the subsets one smaller. Where
//! the two do not meet, or where bow and seams alone exceed the room, nothing under that start can win and the branch
//! is cut. Turning the whole panel half round is the same panel and is searched once; so are leaves that
//! measure alike.

use super::figure::{Figure, Placing};
use super::four_piece::search_rows;
use super::line::Chain;
use super::pieces::{Pieces, Subsets, members};
use super::shape::{Faults, Panel};
use super::start::good_orders;

/// Most sets for which subsets are tabled: beyond it the best found is given with a bound.
pub(super) const MOST_SETS: usize = 16;

/// Placings whose bow, cup and seam misfit agree to this many millimetres are one to the maker.
pub(super) const SAME_MM: f64 = 0.1;

/// Starts looked at before the search stops and says so.
const MOST_STEPS: u64 = 20_000_000;

/// A placing found.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Found {
    pub placing: Placing,
    pub score: f64,
}

/// What a search gives.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Search {
    /// The best placings that differ, best first.
    pub best: Vec<Found>,
    /// No placing under the rule scores less than this.
    pub bound: f64,
    /// Whether every placing was looked at or cut off: the list is the true one.
    pub complete: bool,
    /// Starts looked at.
    pub steps: u64,
}

/// The best `wanted` placings that differ in what they give.
pub(super) fn search(panel: &Panel, wanted: usize) -> Search {
    search_within(panel, wanted, MOST_STEPS)
}

pub(super) fn search_within(panel: &Panel, wanted: usize, most_steps: u64) -> Search {
    let wanted = wanted.max(1);
    if panel.figure() == Figure::FourPiece {
        return search_rows(panel, wanted);
    }
    let pieces = Pieces::of(panel);
    let mut best = Best::new(wanted);
    for order in good_orders(&pieces) {
        let faults = pieces.faults(&order);
        best.offer(&order, faults, pieces.weights.of(faults));
    }
    if pieces.sets.len() > MOST_SETS {
        return best.into_search(
            |order| pieces.placing(order),
            least_score(&pieces),
            false,
            0,
        );
    }
    let subsets = Subsets::of(&pieces);
    let mut walk = Walk {
        pieces: &pieces,
        subsets: &subsets,
        best,
        order: Vec::with_capacity(pieces.sets.len()),
        steps: 0,
        most_steps,
        open: f64::INFINITY,
    };
    let all = (1_usize << pieces.sets.len()) - 1;
    walk.step(all, &Start::default());
    let Walk {
        best, steps, open, ..
    } = walk;
    let complete = open == f64::INFINITY;
    let bound = best.least().min(open);
    best.into_search(|order| pieces.placing(order), bound, complete, steps)
}

/// What no placing of however many sets can be better than: the twist that all share, and the
/// seam misfit inside the sets.
fn least_score(pieces: &Pieces<'_>) -> f64 {
    let seam = pieces
        .sets
        .iter()
        .map(|set| {
            set.iter()
                .map(|piece| piece.inner_misfit)
                .fold(f64::INFINITY, f64::min)
        })
        .fold(0.0, f64::max);
    let (least, greatest) = pieces
        .sets
        .iter()
        .fold((0.0, 0.0), |(least, greatest), set| {
            let bows = || set.iter().map(|piece| piece.bow);
            (
                least + bows().fold(f64::INFINITY, f64::min),
                greatest + bows().fold(f64::NEG_INFINITY, f64::max),
            )
        });
    let bow = f64::max(least, -greatest).max(0.0);
    pieces.weights.of(Faults {
        bow,
        cup: 0.0,
        twist: pieces.twist,
        seam,
    })
}

/// The placings kept, one for each kind of outcome.
pub(super) struct Best {
    wanted: usize,
    kept: Vec<(OutcomeKind, f64, Vec<(usize, usize)>)>,
}

/// Bow, cup and seam misfit in steps of [`SAME_MM`].
type OutcomeKind = [i64; 3];

fn kind(faults: Faults) -> OutcomeKind {
    // Sizes are far below 2^53 steps: the cast keeps them.
    [faults.bow.abs(), faults.cup.abs(), faults.seam].map(|mm| (mm / SAME_MM).round() as i64)
}

impl Best {
    pub const fn new(wanted: usize) -> Self {
        Self {
            wanted,
            kept: Vec::new(),
        }
    }

    /// A placing must score less than this to change the list.
    fn limit(&self) -> f64 {
        if self.kept.len() < self.wanted {
            f64::INFINITY
        } else {
            self.kept[self.kept.len() - 1].1
        }
    }

    pub fn least(&self) -> f64 {
        self.kept.first().map_or(f64::INFINITY, |kept| kept.1)
    }

    pub fn offer(&mut self, order: &[(usize, usize)], faults: Faults, score: f64) {
        if score >= self.limit() {
            return;
        }
        let kind = kind(faults);
        if let Some(at) = self.kept.iter().position(|kept| kept.0 == kind) {
            if score >= self.kept[at].1 {
                return;
            }
            self.kept.remove(at);
        }
        let at = self.kept.partition_point(|kept| kept.1 <= score);
        self.kept.insert(at, (kind, score, order.to_vec()));
        self.kept.truncate(self.wanted);
    }

    pub fn into_search(
        self,
        placing: impl Fn(&[(usize, usize)]) -> Placing,
        bound: f64,
        complete: bool,
        steps: u64,
    ) -> Search {
        Search {
            best: self
                .kept
                .into_iter()
                .map(|(_, score, order)| Found {
                    placing: placing(&order),
                    score,
                })
                .collect(),
            bound,
            complete,
            steps,
        }
    }
}

/// What is laid so far.
#[derive(Debug, Clone, Copy)]
struct Start {
    chain: Chain,
    bow: f64,
    seam: f64,
    /// Bow of the last leaf, and its key.
    last: Option<(f64, usize)>,
    /// Where the far end of the panel may yet stand.
    end: (f64, f64),
    /// Class of the first set.
    first_class: usize,
}

impl Default for Start {
    fn default() -> Self {
        Self {
            chain: Chain::default(),
            bow: 0.0,
            seam: 0.0,
            last: None,
            end: (f64::NEG_INFINITY, f64::INFINITY),
            first_class: 0,
        }
    }
}

struct Walk<'a> {
    pieces: &'a Pieces<'a>,
    subsets: &'a Subsets,
    best: Best,
    order: Vec<(usize, usize)>,
    steps: u64,
    most_steps: u64,
    /// The least that a branch left open could score.
    open: f64,
}

impl Walk<'_> {
    fn step(&mut self, in_hand: usize, start: &Start) {
        if in_hand == 0 {
            let faults = self.pieces.faults(&self.order);
            self.best
                .offer(&self.order, faults, self.pieces.weights.of(faults));
            return;
        }
        let mut next: Vec<(f64, usize, usize, Start)> = Vec::new();
        for set in members(in_hand) {
            let class = self.pieces.class[set];
            // Of sets that measure alike the first in the list is laid first.
            if members(in_hand & ((1 << set) - 1))
                .any(|earlier| self.pieces.class[earlier] == class)
            {
                continue;
            }
            let first_class = if self.order.is_empty() {
                class
            } else {
                start.first_class
            };
            let rest = in_hand & !(1 << set);
            // Turned half round, a panel ends with the set it began with: the end of the higher class lies right.
            let right = if rest == 0 { 1 << set } else { rest };
            if members(right).all(|last| self.pieces.class[last] < first_class) {
                continue;
            }
            for state in 0..self.pieces.sets[set].len() {
                self.steps += 1;
                if let Some((least, mut laid)) = self.laid(rest, start, set, state) {
                    laid.first_class = first_class;
                    next.push((least, set, state, laid));
                }
            }
        }
        next.sort_by(|a, b| a.0.total_cmp(&b.0));
        for (least, set, state, laid) in next {
            if least >= self.best.limit() {
                break;
            }
            if self.steps > self.most_steps {
                self.open = self.open.min(least);
                break;
            }
            self.order.push((set, state));
            self.step(in_hand & !(1 << set), &laid);
            self.order.pop();
        }
    }

    /// The start with one more set, and the least it can score; `None` where it cannot change the list.
    fn laid(&self, rest: usize, start: &Start, set: usize, state: usize) -> Option<(f64, Start)> {
        let piece = &self.pieces.sets[set][state];
        let (weights, width) = (&self.pieces.weights, self.pieces.width);
        let mut seam = start.seam.max(piece.inner_misfit);
        if let Some((last, _)) = start.last {
            seam = seam.max((piece.first_bow - last).abs());
        }
        let bow = start.bow + piece.bow;
        let least_seam = seam.max(if rest == 0 {
            0.0
        } else {
            self.subsets.least_misfit(rest, piece.last_key)
        });
        let flat = weights.bow * self.subsets.least_bow(rest, bow)
            + weights.twist * self.pieces.twist.abs()
            + weights.seam * least_seam;
        let room = self.best.limit() - flat;
        if room <= 0.0 {
            return None;
        }
        let chain = start.chain.with(piece.width, piece.end_z, piece.turn);
        let ahead = chain.z + chain.turn * self.subsets.width[rest];
        let (low, high) = self.subsets.rise[rest];
        let mut end = (
            start.end.0.max(ahead + low - 1e-9),
            start.end.1.min(ahead + high + 1e-9),
        );
        let mut least = flat;
        if weights.cup > 0.0 && room.is_finite() {
            let cup = room / weights.cup;
            for &point in &piece.tube {
                let (x, z) = start.chain.place(point);
                if x > 0.0 {
                    end.0 = end.0.max((z - cup) * width / x);
                    end.1 = end.1.min((z + cup) * width / x);
                }
            }
            if end.0 > end.1 {
                return None;
            }
            // The end stands nearest to where this set's own points want it.
            let own = piece
                .tube
                .iter()
                .map(|&point| {
                    let (x, z) = start.chain.place(point);
                    let away = |end: f64| x * end / width - z;
                    let (low, high) = (away(end.0), away(end.1));
                    low.max(-high).max(0.0)
                })
                .fold(0.0, f64::max);
            least += weights.cup * own;
        }
        Some((
            least,
            Start {
                chain,
                bow,
                seam,
                last: Some((piece.last_bow, piece.last_key)),
                end,
                first_class: start.first_class,
            },
        ))
    }
}
