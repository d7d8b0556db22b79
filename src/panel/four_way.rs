//! The best four-way match: two rows tie every set to every other, so all
//! layouts are looked at; sixteen leaves have a hundred thousand.

use super::laying::Panel;
use super::leaf::Leaf;
use super::leaf_match::{Layout, Placed, Set};
use super::pieces::piece;
use super::score::Faults;
use super::search::{Best, MOST_SETS, Search};
use super::start::{most_bettered, start_orders};

/// Leaves in a set.
const LEAVES: usize = 4;

/// Looks at every layout; beyond sixteen leaves it betters the list as given and shuffles of it, and gives a bound.
pub(super) fn search_rows(panel: &Panel, best: Best<'_>) -> Search {
    let mut look = Look {
        panel,
        best,
        order: Vec::new(),
        steps: 0,
        left: usize::MAX,
    };
    let sets = panel.sets.len();
    let every = sets * LEAVES <= MOST_SETS;
    if every {
        look.every(&mut vec![true; sets]);
    } else {
        let states: Vec<usize> = panel.sets.iter().map(|set| set.states.len()).collect();
        for order in start_orders(&states) {
            look.left = most_bettered(sets);
            look.better(order);
        }
    }
    let complete = every && !look.best.is_late();
    let bound = if complete {
        look.best.limit()
    } else {
        min_of_rows(panel)
    };
    let Look { best, steps, .. } = look;
    best.into_search(|order| layout(&panel.sets, order), bound, complete, steps)
}

/// What no four-way match of these leaves can be better than.
///
/// The faces that show are fixed, so the moments of all bows are too: shared out to two rows, one of them bows at least as the
/// whole would (of two fractions one is no less than the sum of their numerators over that of their denominators). Twist
/// likewise, over the narrowest row there can be. Cup and seam cannot be better than the most cupped pair's flattest state and
/// the worst misfit within a pair.
fn min_of_rows(panel: &Panel) -> f64 {
    let sum = |size: fn(&Leaf) -> f64| panel.leaves().iter().map(size).sum::<f64>();
    let over = |moment: f64, weight: f64| if weight > 0.0 { moment / weight } else { 0.0 };
    let weight = sum(Leaf::bending_weight);
    let states = || {
        panel.sets.iter().map(|set| {
            set.states
                .iter()
                .map(|state| [0, 1].map(|row| piece(panel, &state[row], weight)))
        })
    };
    let (mut bow, mut cup, mut seam, mut width) = (0.0, 0.0_f64, 0.0_f64, 0.0);
    for set in states() {
        let (mut flattest, mut narrowest) = (f64::INFINITY, f64::INFINITY);
        for (at, rows) in set.enumerate() {
            if at == 0 {
                bow += rows.iter().map(|row| row.bow).sum::<f64>();
            }
            flattest = flattest.min(rows[0].own_cup.max(rows[1].own_cup));
            narrowest = narrowest.min(rows[0].width);
            seam = rows
                .iter()
                .fold(seam, |seam, row| seam.max(row.inner_misfit));
        }
        cup = cup.max(flattest);
        width += narrowest;
    }
    let twist = over(
        sum(|leaf| leaf.twisting_weight() * leaf.twist_per_area()),
        sum(Leaf::twisting_weight),
    ) * width
        * panel.leaf_length().mm();
    panel.weights().of(Faults {
        bow,
        cup,
        twist,
        seam,
    })
}

struct Look<'a> {
    panel: &'a Panel,
    best: Best<'a>,
    order: Vec<(usize, usize)>,
    steps: u64,
    /// Orders that may still be looked at.
    left: usize,
}

