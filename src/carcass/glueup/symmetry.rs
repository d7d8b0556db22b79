//! Parts that can stand for each other, such as like shelves: states that
//! differ only in which of them is done are one state.

use super::lattice::Lattice;

/// Classes of interchangeable parts: for each member, its joints in the same order.
#[derive(Debug, Clone)]
pub(super) struct Twins {
    classes: Vec<Vec<Vec<usize>>>,
}

impl Twins {
    pub(super) fn of(lattice: &Lattice) -> Self {
        let mut classes: Vec<Vec<Vec<usize>>> = Vec::new();
        let mut placed = vec![false; lattice.parts];
        for first in 0..lattice.parts {
            if placed[first] {
                continue;
            }
            let own = joints_of(lattice, first);
            let mut members = vec![own.clone()];
            for (other, taken) in placed.iter_mut().enumerate().skip(first + 1) {
                if !*taken && let Some(image) = swap(lattice, first, other, &own) {
                    *taken = true;
                    members.push(image);
                }
            }
            if members.len() > 1 {
                classes.push(members);
            }
        }
        Self { classes }
    }

    /// One set that stands for all that differ only by swapped twins.
    pub(super) fn standard(&self, done: u128) -> u128 {
        let mut done = done;
        for class in &self.classes {
            let mut patterns: Vec<u128> = class
                .iter()
                .map(|joints| {
                    joints.iter().enumerate().fold(0, |pattern, (rank, joint)| {
                        pattern | (done >> joint & 1) << rank
                    })
                })
                .collect();
            patterns.sort_unstable_by(|a, b| b.cmp(a));
            for (joints, pattern) in class.iter().zip(patterns) {
                for (rank, joint) in joints.iter().enumerate() {
                    done &= !(1 << joint);
                    done |= (pattern >> rank & 1) << joint;
                }
            }
        }
        done
    }
}

fn joints_of(lattice: &Lattice, part: usize) -> Vec<usize> {
    (0..lattice.joints())
        .filter(|joint| lattice.ends[*joint].contains(&(part as u8)))
        .collect()
}

/// The other's joints in the order of the first's, when swapping the two parts
/// changes nothing about the piece.
fn swap(lattice: &Lattice, first: usize, other: usize, own: &[usize]) -> Option<Vec<usize>> {
    let (p, q) = (first as u8, other as u8);
    let mut left = joints_of(lattice, other);
    if left.len() != own.len() {
        return None;
    }
    let mut image = Vec::with_capacity(own.len());
    for joint in own {
        let far = far_end(lattice.ends[*joint], p);
        if far == q || far == p {
            return None;
        }
        let like = |candidate: &usize| {
            far_end(lattice.ends[*candidate], q) == far
                && lattice.time[*candidate] == lattice.time[*joint]
                && lattice.clamps[*candidate] == lattice.clamps[*joint]
                && (lattice.glued >> *candidate & 1) == (lattice.glued >> *joint & 1)
        };
        let found = left.iter().position(like)?;
        image.push(left.swap_remove(found));
    }
    let swapped_parts = |set: u128| {
        let (a, b) = (set >> first & 1, set >> other & 1);
        set & !(1 << first | 1 << other) | b << first | a << other
    };
    let swapped_joints = |set: u128| {
        let mut to = set;
        for (a, b) in own.iter().zip(&image) {
            let (at_a, at_b) = (set >> a & 1, set >> b & 1);
            to = to & !(1 << a | 1 << b) | at_b << a | at_a << b;
        }
        to
    };
    let mut traps = lattice.traps.clone();
    let mut moved: Vec<(u128, u128)> = traps
        .iter()
        .map(|(between, joints)| (swapped_parts(*between), swapped_joints(*joints)))
        .collect();
    traps.sort_unstable();
    moved.sort_unstable();
    (traps == moved).then_some(image)
}

fn far_end(ends: [u8; 2], near: u8) -> u8 {
    if ends[0] == near { ends[1] } else { ends[0] }
}
