//! Into which two bodies each body can be taken apart.

use super::MOST_EXACT;
use super::freedom::{Freedom, bits};
use crate::piece::BoxFace;
use std::collections::HashMap;

/// What the joints of a set take.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) struct Load {
    pub milliseconds: u64,
    pub clamps: u64,
    pub joints: u32,
}

impl Load {
    pub(super) const fn plus(self, other: Self) -> Self {
        Self {
            milliseconds: self.milliseconds + other.milliseconds,
            clamps: self.clamps + other.clamps,
            joints: self.joints + other.joints,
        }
    }

    pub(super) const fn fits(self, room: Self) -> bool {
        self.milliseconds <= room.milliseconds && self.clamps <= room.clamps
    }
}

/// One way to take a body apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Split {
    /// What is taken off.
    pub off: u128,
    /// What stays.
    pub stays: u128,
    /// Where it goes.
    pub leaving: BoxFace,
    /// The joints between the two.
    pub load: Load,
}

/// The splits of the bodies of a piece.
pub(super) struct Splits {
    pub freedom: Freedom,
    joints: Vec<(u128, Load)>,
    /// For few parts everything that is asked of a body again and again.
    tables: Option<Tables>,
    /// What one stage may take.
    pub room: Load,
    known: HashMap<u128, Vec<Split>>,
    buildable: HashMap<u128, bool>,
}

impl Splits {
    /// `joints` gives the two parts of each and what it takes.
    pub(super) fn new(freedom: Freedom, joints: Vec<(u128, Load)>, room: Load) -> Self {
        let tables = (freedom.parts <= MOST_EXACT).then(|| Tables::of(&freedom, &joints));
        Self {
            freedom,
            joints,
            tables,
            room,
            known: HashMap::new(),
            buildable: HashMap::new(),
        }
    }

    pub(super) fn whole(&self) -> u128 {
        u128::MAX
            .checked_shr(128 - self.freedom.parts as u32)
            .unwrap_or(0)
    }

    pub(super) const fn is_exact(&self) -> bool {
        self.tables.is_some()
    }

    fn may_stand(&self, body: u128) -> bool {
        match &self.tables {
            Some(tables) => tables.may_stand[body as usize],
            None => self.freedom.may_stand(body),
        }
    }

    /// The first direction in which a body can leave what stays.
    fn exit(&self, body: u128, rest: u128) -> Option<BoxFace> {
        match &self.tables {
            Some(tables) => (0..BoxFace::ALL.len())
                .find(|&index| tables.blocked[index][body as usize] & rest as u32 == 0)
                .map(|index| BoxFace::ALL[index]),
            None => self.freedom.exits(body, rest).next(),
        }
    }

    /// What the joints inside a body take.
    pub(super) fn within(&self, body: u128) -> Load {
        if let Some(tables) = &self.tables {
            return tables.within[body as usize];
        }
        self.joints
            .iter()
            .filter(|(ends, _)| ends & !body == 0)
            .fold(Load::default(), |sum, (_, load)| sum.plus(*load))
    }

    /// What the joints between the two halves of a body take.
    fn between(&self, one: u128, other: u128) -> Load {
        let (all, a, b) = (
            self.within(one | other),
            self.within(one),
            self.within(other),
        );
        Load {
            milliseconds: all.milliseconds - a.milliseconds - b.milliseconds,
            clamps: all.clamps - a.clamps - b.clamps,
            joints: all.joints - a.joints - b.joints,
        }
    }

    /// Whether a body can be taken apart to its parts, every step within one stage.
    pub(super) fn buildable(&mut self, body: u128) -> bool {
        if body.is_power_of_two() {
            return true;
        }
        if let Some(&known) = self.buildable.get(&body) {
            return known;
        }
        let found = self.may_stand(body)
            && self.candidates(body).into_iter().any(|(off, stays)| {
                self.split(off, stays).is_some() && self.buildable(off) && self.buildable(stays)
            });
        self.buildable.insert(body, found);
        found
    }

