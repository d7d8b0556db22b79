//! Which sets of joints can stand done at the end of a stage.
//!
//! Doing one joint may force others: those between parts that become one body,
//! and those of a part that this body would lock out. Both rules only ever add,
//! so the sets that can stand are the closed sets of a closure, and every stage
//! is a run of smallest steps from one closed set to a greater one.

use super::piece::{GlueTerms, Piece};

/// Most parts and most joints.
pub(super) const MOST: usize = 128;

/// A piece in bit sets; times in milliseconds.
#[derive(Debug, Clone)]
pub(super) struct Lattice {
    pub ends: Vec<[u8; 2]>,
    pub glued: u128,
    /// Parts between which something is trapped, and the joints that must then be done.
    pub traps: Vec<(u128, u128)>,
    pub time: Vec<u64>,
    pub clamps: Vec<u64>,
    pub parts: usize,
}

/// Joints done, and for each part the minimum part of its rigid body.
#[derive(Debug, Clone, Copy)]
pub(super) struct Standing {
    pub done: u128,
    pub body: [u8; MOST],
}

/// What a set of joints takes of a stage.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) struct Load {
    pub time: u64,
    pub clamps: u64,
}

impl Load {
    pub(super) fn plus(self, other: Self) -> Self {
        Self {
            time: self.time + other.time,
            clamps: self.clamps + other.clamps,
        }
    }

    pub(super) fn fits(self, room: Self) -> bool {
        self.time <= room.time && self.clamps <= room.clamps
    }
}

/// The joints of a set.
pub(super) fn bits(mut set: u128) -> impl Iterator<Item = usize> {
    std::iter::from_fn(move || {
        (set != 0).then(|| {
            let bit = set.trailing_zeros() as usize;
            set &= set - 1;
            bit
        })
    })
}

impl Lattice {
    pub(super) fn new(piece: &Piece, terms: &GlueTerms) -> Self {
        let ends: Vec<[u8; 2]> = piece
            .joints
            .iter()
            .map(|joint| joint.between.map(|part| part as u8))
            .collect();
        let mut glued = 0;
        for (index, joint) in piece.joints.iter().enumerate() {
            glued |= u128::from(joint.glued) << index;
        }
        let traps = piece
            .all_traps()
            .iter()
            .map(|trap| {
                let between = trap
                    .between
                    .iter()
                    .fold(0, |set, part| set | 1_u128 << part);
                let mut joints = 0;
                for (index, joint) in piece.joints.iter().enumerate() {
                    let [a, b] = joint.between;
                    let other = if a == trap.part { b } else { a };
                    let own = a == trap.part || b == trap.part;
                    if own && between >> other & 1 == 1 {
                        joints |= 1_u128 << index;
                    }
                }
                (between, joints)
            })
            .collect();
        Self {
            glued,
            traps,
            time: piece
                .joints
                .iter()
                .map(|joint| (terms.joint_time(joint).seconds() * 1000.0).ceil() as u64)
                .collect(),
            clamps: piece
                .joints
                .iter()
                .map(|joint| {
                    if joint.glued {
                        u64::from(joint.clamps)
                    } else {
                        0
                    }
                })
                .collect(),
            parts: piece.parts.len(),
            ends,
        }
    }

    pub(super) fn joints(&self) -> usize {
        self.ends.len()
    }

    pub(super) fn all(&self) -> u128 {
        match self.joints() {
            MOST => u128::MAX,
            count => (1_u128 << count) - 1,
        }
    }

    pub(super) fn nothing_done(&self) -> Standing {
        let mut body = [0; MOST];
        for (part, label) in body.iter_mut().enumerate() {
            *label = part as u8;
        }
        let mut start = Standing { done: 0, body };
        self.close(&mut start);
        start
    }

    /// The smallest set that can stand and holds this joint too.
    pub(super) fn step(&self, from: &Standing, joint: usize) -> Standing {
        let mut to = *from;
        self.add(&mut to, joint);
        self.close(&mut to);
        to
    }

    pub(super) fn load(&self, set: u128) -> Load {
        bits(set).fold(Load::default(), |load, joint| {
            load.plus(Load {
                time: self.time[joint],
                clamps: self.clamps[joint],
            })
        })
    }