impl Look<'_> {
    fn score(&mut self, order: &[(usize, usize)]) -> f64 {
        if self.left == 0 || self.best.is_late() {
            self.left = 0;
            return f64::INFINITY;
        }
        self.left -= 1;
        self.steps += 1;
        let faults = self.panel.faults(&layout(&self.panel.sets, order));
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
            if self.left == 0 {
                return;
            }
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
        let mut min = self.score(&order);
        loop {
            let before = min;
            for i in 0..order.len() {
                for state in 0..self.panel.sets[order[i].0].states.len() {
                    let was = std::mem::replace(&mut order[i].1, state);
                    let new = self.score(&order);
                    if new < min - 1e-12 {
                        min = new;
                    } else {
                        order[i].1 = was;
                    }
                }
                for j in i + 1..order.len() {
                    order.swap(i, j);
                    let new = self.score(&order);
                    if new < min - 1e-12 {
                        min = new;
                    } else {
                        order.swap(i, j);
                    }
                }
            }
            if min >= before - 1e-12 {
                return;
            }
        }
    }
}

fn layout(sets: &[Set], order: &[(usize, usize)]) -> Layout {
    let row = |row: usize| -> Vec<Placed> {
        order
            .iter()
            .flat_map(|&(set, state)| sets[set].states[state][row].iter().copied())
            .collect()
    };
    Layout {
        rows: vec![row(0), row(1)],
    }
}

#[cfg(test)]
mod tests {
    use super::super::{EndForward, Layout, Leaf, LeafMatch, MoistureChange, Placed, Weights};
    use super::{Panel, min_of_rows};
    use crate::units::Length;

    /// Eight leaves, their two sets in every order and state given here a second time: none beats the bound, and without
    /// cup the bound is not far below; and the search finds the best of them.
    #[test]
    fn no_four_way_match_beats_the_bound() {
        let mm = Length::from_mm_unchecked;
        let leaves: Vec<Leaf> = [2.0, 3.1, 2.5, 1.0, -1.0, 0.5, 3.0, 2.2]
            .iter()
            .enumerate()
            .map(|(i, &bow)| {
                let width = mm(90.0 + 15.0 * (i / 2) as f64);
                let mut leaf = Leaf::new(format!("L{i}"), width, mm(9.5), mm(900.0), mm(bow));
                leaf.twist = mm(0.3 * i as f64 - 0.8);
                leaf.cup = mm(0.05 * i as f64);
                leaf
            })
            .collect();
        let panel = Panel::new(
            leaves,
            LeafMatch::FourWay,
            MoistureChange::default(),
            Weights::default(),
        )
        .expect("leaves by fours");
        let bound = min_of_rows(&panel);
        let rows = |set: usize, state: usize| {
            let [one, two] = [[0, 1], [2, 3]].map(|pair| pair.map(|leaf| leaf + 4 * set));
            let (forward, behind) = if state & 1 == 0 {
                (one, two)
            } else {
                (two, one)
            };
            let row = |pair: [usize; 2], swap: bool, near: bool| {
                let pair = if swap { [pair[1], pair[0]] } else { pair };
                pair.map(|leaf| Placed {
                    leaf,
                    face_up: super::super::FaceUp::Sawn,
                    end_forward: if near {
                        EndForward::Near
                    } else {
                        EndForward::Far
                    },
                })
            };
            let (flip, near) = (state & 2 != 0, state & 4 != 0);
            [row(forward, flip, near), row(behind, !flip, !near)]
        };
        let mut min = f64::INFINITY;
        for order in [[0, 1], [1, 0]] {
            for states in 0..64 {
                let sets = [rows(order[0], states & 7), rows(order[1], states >> 3)];
                let layout = Layout {
                    rows: vec![
                        [sets[0][0], sets[1][0]].concat(),
                        [sets[0][1], sets[1][1]].concat(),
                    ],
                };
                assert!(panel.keeps_rule(&layout));
                min = min.min(panel.shape_as_beam(&layout).score);
            }
        }
        let found = panel.best(1);
        assert!(found.first_is_proven);
        assert!((found.layouts[0].score - min).abs() < 1e-9);
        assert!(bound <= min, "{bound} above {min}");
        assert!(bound > 0.5 * min, "{bound} far below {min}");
    }
}
