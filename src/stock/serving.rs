//! Which leaf serves which part best: exact assignment.

use crate::units::Length;

/// The best way to serve parts from leaves.
#[derive(Debug, Clone, PartialEq)]
pub struct Assignment {
    /// For each part the leaf that serves it; `None` for a part that goes without.
    pub leaf_of: Vec<Option<usize>>,
    /// Sum of the costs of the parts served.
    pub cost: f64,
    /// Parts served.
    pub served: usize,
    /// Whether the search ended by itself, which proves the answer best; a search is broken off after
    /// [`MOST_TRIALS`].
    pub proven: bool,
}

/// Trials after which a search is broken off.
pub const MOST_TRIALS: usize = 5_000_000;

struct Search<'a> {
    costs: &'a [Vec<Option<f64>>],
    need: &'a [Length],
    kerf: f64,
    /// Parts, the minimum choosable first.
    order: Vec<usize>,
    /// From each place in the order on: parts that some leaf could serve, and the sum of their minimum costs.
    rest: Vec<(usize, f64)>,
    left: Vec<f64>,
    choice: Vec<Option<usize>>,
    best: Assignment,
    trials: usize,
    most_trials: usize,
}

/// Serves as many parts as can be, and those at the minimum cost. `costs[part][leaf]` is the cost of a part
/// from a leaf (such as the chance that its thickness is not there), `None` where it cannot come from it;
/// `need` is each part's length along the leaf, `leaf_lengths` what each leaf has. Parts lie end to end, each
/// cross-cut taking `kerf`. Exact by branch and bound.
///
/// # Panics
/// When the sizes do not belong together.
#[must_use]
pub fn assign(
    costs: &[Vec<Option<f64>>],
    need: &[Length],
    leaf_lengths: &[Length],
    kerf: Length,
) -> Assignment {
    assign_within(costs, need, leaf_lengths, kerf, MOST_TRIALS)
}

/// The same, broken off after so many trials: then the best that was found so far.
///
/// # Panics
/// As [`assign`].
#[must_use]
pub fn assign_within(
    costs: &[Vec<Option<f64>>],
    need: &[Length],
    leaf_lengths: &[Length],
    kerf: Length,
    most_trials: usize,
) -> Assignment {
    assert_eq!(costs.len(), need.len(), "a length for each part");
    assert!(
        costs.iter().all(|row| row.len() == leaf_lengths.len()),
        "a cost for each leaf"
    );
    let min = |part: usize| costs[part].iter().flatten().copied().reduce(f64::min);
    let mut order: Vec<usize> = (0..costs.len())
        .filter(|&part| min(part).is_some())
        .collect();
    let choices = |part: usize| costs[part].iter().flatten().count();
    order.sort_by(|&a, &b| {
        choices(a)
            .cmp(&choices(b))
            .then_with(|| need[b].mm().total_cmp(&need[a].mm()))
    });
    let mut rest = vec![(0, 0.0); order.len() + 1];
    for (i, &part) in order.iter().enumerate().rev() {
        rest[i] = (rest[i + 1].0 + 1, rest[i + 1].1 + min(part).unwrap_or(0.0));
    }
    let mut search = Search {
        costs,
        need,
        kerf: kerf.mm(),
        order,
        rest,
        // The last part of a leaf needs no cut after it.
        left: leaf_lengths
            .iter()
            .map(|leaf| leaf.mm() + kerf.mm())
            .collect(),
        choice: vec![None; costs.len()],
        best: Assignment {
            leaf_of: vec![None; costs.len()],
            cost: 0.0,
            served: 0,
            proven: true,
        },
        trials: 0,
        most_trials,
    };
    search.go(0, 0, 0.0);
    search.best.proven = search.trials < most_trials;
    search.best
}

impl Search<'_> {
    fn go(&mut self, place: usize, served: usize, cost: f64) {
        self.trials += 1;
        let better = served > self.best.served
            || (served == self.best.served && cost < self.best.cost - 1e-12);
        if better {
            self.best.leaf_of.clone_from(&self.choice);
            (self.best.served, self.best.cost) = (served, cost);
        }
        if place == self.order.len() || self.trials >= self.most_trials {
            return;
        }
        let (could, min) = self.rest[place];
        let cannot_beat = served + could < self.best.served
            || (served + could == self.best.served && cost + min >= self.best.cost - 1e-12);
        if cannot_beat {
            return;
        }
        let part = self.order[place];
        let length = self.need[part].mm() + self.kerf;
        let mut leaves: Vec<(f64, usize)> = self.costs[part]
            .iter()
            .enumerate()
            .filter_map(|(leaf, cost)| cost.map(|cost| (cost, leaf)))
            .filter(|&(_, leaf)| self.left[leaf] >= length - 1e-9)
            .collect();
        leaves.sort_by(|a, b| a.0.total_cmp(&b.0));
        for (i, &(of_leaf, leaf)) in leaves.iter().enumerate() {
            // Leaves alike in every way give the same answer: try the first of them only.
            let twin = leaves[..i].iter().any(|&(_, other)| {
                self.left[other].to_bits() == self.left[leaf].to_bits()
                    && self.order[place..]
                        .iter()
                        .all(|&part| self.costs[part][other] == self.costs[part][leaf])
            });
            if twin {
                continue;
            }
            self.left[leaf] -= length;
            self.choice[part] = Some(leaf);
            self.go(place + 1, served + 1, cost + of_leaf);
            self.choice[part] = None;
            self.left[leaf] += length;
        }
        self.go(place + 1, served, cost);
    }
}
