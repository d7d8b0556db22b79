//! Which parts stand in one another's way, in bit sets.

use super::plan::AssemblyPiece;
use crate::piece::limits::TOUCH;
use crate::piece::{BoxFace, Coordinate, Cuboid};

/// For each direction and part the parts that keep it from leaving that way.
#[derive(Debug, Clone)]
pub(super) struct Freedom {
    pub parts: usize,
    /// By [`BoxFace`], then by part.
    pub blocked: [Vec<u128>; 6],
    /// Parts each part is joined to.
    pub joined: Vec<u128>,
    /// Traps: what must not be one body before the part is in it.
    traps: Vec<(u128, usize)>,
}

impl Freedom {
    pub(super) fn of(piece: &AssemblyPiece) -> Self {
        let parts = piece.parts.len();
        let mut blocked: [Vec<u128>; 6] = std::array::from_fn(|_| vec![0; parts]);
        let mut joined = vec![0_u128; parts];
        for joint in &piece.joints {
            let [a, b] = joint.glue.between;
            joined[a] |= 1 << b;
            joined[b] |= 1 << a;
        }
        for (index, leaving) in BoxFace::ALL.into_iter().enumerate() {
            for (p, held) in blocked[index].iter_mut().enumerate() {
                *held = (0..parts)
                    .filter(|&q| q != p && !leaves(piece, p, q, leaving))
                    .fold(0, |mask, q| mask | 1 << q);
            }
        }
        let traps = piece
            .traps
            .iter()
            .map(|trap| {
                let between = trap.between.iter().fold(0, |mask, other| mask | 1 << other);
                (between, trap.part)
            })
            .collect();
        Self {
            parts,
            blocked,
            joined,
            traps,
        }
    }

    /// Whether a body may stand by itself: its parts hang together, and no declared trap is shut.
    pub(super) fn may_stand(&self, body: u128) -> bool {
        self.is_connected(body)
            && self
                .traps
                .iter()
                .all(|(between, part)| body & between != *between || body >> part & 1 == 1)
    }

    pub(super) fn is_connected(&self, body: u128) -> bool {
        let mut reached = body & body.wrapping_neg();
        loop {
            let more = bits(reached).fold(reached, |all, part| all | self.joined[part]) & body;
            if more == reached {
                return reached == body;
            }
            reached = more;
        }
    }

    /// Directions in which `body` can leave `rest`.
    pub(super) fn exits(&self, body: u128, rest: u128) -> impl Iterator<Item = BoxFace> + '_ {
        BoxFace::ALL
            .into_iter()
            .enumerate()
            .filter(move |(index, _)| bits(body).all(|part| self.blocked[*index][part] & rest == 0))
            .map(|(_, leaving)| leaving)
    }
}

/// The places of the ones of a bit set.
pub(super) fn bits(mut set: u128) -> impl Iterator<Item = usize> {
    std::iter::from_fn(move || {
        (set != 0).then(|| {
            let bit = set.trailing_zeros() as usize;
            set &= set - 1;
            bit
        })
    })
}

/// Whether part `p` can leave part `q` in a direction.
fn leaves(piece: &AssemblyPiece, p: usize, q: usize, leaving: BoxFace) -> bool {
    let mut jointed = false;
    let mut solid = true;
    for joint in &piece.joints {
        let [a, b] = joint.glue.between;
        let toward = match (a == p && b == q, a == q && b == p) {
            // The piece enters against the direction in which it leaves; seen from the other, along it.
            (true, _) => leaving.opposite(),
            (_, true) => leaving,
            _ => continue,
        };
        jointed = true;
        solid &= joint.entry.is_solid();
        if !joint.entry.allows(joint.face, toward) {
            return false;
        }
    }
    if jointed && !solid {
        return true;
    }
    let one = &piece.parts[p].boxes;
    let other = &piece.parts[q].boxes;
    !one.iter()
        .any(|a| other.iter().any(|b| sweeps_into(a, b, leaving)))
}

/// Whether a box that leaves in a direction without end meets another.
fn sweeps_into(moving: &Cuboid, still: &Cuboid, leaving: BoxFace) -> bool {
    let axis = leaving.axis();
    let beside = axis
        .others()
        .iter()
        .all(|axis| moving.overlap(still, *axis) > TOUCH);
    let ahead: Coordinate = if leaving.is_high() {
        still.high(axis) - moving.low(axis)
    } else {
        moving.high(axis) - still.low(axis)
    };
    beside && ahead > TOUCH
}
