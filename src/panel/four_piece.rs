//! The best four-piece match: two rows tie every set to every other, so all
//! placings are looked at; sixteen leaves have a hundred thousand.

use super::figure::{Placed, Placing, Set};
use super::search::{Best, MOST_SETS, Search};
use super::shape::Panel;

/// Leaves in a set.
const LEAVES: usize = 4;

/// Looks at every placing; beyond sixteen leaves it betters the list as told and claims nothing but zero as a bound.
pub(super) fn search_rows(panel: &Panel, best: Best<'_>) -> Search {
    let mut look = Look {
        panel,
        best,
        order: Vec::new(),
        steps: 0,
    };
    let sets = panel.sets.len();
    let listed: Vec<(usize, usize)> = (0..sets).map(|set| (set, 0)).collect();
    let complete = sets * LEAVES <= MOST_SETS;
    if complete {
        look.every(&mut vec![true; sets]);
    } else {
        look.better(listed);
    }
    let bound = if complete { look.best.limit() } else { 0.0 };
    let Look { best, steps, .. } = look;
    best.into_search(|order| placing(&panel.sets, order), bound, complete, steps)
}

struct Look<'a> {
    panel: &'a Panel,
    best: Best<'a>,
    order: Vec<(usize, usize)>,
    steps: u64,
}

impl Look<'_> {
    fn score(&mut self, order: &[(usize, usize)]) -> f64 {
        self.steps += 1;
        let faults = self.panel.faults(&placing(&self.panel.sets, order));
        let score = self.panel.weights().of(faults);
        self.best.offer(order, faults, score);
        score
    }

    fn every(&mut self, in_hand: &mut Vec<bool>) {
        if self.order.len() == in_hand.len() {
            // Turned half round, the panel ends with the set it began with.
            if self.order.first().map(|one| one.0) <= self.order.last().map(|one| one.0) {
                let order = self.order.clone();
                self.score(&order);
            }
            return;
        }
        for set in 0..in_hand.len() {
            if !std::mem::replace(&mut in_hand[set], false) {
                continue;
            }
            for state in 0..self.panel.sets[set].states.len() {
                self.order.push((set, state));
                self.every(in_hand);
                self.order.pop();
            }
            in_hand[set] = true;
        }
    }

    fn better(&mut self, mut order: Vec<(usize, usize)>) {
        let mut least = self.score(&order);
        loop {
            let before = least;
            for i in 0..order.len() {
                for state in 0..self.panel.sets[order[i].0].states.len() {
                    let was = std::mem::replace(&mut order[i].1, state);
                    let new = self.score(&order);
                    if new < least - 1e-12 {
                        least = new;
                    } else {
                        order[i].1 = was;
                    }
                }
                for j in i + 1..order.len() {
                    order.swap(i, j);
                    let new = self.score(&order);
                    if new < least - 1e-12 {
                        least = new;
                    } else {
                        order.swap(i, j);
                    }
                }
            }
            if least >= before - 1e-12 {
                return;
            }
        }
    }
}

fn placing(sets: &[Set], order: &[(usize, usize)]) -> Placing {
    let row = |row: usize| -> Vec<Placed> {
        order
            .iter()
            .flat_map(|&(set, state)| sets[set].states[state][row].iter().copied())
            .collect()
    };
    Placing {
        rows: vec![row(0), row(1)],
    }
}
