//! Why a piece cannot go together, and what frees it.

use super::entry::Entry;
use super::freedom::bits;
use super::plan::{AssemblyPiece, splits_of};
use super::splits::{Load, Splits};
use crate::carcass::GlueTerms;
use crate::piece::BoxFace;
use std::fmt;

/// A part that cannot leave the others, and what holds it in each direction.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Lock {
    /// The part.
    pub part: String,
    /// For each direction what stands in its way: a joint by its name, else a part.
    pub held_by: Vec<(BoxFace, Vec<String>)>,
}

/// A change to one joint.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Change {
    /// Its housing open at this end, so that the piece slides in from there.
    OpenAt(BoxFace),
    /// A butt joint, screwed from outside.
    Screwed,
}

/// A joint that frees the piece when it is changed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Freed {
    /// The joint's name.
    pub joint: String,
    /// The change.
    pub change: Change,
}

/// Why there is no order.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NoPlan {
    /// The parts that lock one another: of these none can leave the others.
    pub locks: Vec<Lock>,
    /// Changes of one joint that free the whole piece, each tried.
    pub frees: Vec<Freed>,
}

impl fmt::Display for Change {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::OpenAt(end) => write!(
                f,
                "let its housing run out at the {} and slide the piece in from there",
                end.word()
            ),
            Self::Screwed => f.write_str("butt it and screw it from outside"),
        }
    }
}

impl fmt::Display for NoPlan {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let names: Vec<&str> = self.locks.iter().map(|lock| lock.part.as_str()).collect();
        write!(f, "no order works: {} lock one another", names.join(", "))?;
        if let Some(lock) = self.locks.first() {
            let held: Vec<String> = lock
                .held_by
                .iter()
                .map(|(toward, by)| format!("{} by {}", toward.word(), by.join(" and ")))
                .collect();
            write!(f, "; {} is held toward the {}", lock.part, held.join(", "))?;
        }
        if self.frees.is_empty() {
            return f
                .write_str("; no change of one joint frees them: change two, or divide a part");
        }
        let words: Vec<String> = self
            .frees
            .iter()
            .take(3)
            .map(|freed| format!("{}: {}", freed.joint, freed.change))
            .collect();
        write!(f, "; what frees them: {}", words.join("; or "))
    }
}

/// Joints of which changes are tried; beyond, only those of the parts that lock one another.
const MOST_TRIED: usize = 24;

pub(super) fn explain(piece: &AssemblyPiece, terms: &GlueTerms, splits: &mut Splits) -> NoPlan {
    let locked = splits.smallest_locked();
    let locks = bits(locked)
        .map(|part| Lock {
            part: piece.parts[part].name.clone(),
            held_by: BoxFace::ALL
                .into_iter()
                .enumerate()
                .map(|(index, toward)| {
                    let by = splits.freedom.blocked[index][part] & locked;
                    (
                        toward,
                        bits(by).map(|other| holder(piece, part, other)).collect(),
                    )
                })
                .collect(),
        })
        .collect();
    NoPlan {
        locks,
        frees: frees(piece, terms, locked, splits.room),
    }
}

/// The joint between two parts by its name, or the other part's.
fn holder(piece: &AssemblyPiece, part: usize, other: usize) -> String {
    piece
        .joints
        .iter()
        .find(|joint| joint.glue.between == [part, other] || joint.glue.between == [other, part])
        .map_or_else(
            || piece.parts[other].name.clone(),
            |joint| joint.glue.name.clone(),
        )
}

fn frees(piece: &AssemblyPiece, terms: &GlueTerms, locked: u128, room: Load) -> Vec<Freed> {
    let inside = |index: &usize| {
        let [a, b] = piece.joints[*index].glue.between;
        locked >> a & 1 == 1 && locked >> b & 1 == 1
    };
    let mut found = Vec::new();
    for index in (0..piece.joints.len()).filter(inside).take(MOST_TRIED) {
        let ends = match piece.joints[index].entry {
            Entry::Stopped(along) => {
                vec![Change::OpenAt(along.low()), Change::OpenAt(along.high())]
            }
            _ => Vec::new(),
        };
        for change in ends.into_iter().chain([Change::Screwed]) {
            if changed(piece, index, change).is_some_and(|changed| {
                let mut splits = splits_of(&changed, terms, room);
                let whole = splits.whole();
                splits.buildable(whole)
            }) {
                found.push(Freed {
                    joint: piece.joints[index].glue.name.clone(),
                    change,
                });
            }
        }
    }
    found
}

/// The piece with one joint changed; a butted piece ends at the face of the other.
fn changed(piece: &AssemblyPiece, index: usize, change: Change) -> Option<AssemblyPiece> {
    let mut changed = piece.clone();
    match change {
        Change::OpenAt(end) => changed.joints[index].entry = Entry::OpenAt(end),
        Change::Screwed => {
            let [part, into] = piece.joints[index].glue.between;
            let face = piece.joints[index].face;
            let [own] = &mut changed.parts[part].boxes[..] else {
                return None;
            };
            let [host] = &piece.parts[into].boxes[..] else {
                return None;
            };
            *own = own.with_face(face, host.face(face.opposite()))?;
            changed.joints[index].entry = Entry::Free;
        }
    }
    Some(changed)
}
