//! The fewest stages, exactly: bounds from both sides, and between them a
//! search over the sets that can stand.
//!
//! A schedule is a run of smallest steps; a new stage opens when the next step
//! does not fit the present one. Of two ways to the same set, the one with
//! fewer stages, or as many and less of the last one used, is never worse, so
//! the other is dropped; sets that differ by swapped twins count as the same.

use super::lattice::{Lattice, Load, Standing, bits};
use super::symmetry::Twins;
use std::cmp::Reverse;
use std::collections::{BinaryHeap, HashMap};

/// Sets looked into before the search gives up proving.
pub(super) const PATIENCE: usize = 60_000;

/// A schedule: the joints of each stage.
pub(super) type Schedule = Vec<u128>;

/// What a search came to.
#[derive(Debug)]
pub(super) enum Found {
    /// A schedule.
    Yes(Schedule),
    /// There is none: proven.
    No,
    /// Patience ran out.
    Unsettled,
}

pub(super) struct Search<'a> {
    lattice: &'a Lattice,
    twins: Twins,
    free: u128,
    room: Load,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Label {
    stage: usize,
    used: Load,
}

impl Label {
    fn beats(self, other: Self) -> bool {
        self.stage < other.stage || (self.stage == other.stage && self.used.fits(other.used))
    }
}

impl<'a> Search<'a> {
    pub(super) fn new(lattice: &'a Lattice, room: Load) -> Self {
        Self {
            twins: Twins::of(lattice),
            free: lattice.free(),
            lattice,
            room,
        }
    }

    /// Fewer stages than this cannot do, whatever the order.
    pub(super) fn lower_bound(&self) -> usize {
        let times: Vec<u64> = self.lattice.time.clone();
        stages_for(&times, self.room.time)
            .max(stages_for(&self.lattice.clamps, self.room.clamps))
            .max(usize::from(self.lattice.joints() > 0))
    }

    /// A schedule by always taking the step that suits best, tried in several tempers.
    pub(super) fn greedy(&self) -> Option<Schedule> {
        let mut best: Option<Schedule> = None;
        for temper in 0..4 {
            if let Some(schedule) = self.greedy_by(temper)
                && best.as_ref().is_none_or(|best| schedule.len() < best.len())
            {
                best = Some(schedule);
            }
        }
        best
    }

    fn greedy_by(&self, temper: usize) -> Option<Schedule> {
        let mut at = self.lattice.nothing_done();
        let mut schedule: Schedule = Vec::new();
        if at.done != 0 {
            schedule.push(at.done);
        }
        let mut used = self.lattice.load(at.done);
        let mut last_body = None;
        while at.done != self.lattice.all() {
            let mut steps = self.steps(&at);
            steps.retain(|step| step.load.fits(self.room));
            let fits_now = |step: &Step| used.plus(step.load).fits(self.room);
            let pick = steps.iter().max_by_key(|step| {
                let weight = step.load.time.max(1);
                let near = last_body.is_some_and(|body: u8| {
                    self.lattice.ends[step.joint]
                        .map(|p| at.body[usize::from(p)])
                        .contains(&body)
                });
                let order = match temper {
                    0 => weight as i64,
                    1 => -(weight as i64),
                    2 => weight as i64 + if near { 1 << 40 } else { 0 },
                    _ => -(weight as i64) + if near { 1 << 40 } else { 0 },
                };
                (
                    !schedule.is_empty() && fits_now(step),
                    order,
                    Reverse(step.joint),
                )
            })?;
            let added = pick.to.done & !at.done;
            match schedule.last_mut() {
                Some(stage) if used.plus(pick.load).fits(self.room) => {
                    *stage |= added;
                    used = used.plus(pick.load);
                }
                _ => {
                    schedule.push(added);
                    used = pick.load;
                }
            }
            at = pick.to;
            last_body = Some(at.body[usize::from(self.lattice.ends[pick.joint][0])]);
        }
        Some(schedule)
    }

    /// A schedule of at most so many stages; what the search looks into is taken off the patience.
    pub(super) fn within(&self, stages: usize, patience: &mut usize) -> Found {
        let start = self.lattice.nothing_done();
        let used = self.lattice.load(start.done);
        if !used.fits(self.room) {
            return Found::No;
        }
        let mut dive = Dive {
            search: self,
            stages,
            left: *patience,
            seen: HashMap::new(),
            path: vec![(start.done, 0)],
        };
        let label = Label { stage: 0, used };
        let outcome = dive.down(&start, label);
        *patience = dive.left;
        match outcome {
            Some(true) => {
                let mut schedule = vec![0; stages];
                for (added, stage) in dive.path {
                    schedule[stage] |= added;
                }
                schedule.retain(|stage| *stage != 0);
                Found::Yes(schedule)
            }
            Some(false) => Found::No,
            None => Found::Unsettled,
        }
    }

