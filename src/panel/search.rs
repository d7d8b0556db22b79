//! The best layout under the match's rule.
//!
//! The faces are chosen first ([`super::bows`]). Then a branch-and-bound search lays the sets from left to right. What is laid fixes
//! its own seams, its part of the bow and the line of its face but for one number: how high the far end of the
//! panel will stand. Every point laid allows that number an interval, given the cup the score still has
//! room for; the sets in hand allow another, known for each subset from the subsets one smaller. Where
//! the two do not meet, or where bow and seams alone exceed the room, nothing under that start can win and the branch
//! is cut. Turning the whole panel half round is the same panel and is searched once; so are leaves that
//! measure alike, and starts of the same sets and shapes that differ only in an order that no longer matters.

use super::bows::{choices, min_of_all};
use super::four_way::search_rows;
use super::laying::Panel;
use super::leaf_match::{Layout, LeafMatch};
use super::line::Chain;
use super::pieces::{Pieces, Subsets, members};
use super::score::Faults;
use super::start::{Order, cooled, offer_bettered, offer_good_orders};
use crate::numerics::Deadline;
use std::collections::HashSet;

/// Most sets for which subsets are tabled: beyond it the best found is given with a bound.
pub(super) const MOST_SETS: usize = 16;

/// Layouts whose bow, cup, twist and seam misfit agree to this many millimetres are one to the maker.
pub(super) const SAME_MM: f64 = 0.1;

/// Most starts remembered, so that memory stays bounded.
const MOST_REMEMBERED: usize = 1_000_000;

/// What a search gives.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Search {
    /// The best layout that differs from those known; `None` when there is none.
    pub best: Option<Layout>,
    /// No such layout scores less than this.
    pub bound: f64,
    /// Whether every layout was looked at or cut off.
    pub complete: bool,
    /// Starts looked at.
    pub steps: u64,
}

/// Starts looked at before orders are cooled.
const STEPS_BEFORE_COOLING: u64 = 3_000_000;

/// The best layout that truly differs from those known, within so many starts looked at and before the deadline; cut
/// off, it gives the best met and what no layout can beat. `met` keeps the orders that cooling found for the searches
/// that follow.
pub(super) fn search(
    panel: &Panel,
    known: &[Faults],
    most_steps: u64,
    met: &mut Option<Vec<Order>>,
    deadline: Deadline<'_>,
) -> Search {
    let mut best = Best::new(known, deadline);
    if panel.leaf_match() == LeafMatch::FourWay {
        return search_rows(panel, best);
    }
    let pieces = Pieces::of(panel);
    offer_good_orders(&pieces, &mut best);
    let countable = pieces.sets.len() <= MOST_SETS;
    if countable && met.is_none() {
        let walked = walk(&pieces, best, most_steps.min(STEPS_BEFORE_COOLING));
        if walked.complete || deadline.is_over() {
            return walked.given(&pieces);
        }
        best = walked.best;
    }
    let met = met.get_or_insert_with(|| cooled(&pieces, deadline));
    offer_bettered(&pieces, &mut best, met);
    if countable {
        walk(&pieces, best, most_steps).given(&pieces)
    } else {
        let bound = min_of_all(&pieces);
        best.into_search(|order| pieces.layout(order), bound, false, 0)
    }
}

/// What a walk through the choices of faces came to.
struct Walked<'k> {
    best: Best<'k>,
    bound: f64,
    complete: bool,
    steps: u64,
}

impl Walked<'_> {
    fn given(self, pieces: &Pieces<'_>) -> Search {
        self.best.into_search(
            |order| pieces.layout(order),
            self.bound,
            self.complete,
            self.steps,
        )
    }
}

/// Lays the sets, one choice of faces after another, until none can beat the best or the steps are used up.
fn walk<'k>(pieces: &Pieces<'_>, mut best: Best<'k>, mut most_steps: u64) -> Walked<'k> {
    let sets = pieces.sets.len();
    let mut steps = 0;
    let mut open = f64::INFINITY;
    for choice in choices(pieces) {
        if choice.min >= best.limit() {
            break;
        }
        if steps > most_steps {
            open = open.min(choice.min);
            break;
        }
        let chosen = pieces.with_bows(&choice.bows);
        let subsets = Subsets::of(&chosen);
        // Filling the tables costs about as much as so many starts.
        steps += (sets << sets) as u64 / 4;
        let subset = |holds: &dyn Fn(usize) -> bool| {
            (0..sets)
                .filter(|&set| holds(set))
                .fold(0, |mask, set| mask | 1 << set)
        };
        let class = &chosen.class;
        let mut walk = Walk {
            alike: (0..sets)
                .map(|set| subset(&|other| class[other] == class[set]))
                .collect(),
            no_lower: (0..sets)
                .map(|first| subset(&|other| class[other] >= first))
                .collect(),
            spare: (0..=sets).map(|_| Vec::new()).collect(),
            remembered: chosen.repeats_shapes().then(HashSet::new),
            whole: pieces,
            pieces: &chosen,
            subsets: &subsets,
            best,
            order: Vec::with_capacity(sets),
            steps,
            most_steps,
            open,
        };
        walk.step((1 << sets) - 1, &Start::default());
        (best, steps, open, most_steps) = (walk.best, walk.steps, walk.open, walk.most_steps);
    }
    Walked {
        bound: best.limit().min(open),
        complete: open == f64::INFINITY,
        best,
        steps,
    }
}

