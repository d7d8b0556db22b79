//! The moves of a piece laid into the fewest stages.

use super::splits::{Load, Split, Splits};
use std::collections::HashMap;

/// Bodies looked into before the search gives up proving.
const PATIENCE: usize = 40_000;

/// The stages, last first, each with its splits, last first.
pub(super) type Backward = Vec<Vec<Split>>;

/// What the search came to.
pub(super) struct Staged {
    pub backward: Backward,
    pub proven: bool,
}

/// The fewest stages from `at_least` on. `None` when no plan was found within the patience.
pub(super) fn fewest(splits: &mut Splits, at_least: usize, at_most: usize) -> Option<Staged> {
    let whole = splits.whole();
    let start = if whole.is_power_of_two() {
        Vec::new()
    } else {
        vec![whole]
    };
    let mut proven = splits.is_exact();
    for stages in at_least.max(1)..=at_most.max(at_least) {
        let mut dive = Dive {
            splits,
            stages,
            left: PATIENCE,
            seen: HashMap::new(),
            path: vec![Vec::new(); stages],
        };
        match dive.down(&start, 0, Load::default()) {
            Some(true) => {
                let backward = dive
                    .path
                    .into_iter()
                    .filter(|stage| !stage.is_empty())
                    .collect();
                return Some(Staged {
                    backward,
                    proven: proven || stages <= at_least.max(1),
                });
            }
            Some(false) => {}
            None => proven = false,
        }
    }
    None
}

struct Dive<'s> {
    splits: &'s mut Splits,
    stages: usize,
    left: usize,
    /// For bodies still to be taken apart the stage and what of it was used when they were met.
    seen: HashMap<Vec<u128>, Vec<(usize, Load)>>,
    path: Backward,
}

impl Dive<'_> {
    /// `Some(found)`, or `None` when patience ran out.
    fn down(&mut self, bodies: &[u128], stage: usize, used: Load) -> Option<bool> {
        if bodies.is_empty() {
            return Some(true);
        }
        let room = self.splits.room;
        let rest = bodies.iter().fold(Load::default(), |sum, body| {
            sum.plus(self.splits.within(*body))
        });
        let more = (self.stages - 1 - stage) as u64;
        let left = Load {
            milliseconds: room.milliseconds - used.milliseconds + more * room.milliseconds,
            clamps: (room.clamps - used.clamps).saturating_add(more.saturating_mul(room.clamps)),
            joints: 0,
        };
        if !rest.fits(left) {
            return Some(false);
        }
        let known = self.seen.entry(bodies.to_vec()).or_default();
        let beats = |one: (usize, Load), other: (usize, Load)| {
            one.0 < other.0 || (one.0 == other.0 && one.1.fits(other.1))
        };
        if known.iter().any(|&other| beats(other, (stage, used))) {
            return Some(false);
        }
        known.retain(|&other| !beats((stage, used), other));
        known.push((stage, used));
        if self.left == 0 {
            return None;
        }
        self.left -= 1;
        for (index, &body) in bodies.iter().enumerate() {
            for split in self.splits.of(body) {
                // A split that still fits goes into the present stage; one that does not opens the next.
                let (then, load) = if used.plus(split.load).fits(room) {
                    (stage, used.plus(split.load))
                } else if more > 0 {
                    (stage + 1, split.load)
                } else {
                    continue;
                };
                let mut next: Vec<u128> = bodies.to_vec();
                next.remove(index);
                next.extend(
                    [split.off, split.stays]
                        .into_iter()
                        .filter(|body| !body.is_power_of_two()),
                );
                next.sort_unstable();
                self.path[then].push(split);
                if self.down(&next, then, load)? {
                    return Some(true);
                }
                self.path[then].pop();
            }
        }
        Some(false)
    }
}