    fn add(&self, standing: &mut Standing, joint: usize) {
        standing.done |= 1 << joint;
        if self.glued >> joint & 1 == 0 {
            return;
        }
        let [a, b] = self.ends[joint].map(|part| standing.body[usize::from(part)]);
        if a != b {
            let (keep, lose) = (a.min(b), a.max(b));
            for label in &mut standing.body[..self.parts] {
                if *label == lose {
                    *label = keep;
                }
            }
        }
    }

    fn close(&self, standing: &mut Standing) {
        loop {
            let before = standing.done;
            for joint in bits(self.all() & !standing.done) {
                let [a, b] = self.ends[joint].map(|part| standing.body[usize::from(part)]);
                if a == b {
                    standing.done |= 1 << joint;
                }
            }
            for (between, joints) in &self.traps {
                if standing.done & joints == *joints {
                    continue;
                }
                let mut bodies = bits(*between).map(|part| standing.body[part]);
                let first = bodies.next();
                if bodies.all(|body| Some(body) == first) {
                    for joint in bits(joints & !standing.done) {
                        self.add(standing, joint);
                    }
                }
            }
            if standing.done == before {
                return;
            }
        }
    }

    /// Joints that neither force others nor are forced: a part's only joint,
    /// where the part is in no trap; and every joint that is the only way
    /// between two halves of the piece where nothing is trapped.
    pub(super) fn free(&self) -> u128 {
        let trapped = self
            .traps
            .iter()
            .fold((0_u128, 0_u128), |(parts, joints), trap| {
                (parts | trap.0, joints | trap.1)
            });
        let mut free = 0;
        for (joint, [a, b]) in self.ends.iter().enumerate() {
            if trapped.1 >> joint & 1 == 1 {
                continue;
            }
            let lone = [*a, *b].into_iter().any(|part| {
                let own = self.ends.iter().filter(|ends| ends.contains(&part)).count();
                own == 1 && trapped.0 >> part & 1 == 0
            });
            if lone || (self.traps.is_empty() && self.is_bridge(joint)) {
                free |= 1 << joint;
            }
        }
        free
    }

    fn is_bridge(&self, bridge: usize) -> bool {
        let mut reached = 1_u128 << self.ends[bridge][0];
        loop {
            let before = reached;
            for (joint, [a, b]) in self.ends.iter().enumerate() {
                if joint != bridge && (reached >> a & 1 == 1 || reached >> b & 1 == 1) {
                    reached |= 1 << a | 1 << b;
                }
            }
            if reached == before {
                return reached >> self.ends[bridge][1] & 1 == 0;
            }
        }
    }

    /// Parts with one glued joint to each of two others and no say in where anything else
    /// is trapped: the heavier joint, the lighter, and whether the part is trapped between the two.
    /// Parts whose joints cannot be compared, one longer and one with more clamps, are left out.
    pub(super) fn spanning_parts(&self) -> Vec<(usize, usize, bool)> {
        let mut list = Vec::new();
        for part in 0..self.parts {
            let own: Vec<usize> = (0..self.joints())
                .filter(|joint| self.ends[*joint].contains(&(part as u8)))
                .collect();
            let &[first, second] = own.as_slice() else {
                continue;
            };
            let set = 1_u128 << first | 1_u128 << second;
            let far = |joint: usize| {
                let [a, b] = self.ends[joint].map(usize::from);
                if a == part { b } else { a }
            };
            let hosts = 1_u128 << far(first) | 1_u128 << far(second);
            let plain = self.glued & set == set
                && hosts.count_ones() == 2
                && self.traps.iter().all(|(between, joints)| {
                    between >> part & 1 == 0
                        && (joints & set == 0 || (joints & set == set && *between == hosts))
                });
            if !plain {
                continue;
            }
            let (a, b) = (self.load(1 << first), self.load(1 << second));
            let trapped = self.traps.iter().any(|(_, joints)| joints & set == set);
            if b.fits(a) {
                list.push((first, second, trapped));
            } else if a.fits(b) {
                list.push((second, first, trapped));
            }
        }
        list
    }
}