/// The best layout met that differs from those known.
pub(super) struct Best<'a> {
    known: &'a [Faults],
    deadline: Deadline<'a>,
    score: f64,
    order: Option<Vec<(usize, usize)>>,
}

/// Whether two layouts are one to the maker.
fn same(one: Faults, other: Faults) -> bool {
    [
        (one.bow, other.bow),
        (one.cup, other.cup),
        (one.twist, other.twist),
        (one.seam, other.seam),
    ]
    .into_iter()
    .all(|(a, b)| (a.abs() - b.abs()).abs() < SAME_MM)
}

impl<'a> Best<'a> {
    pub(super) const fn new(known: &'a [Faults], deadline: Deadline<'a>) -> Self {
        Self {
            known,
            deadline,
            score: f64::INFINITY,
            order: None,
        }
    }

    /// A layout must score less than this to be the best.
    pub(super) const fn limit(&self) -> f64 {
        self.score
    }

    /// Whether the time to look for a better one is over.
    pub(super) fn is_late(&self) -> bool {
        self.deadline.is_over()
    }

    pub(super) fn offer(&mut self, order: &[(usize, usize)], faults: Faults, score: f64) {
        if score < self.score && !self.known.iter().any(|&known| same(known, faults)) {
            self.score = score;
            self.order = Some(order.to_vec());
        }
    }