    /// The order whose worst stage is the minimum, one smallest step a stage;
    /// the share of the room that this stage takes, in millionths. `None` when patience ran out.
    pub(super) fn min_worst(&self, patience: usize) -> Option<(u64, Schedule)> {
        let start = self.lattice.nothing_done();
        let mut nodes: Vec<(Standing, usize)> = vec![(start, 0)];
        let mut best: HashMap<u128, u64> = HashMap::new();
        let mut heap = BinaryHeap::new();
        let spanning = self.lattice.spanning_parts();
        let worst = self.share(self.lattice.load(start.done));
        heap.push((Reverse(worst), start.done.count_ones(), Reverse(0_usize)));
        while let Some((Reverse(worst), _, Reverse(node))) = heap.pop() {
            let at = nodes[node].0;
            if at.done == self.lattice.all() {
                let mut schedule = Vec::new();
                let mut back = node;
                while back != 0 {
                    let parent = nodes[back].1;
                    schedule.push(nodes[back].0.done & !nodes[parent].0.done);
                    back = parent;
                }
                if start.done != 0 {
                    schedule.push(start.done);
                }
                schedule.reverse();
                return Some((worst, schedule));
            }
            if nodes.len() > patience {
                return None;
            }
            for step in self.telling_steps(&at, &spanning) {
                let then = worst.max(self.share(step.load));
                let key = self.twins.standard(step.to.done);
                if best.get(&key).is_none_or(|known| then < *known) {
                    best.insert(key, then);
                    nodes.push((step.to, node));
                    heap.push((
                        Reverse(then),
                        step.to.done.count_ones(),
                        Reverse(nodes.len() - 1),
                    ));
                }
            }
        }
        None
    }

    /// The steps that matter for the worst stage. A part that only spans two others may as well
    /// be joined to one of them by its heavier joint, since until the two are one body it makes no
    /// difference which; and if it is trapped between them, at once.
    fn telling_steps(&self, at: &Standing, spanning: &[(usize, usize, bool)]) -> Vec<Step> {
        let mut steps = self.steps(at);
        let alone = |steps: &[Step], joint: usize| {
            steps
                .iter()
                .position(|step| step.to.done & !at.done == 1 << joint)
        };
        for (heavier, lighter, trapped) in spanning {
            let (Some(first), Some(second)) = (alone(&steps, *heavier), alone(&steps, *lighter))
            else {
                continue;
            };
            if *trapped {
                return vec![steps[first]];
            }
            steps.remove(second);
        }
        steps
    }

    /// Share of the room in millionths, rounded up.
    fn share(&self, load: Load) -> u64 {
        let part = |used: u64, room: u64| {
            if used == 0 {
                0
            } else {
                (used * 1_000_000).div_ceil(room.max(1))
            }
        };
        part(load.time, self.room.time).max(part(load.clamps, self.room.clamps))
    }

    fn steps(&self, at: &Standing) -> Vec<Step> {
        let mut steps: Vec<Step> = Vec::new();
        for joint in bits(self.lattice.all() & !at.done) {
            let to = self.lattice.step(at, joint);
            if steps.iter().any(|step| step.to.done == to.done) {
                continue;
            }
            steps.push(Step {
                joint,
                load: self.lattice.load(to.done & !at.done),
                to,
            });
        }
        steps
    }
}

#[derive(Debug, Clone, Copy)]
struct Step {
    joint: usize,
    load: Load,
    to: Standing,
}

struct Dive<'a> {
    search: &'a Search<'a>,
    stages: usize,
    left: usize,
    seen: HashMap<u128, Vec<Label>>,
    path: Vec<(u128, usize)>,
}

impl Dive<'_> {
    /// `Some(found)`, or `None` when patience ran out.
    fn down(&mut self, at: &Standing, label: Label) -> Option<bool> {
        let lattice = self.search.lattice;
        let room = self.search.room;
        let rest = lattice.all() & !at.done;
        if rest == 0 {
            return Some(true);
        }
        let more = (self.stages - 1 - label.stage) as u64;
        let needed = lattice.load(rest);
        let left = Load {
            time: room.time - label.used.time + more * room.time,
            clamps: (room.clamps - label.used.clamps)
                .saturating_add(more.saturating_mul(room.clamps)),
        };
        if !needed.fits(left) {
            return Some(false);
        }
        let key = self.search.twins.standard(at.done);
        let known = self.seen.entry(key).or_default();
        if known.iter().any(|other| other.beats(label)) {
            return Some(false);
        }
        known.retain(|other| !label.beats(*other));
        known.push(label);
        if self.left == 0 {
            return None;
        }
        self.left -= 1;
        let fits_now = |load: Load| label.used.plus(load).fits(room);
        let free_fits =
            bits(rest & self.search.free).any(|joint| fits_now(lattice.load(1 << joint)));
        let mut steps = self.search.steps(at);
        steps.retain(|step| {
            let now = fits_now(step.load);
            // A free joint that still fits may as well go in now.
            step.load.fits(room) && (now || (more > 0 && !free_fits))
        });
        steps.sort_by_key(|step| (!fits_now(step.load), Reverse(step.load.time), step.joint));
        for step in steps {
            let next = if fits_now(step.load) {
                Label {
                    stage: label.stage,
                    used: label.used.plus(step.load),
                }
            } else {
                Label {
                    stage: label.stage + 1,
                    used: step.load,
                }
            };
            self.path.push((step.to.done & !at.done, next.stage));
            if self.down(&step.to, next)? {
                return Some(true);
            }
            self.path.pop();
        }
        Some(false)
    }
}

/// Fewest bins for these sizes: the sum, and Fekete and Schepers' dual feasible
/// functions (Mathematical Programming 91, 2001; from memory), which see that
/// three of 0.4 need two bins.
pub(in crate::carcass) fn stages_for(sizes: &[u64], room: u64) -> usize {
    let total: u64 = sizes.iter().sum();
    if total == 0 || room == 0 || room == u64::MAX {
        return usize::from(total > 0);
    }
    let mut most = total.div_ceil(room) as usize;
    for k in 1..=30_u64 {
        // Each size counts for k times its value, in units of the room.
        let mut sum = 0.0;
        for size in sizes {
            let parts = (k + 1) * size;
            sum += if parts % room == 0 {
                (k * size) as f64 / room as f64
            } else {
                (parts / room) as f64
            };
        }
        most = most.max((sum / k as f64 - 1e-9).ceil() as usize);
    }
    most
}