    /// Every way to take a body apart from which it can go on to its parts.
    pub(super) fn of(&mut self, body: u128) -> Vec<Split> {
        if let Some(known) = self.known.get(&body) {
            return known.clone();
        }
        let mut found = Vec::new();
        for (off, stays) in self.candidates(body) {
            if let Some(split) = self.split(off, stays)
                && self.buildable(off)
                && self.buildable(stays)
            {
                found.push(split);
            }
        }
        // A maker adds one part to what stands, and closes few joints at a time.
        found.sort_by_key(|split| {
            (
                split.off.count_ones(),
                split.load.joints,
                split.load.milliseconds,
                split.off,
            )
        });
        self.known.insert(body, found.clone());
        found
    }

    fn split(&self, one: u128, other: u128) -> Option<Split> {
        let load = self.between(one, other);
        if load.joints == 0 || !load.fits(self.room) {
            return None;
        }
        // The smaller body moves.
        let (off, stays) = if one.count_ones() <= other.count_ones() {
            (one, other)
        } else {
            (other, one)
        };
        let leaving = self.exit(off, stays)?;
        Some(Split {
            off,
            stays,
            leaving,
            load,
        })
    }

    /// Two bodies that make up a body and can stand by themselves: all of them for few parts, else one part with all that must go with it.
    fn candidates(&self, body: u128) -> Vec<(u128, u128)> {
        let mut found = Vec::new();
        if self.is_exact() {
            let low = body & body.wrapping_neg();
            let rest = body ^ low;
            let mut with = rest;
            while with != 0 {
                with = (with - 1) & rest;
                let (one, other) = (low | with, rest ^ with);
                if self.exit(one, other).is_some() && self.may_stand(one) && self.may_stand(other) {
                    found.push((one, other));
                }
            }
        } else {
            for part in bits(body) {
                for index in 0..BoxFace::ALL.len() {
                    let one = self.comes_with(part, index, body);
                    let other = body ^ one;
                    if other != 0
                        && self.may_stand(one)
                        && self.may_stand(other)
                        && !found.contains(&(one, other))
                        && !found.contains(&(other, one))
                    {
                        found.push((one, other));
                    }
                }
            }
        }
        found.sort_by_key(|(one, other)| (one.count_ones().min(other.count_ones()), *one));
        found
    }

    /// The smallest body with this part that can leave in a direction.
    fn comes_with(&self, part: usize, direction: usize, body: u128) -> u128 {
        let mut taken = 1_u128 << part;
        loop {
            let more = bits(taken).fold(taken, |all, part| {
                all | (self.freedom.blocked[direction][part] & body)
            });
            if more == taken {
                return taken;
            }
            taken = more;
        }
    }

    /// A smallest body that hangs together and cannot be taken apart, for the words why there is no plan.
    pub(super) fn smallest_locked(&mut self) -> u128 {
        let mut body = self.whole();
        // Part by part left out while what stays is still locked.
        loop {
            let smaller = bits(body).map(|part| body & !(1 << part)).find(|&less| {
                less.count_ones() > 1 && self.freedom.is_connected(less) && !self.buildable(less)
            });
            match smaller {
                Some(less) => body = less,
                None => return body,
            }
        }
    }
}

/// For each body of few parts: what stands in its way, whether it may stand, what the joints inside it take.
struct Tables {
    blocked: [Vec<u32>; 6],
    may_stand: Vec<bool>,
    within: Vec<Load>,
}

impl Tables {
    fn of(freedom: &Freedom, joints: &[(u128, Load)]) -> Self {
        let count = 1_usize << freedom.parts;
        let blocked = std::array::from_fn(|index| {
            let mut all = vec![0_u32; count];
            for body in 1..count {
                let part = body.trailing_zeros() as usize;
                all[body] = all[body & (body - 1)] | freedom.blocked[index][part] as u32;
            }
            all
        });
        let within = (0..count as u128)
            .map(|body| {
                joints
                    .iter()
                    .filter(|(ends, _)| ends & !body == 0)
                    .fold(Load::default(), |sum, (_, load)| sum.plus(*load))
            })
            .collect();
        Self {
            blocked,
            may_stand: (0..count as u128)
                .map(|body| freedom.may_stand(body))
                .collect(),
            within,
        }
    }
}