    pub(super) fn into_search(
        self,
        layout: impl Fn(&[(usize, usize)]) -> Layout,
        bound: f64,
        complete: bool,
        steps: u64,
    ) -> Search {
        Search {
            best: self.order.map(|order| layout(&order)),
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
    /// Slopes that the line to the far end of the panel may yet have.
    slope: (f64, f64),
    /// Class of the first set.
    first_class: usize,
    /// The maximum cup that one of the sets has by itself.
    own_cup: f64,
    /// The shapes laid, a byte each.
    shapes: u128,
}

/// All that the rest of a panel's score hangs on: two starts that agree in it end alike.
type Remembered = (usize, usize, i64, i64, usize, u128);

impl Default for Start {
    fn default() -> Self {
        Self {
            chain: Chain::default(),
            bow: 0.0,
            seam: 0.0,
            last: None,
            slope: (f64::NEG_INFINITY, f64::INFINITY),
            first_class: 0,
            own_cup: 0.0,
            shapes: 0,
        }
    }
}

/// A set that may be laid next, and the minimum that can come of it.
struct Next {
    min: f64,
    set: usize,
    state: usize,
    laid: Start,
}

struct Walk<'a, 'k> {
    /// All states of all sets.
    whole: &'a Pieces<'a>,
    /// The starts looked at, where leaves repeat one another's shapes.
    remembered: Option<HashSet<Remembered>>,
    /// The states with the chosen faces up.
    pieces: &'a Pieces<'a>,
    subsets: &'a Subsets,
    /// For each set those that measure alike, and for each class the sets of no lower one, as members of a subset.
    alike: Vec<usize>,
    no_lower: Vec<usize>,
    best: Best<'k>,
    order: Vec<(usize, usize)>,
    /// Room for what may be laid next, by the number of sets laid.
    spare: Vec<Vec<Next>>,
    steps: u64,
    most_steps: u64,
    /// The minimum that a branch left open could score.
    open: f64,
}

impl Walk<'_, '_> {
    fn step(&mut self, in_hand: usize, start: &Start) {
        if in_hand == 0 {
            let faults = self.whole.faults(&self.order);
            self.best
                .offer(&self.order, faults, self.pieces.weights.of(faults));
            return;
        }
        if self.best.is_late() {
            self.most_steps = 0;
        }
        let mut next = std::mem::take(&mut self.spare[self.order.len()]);
        next.clear();
        for set in members(in_hand) {
            // Of sets that measure alike the first in the list is laid first.
            if in_hand & self.alike[set] & ((1 << set) - 1) != 0 {
                continue;
            }
            let first_class = if self.order.is_empty() {
                self.pieces.class[set]
            } else {
                start.first_class
            };
            let rest = in_hand & !(1 << set);
            // Turned half round, a panel ends with the set it began with: the end of the higher class lies right.
            let right = if rest == 0 { 1 << set } else { rest };
            if right & self.no_lower[first_class] == 0 {
                continue;
            }
            for state in 0..self.pieces.sets[set].len() {
                self.steps += 1;
                if let Some((min, mut laid)) = self.laid(rest, start, set, state) {
                    laid.first_class = first_class;
                    next.push(Next {
                        min,
                        set,
                        state,
                        laid,
                    });
                }
            }
        }
        let mut ranks: Vec<usize> = (0..next.len()).collect();
        ranks.sort_by(|&a, &b| next[a].min.total_cmp(&next[b].min));
        for rank in ranks {
            let Next {
                min,
                set,
                state,
                laid,
            } = &next[rank];
            if *min >= self.best.limit() {
                break;
            }
            if self.steps > self.most_steps {
                self.open = self.open.min(*min);
                break;
            }
            let rest = in_hand & !(1 << set);
            if self.was_looked_at(rest, laid) {
                continue;
            }
            self.order
                .push((*set, self.pieces.sets[*set][*state].state));
            self.step(rest, laid);
            self.order.pop();
        }
        self.spare[self.order.len()] = next;
    }

    fn was_looked_at(&mut self, in_hand: usize, start: &Start) -> bool {
        let Some(remembered) = self
            .remembered
            .as_mut()
            .filter(|remembered| remembered.len() < MOST_REMEMBERED)
        else {
            return false;
        };
        // Sums that differ by rounding alone agree to a millionth of a micrometre.
        let step = |mm: f64| (mm * 1e9).round() as i64;
        let last_key = start.last.map_or(0, |(_, key)| key);
        !remembered.insert((
            in_hand,
            last_key,
            step(start.bow),
            step(start.seam),
            start.first_class,
            start.shapes,
        ))
    }

    /// The start with one more set, and the minimum it can score; `None` where it cannot change the list.
    fn laid(&self, rest: usize, start: &Start, set: usize, state: usize) -> Option<(f64, Start)> {
        let piece = &self.pieces.sets[set][state];
        let (weights, width) = (&self.pieces.weights, self.pieces.width);
        let mut seam = start.seam.max(piece.inner_misfit);
        if let Some((last, _)) = start.last {
            seam = seam.max((piece.first_bow - last).abs());
        }
        let bow = start.bow + piece.bow;
        let min_seam = seam.max(if rest == 0 {
            0.0
        } else {
            self.subsets.min_misfit(rest, piece.last_key)
        });
        let flat = weights.bow * self.subsets.min_bow(rest, bow)
            + weights.twist * self.pieces.twist.abs()
            + weights.seam * min_seam;
        let own_cup = start
            .own_cup
            .max(piece.own_cup)
            .max(self.subsets.own_cup[rest]);
        let room = self.best.limit() - flat;
        if room <= weights.cup * own_cup {
            return None;
        }
        let chain = start.chain.with(piece.width, piece.end_z, piece.turn);
        let ahead = chain.z + chain.turn * self.subsets.width[rest];
        let (low, high) = self.subsets.rise[rest];
        let mut slope = (
            start.slope.0.max((ahead + low - 1e-9) / width),
            start.slope.1.min((ahead + high + 1e-9) / width),
        );
        let mut min = flat + weights.cup * own_cup;
        if weights.cup > 0.0 && room.is_finite() {
            let cup = room / weights.cup;
            for &point in &piece.tube {
                let (x, z) = start.chain.place(point);
                if x > 0.0 {
                    if z - cup > slope.0 * x {
                        slope.0 = (z - cup) / x;
                    }
                    if z + cup < slope.1 * x {
                        slope.1 = (z + cup) / x;
                    }
                }
            }
            if slope.0 > slope.1 {
                return None;
            }
            // The end stands nearest to where this set's own points want it.
            let own = piece
                .tube
                .iter()
                .map(|&point| {
                    let (x, z) = start.chain.place(point);
                    (x * slope.0 - z).max(z - x * slope.1)
                })
                .fold(own_cup, f64::max);
            min = flat + weights.cup * own;
        }
        Some((
            min,
            Start {
                chain,
                bow,
                seam,
                last: Some((piece.last_bow, piece.last_key)),
                slope,
                first_class: start.first_class,
                own_cup: start.own_cup.max(piece.own_cup),
                shapes: start.shapes << 8 | piece.shape as u128,
            },
        ))
    }
}
