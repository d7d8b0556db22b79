//! The plan: stages of moves.

use super::MOST_PARTS;
use super::entry::Entry;
use super::explain::{NoPlan, explain};
use super::freedom::{Freedom, bits};
use super::splits::{Load, Split, Splits};
use super::stages::fewest;
use crate::carcass::glueup::{TIGHT, stages_for};
use crate::carcass::{GlueJoint, GlueStage, GlueTerms, Piece, Shorten, Stages, Trap};
use crate::piece::{BoxFace, Cuboid};
use crate::units::Duration;
use std::fmt;

/// A part, or a group that is one body, as its boxes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AssemblyPart {
    /// Its name.
    pub name: String,
    /// Its boxes.
    pub boxes: Vec<Cuboid>,
}

/// A joint between two parts.
#[derive(Debug, Clone, PartialEq)]
pub struct AssemblyJoint {
    /// Its name, its two parts (the piece first, then what it enters), its glue and its clamps.
    pub glue: GlueJoint,
    /// How the piece may enter.
    pub entry: Entry,
    /// The side of the piece that meets the other.
    pub face: BoxFace,
}

/// A piece as boxes and joints.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct AssemblyPiece {
    /// Its parts.
    pub parts: Vec<AssemblyPart>,
    /// Its joints.
    pub joints: Vec<AssemblyJoint>,
    /// Traps that the maker names; the plan keeps to them.
    pub traps: Vec<Trap>,
}

/// One body set onto another.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AssemblyMove {
    /// The parts that move, as one body.
    pub body: Vec<usize>,
    /// The parts they are set onto.
    pub into: Vec<usize>,
    /// Toward where they move.
    pub direction: BoxFace,
    /// The joints that close.
    pub joints: Vec<usize>,
}

/// The moves of one spreading of glue.
#[derive(Debug, Clone, PartialEq)]
pub struct AssemblyStage {
    /// In their order.
    pub moves: Vec<AssemblyMove>,
    /// How long they take.
    pub takes: Duration,
    /// How many clamps they take.
    pub clamps: u64,
}

/// A plan that can be carried out.
#[derive(Debug, Clone, PartialEq)]
pub struct Assembly {
    /// The stages in their order; between two of them the glue sets.
    pub stages: Vec<AssemblyStage>,
    /// Time from the first spreading to the last clamp.
    pub open_time: Duration,
    /// What a stage may take: the open time less the reserve.
    pub stage_time: Duration,
    /// No fewer stages than this can do.
    pub at_least: usize,
    /// Whether fewer stages are proven impossible.
    pub fewest_proven: bool,
}

/// Why there is no plan.
#[derive(Debug, Clone, PartialEq)]
pub enum AssemblyError {
    /// More parts than a plan can hold.
    TooLarge {
        /// How many there are.
        parts: usize,
    },
    /// A joint or a trap names a part that is not there, or one part twice.
    UnknownPart {
        /// The joint's name.
        joint: String,
    },
    /// Some parts are joined to none of the others.
    Loose {
        /// The parts that hang together with the first.
        body: Vec<String>,
        /// The others.
        others: Vec<String>,
    },
    /// The boxes or the joints allow no order.
    Locked(NoPlan),
    /// An order exists, but its longest move does not fit the open time or the clamps.
    TooLong {
        /// The joints that must close together in the easiest order.
        joints: Vec<String>,
        /// How long they take.
        takes: Duration,
        /// What a stage may take.
        allowed: Duration,
    },
    /// None was found in the time given, nor proven impossible.
    Unsettled,
}

impl fmt::Display for AssemblyError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::TooLarge { parts } => write!(
                f,
                "{parts} parts are more than the {MOST_PARTS} a plan holds; plan the sub-assemblies one by one"
            ),
            Self::UnknownPart { joint } => write!(
                f,
                "{joint} does not join two different parts of the piece; name two of its parts"
            ),
            Self::Loose { body, others } => write!(
                f,
                "{} {} joined to nothing of {}; give a joint between them",
                others.join(", "),
                if others.len() == 1 { "is" } else { "are" },
                body.join(", "),
            ),
            Self::Locked(why) => why.fmt(f),
            Self::TooLong {
                joints,
                takes,
                allowed,
            } => write!(
                f,
                "{} must close together and take {:.1} min, but a stage may take {:.1} min; use a slower glue, more hands, or more clamps",
                joints.join(", "),
                takes.seconds() / 60.0,
                allowed.seconds() / 60.0
            ),
            Self::Unsettled => f.write_str(
                "no order was found, and none was proven impossible; plan the sub-assemblies one by one",
            ),
        }
    }
}

impl std::error::Error for AssemblyError {}

/// The fewest stages in which a piece can be put together, each move along one direction with nothing in its way.
///
/// # Errors
/// [`AssemblyError`] when the piece is malformed, or when there is no plan: then which joints lock which part and what frees it, or
/// which joints must close together and take too long.
pub fn plan_assembly(piece: &AssemblyPiece, terms: &GlueTerms) -> Result<Assembly, AssemblyError> {
    check(piece)?;
    if piece.parts.is_empty() {
        return Ok(Assembly {
            stages: Vec::new(),
            open_time: terms.open_time(),
            stage_time: terms.stage_time(),
            at_least: 0,
            fewest_proven: true,
        });
    }
    let room = Load {
        milliseconds: (terms.stage_time().seconds() * 1000.0).floor() as u64,
        clamps: terms.clamps.map_or(1 << 40, u64::from),
        joints: 0,
    };
    let mut splits = splits_of(piece, terms, room);
    let times: Vec<u64> = piece
        .joints
        .iter()
        .map(|joint| load(terms, joint).milliseconds)
        .collect();
    let clamps: Vec<u64> = piece
        .joints
        .iter()
        .map(|joint| load(terms, joint).clamps)
        .collect();
    let at_least = stages_for(&times, room.milliseconds)
        .max(stages_for(&clamps, room.clamps))
        .max(usize::from(!piece.joints.is_empty()));
    let whole = splits.whole();
    if !splits.buildable(whole) {
        return Err(why_not(piece, terms, room));
    }
    let staged =
        fewest(&mut splits, at_least, piece.parts.len()).ok_or(AssemblyError::Unsettled)?;
    Ok(Assembly {
        stages: staged
            .backward
            .iter()
            .rev()
            .map(|splits| stage(piece, splits))
            .collect(),
        open_time: terms.open_time(),
        stage_time: terms.stage_time(),
        at_least,
        fewest_proven: staged.proven,
    })
}

fn load(terms: &GlueTerms, joint: &AssemblyJoint) -> Load {
    Load {
        milliseconds: (terms.joint_time(&joint.glue).seconds() * 1000.0).round() as u64,
        clamps: if joint.glue.glued {
            u64::from(joint.glue.clamps)
        } else {
            0
        },
        joints: 1,
    }
}

pub(super) fn splits_of(piece: &AssemblyPiece, terms: &GlueTerms, room: Load) -> Splits {
    let joints = piece
        .joints
        .iter()
        .map(|joint| {
            let [a, b] = joint.glue.between;
            (1_u128 << a | 1 << b, load(terms, joint))
        })
        .collect();
    Splits::new(Freedom::of(piece), joints, room)
}

/// Room for whatever a move takes.
const ALL_DAY: Load = Load {
    milliseconds: 1 << 40,
    clamps: 1 << 40,
    joints: 0,
};

fn why_not(piece: &AssemblyPiece, terms: &GlueTerms, room: Load) -> AssemblyError {
    let mut unhurried = splits_of(piece, terms, ALL_DAY);
    let whole = unhurried.whole();
    if !unhurried.buildable(whole) {
        return AssemblyError::Locked(explain(piece, terms, &mut unhurried));
    }
    // The minimum time in which some order closes every move: between what a stage has and all of it.
    let total = unhurried.within(whole);
    let (mut low, mut high) = (room.milliseconds, total.milliseconds);
    let mut at_hand = room.clamps;
    let buildable = |milliseconds: u64, clamps: u64| {
        let room = Load {
            milliseconds,
            clamps,
            joints: 0,
        };
        let mut splits = splits_of(piece, terms, room);
        let whole = splits.whole();
        splits.buildable(whole)
    };
    if !buildable(high, at_hand) {
        at_hand = ALL_DAY.clamps;
        (low, high) = (room.milliseconds, total.milliseconds);
    }
    while high - low > 500 {
        let middle = low + (high - low) / 2;
        if buildable(middle, at_hand) {
            high = middle;
        } else {
            low = middle;
        }
    }
    let mut splits = splits_of(
        piece,
        terms,
        Load {
            milliseconds: high,
            clamps: at_hand,
            joints: 0,
        },
    );
    let longest = longest_move(&mut splits);
    AssemblyError::TooLong {
        joints: longest.map_or_else(Vec::new, |split| {
            closing(piece, &split)
                .into_iter()
                .map(|joint| piece.joints[joint].glue.name.clone())
                .collect()
        }),
        takes: Duration::computed_seconds(
            longest.map_or(0.0, |split| split.load.milliseconds as f64 / 1000.0),
        ),
        allowed: terms.stage_time(),
    }
}

/// The longest move of a plan that takes the first split of every body.
fn longest_move(splits: &mut Splits) -> Option<Split> {
    let mut bodies = vec![splits.whole()];
    let mut longest: Option<Split> = None;
    while let Some(body) = bodies.pop() {
        if body.is_power_of_two() {
            continue;
        }
        let split = splits
            .of(body)
            .into_iter()
            .min_by_key(|split| split.load.milliseconds)?;
        bodies.extend([split.off, split.stays]);
        if longest.is_none_or(|known| known.load.milliseconds < split.load.milliseconds) {
            longest = Some(split);
        }
    }
    longest
}

fn check(piece: &AssemblyPiece) -> Result<(), AssemblyError> {
    let count = piece.parts.len();
    if count > MOST_PARTS {
        return Err(AssemblyError::TooLarge { parts: count });
    }
    for joint in &piece.joints {
        let [a, b] = joint.glue.between;
        if a == b || a >= count || b >= count {
            return Err(AssemblyError::UnknownPart {
                joint: joint.glue.name.clone(),
            });
        }
    }
    for trap in &piece.traps {
        if trap.part >= count || trap.between.iter().any(|other| *other >= count) {
            return Err(AssemblyError::UnknownPart {
                joint: "a trapped part".to_owned(),
            });
        }
    }
    let freedom = Freedom::of(piece);
    let mut body = u128::from(count > 0);
    for _ in 0..count {
        body |= bits(body).fold(0, |all, part| all | freedom.joined[part]);
    }
    if body.count_ones() as usize != count {
        let (inside, outside): (Vec<usize>, Vec<usize>) =
            (0..count).partition(|part| body >> part & 1 == 1);
        let names = |parts: &[usize]| {
            parts
                .iter()
                .map(|part| piece.parts[*part].name.clone())
                .collect()
        };
        return Err(AssemblyError::Loose {
            body: names(&inside),
            others: names(&outside),
        });
    }
    Ok(())
}

fn closing(piece: &AssemblyPiece, split: &Split) -> Vec<usize> {
    let is_in = |set: u128, part: usize| set >> part & 1 == 1;
    (0..piece.joints.len())
        .filter(|joint| {
            let [a, b] = piece.joints[*joint].glue.between;
            (is_in(split.off, a) && is_in(split.stays, b))
                || (is_in(split.off, b) && is_in(split.stays, a))
        })
        .collect()
}

/// A split as a move, along the way a maker would take: square into its joints rather than along a housing, then down onto what
/// is there, from the front, from the sides, and only then from behind. What would have to be pushed up is set down from the other side.
fn made(piece: &AssemblyPiece, split: &Split) -> AssemblyMove {
    let joints = closing(piece, split);
    let is_off = |part: usize| split.off >> part & 1 == 1;
    let slides = |toward: BoxFace| {
        joints
            .iter()
            .map(|joint| &piece.joints[*joint])
            .filter(|joint| {
                let into_joint = if is_off(joint.glue.between[0]) {
                    toward
                } else {
                    toward.opposite()
                };
                !joint.entry.is_solid() && into_joint != joint.face
            })
            .count()
    };
    let natural = |toward: BoxFace| match toward {
        BoxFace::Bottom => 0,
        BoxFace::Top => 1,
        BoxFace::Back => 2,
        BoxFace::Left | BoxFace::Right => 3,
        BoxFace::Front => 4,
    };
    let toward = Freedom::of(piece)
        .exits(split.off, split.stays)
        .map(BoxFace::opposite)
        .min_by_key(|toward| (slides(*toward), natural(*toward)))
        .unwrap_or(split.leaving.opposite());
    let (off, stays) = (bits(split.off).collect(), bits(split.stays).collect());
    if toward == BoxFace::Top {
        AssemblyMove {
            body: stays,
            into: off,
            direction: BoxFace::Bottom,
            joints,
        }
    } else {
        AssemblyMove {
            body: off,
            into: stays,
            direction: toward,
            joints,
        }
    }
}

impl AssemblyPiece {
    /// The directions in which a part can leave all the others.
    #[must_use]
    pub fn ways_out(&self, part: usize) -> Vec<BoxFace> {
        let all = (0..self.parts.len()).fold(0_u128, |mask, other| mask | 1 << other);
        Freedom::of(self)
            .exits(1 << part, all & !(1 << part))
            .collect()
    }

    /// The piece without a part and its joints.
    #[must_use]
    pub fn without(&self, part: usize) -> Self {
        let place = |other: usize| other - usize::from(other > part);
        let mut rest = self.clone();
        rest.parts.remove(part);
        rest.joints
            .retain(|joint| !joint.glue.between.contains(&part));
        for joint in &mut rest.joints {
            joint.glue.between = joint.glue.between.map(place);
        }
        rest.traps
            .retain(|trap| trap.part != part && !trap.between.contains(&part));
        for trap in &mut rest.traps {
            trap.part = place(trap.part);
            trap.between = trap.between.iter().copied().map(place).collect();
        }
        rest
    }
}

impl Assembly {
    /// The same plan as a glue-up: what is glued in each stage, and the bodies that it makes.
    #[must_use]
    pub fn glue_up(&self, piece: &AssemblyPiece, terms: &GlueTerms) -> (Piece, Stages) {
        let joints: Vec<GlueJoint> = piece
            .joints
            .iter()
            .map(|joint| joint.glue.clone())
            .collect();
        let mut bodies: Vec<Vec<usize>> = Vec::new();
        let stages = self
            .stages
            .iter()
            .map(|stage| {
                let mut touched: Vec<usize> = Vec::new();
                for made in &stage.moves {
                    let mut one = [made.body.clone(), made.into.clone()].concat();
                    one.sort_unstable();
                    bodies.retain(|body| !body.iter().any(|part| one.contains(part)));
                    touched.extend(&one);
                    bodies.push(one);
                }
                let closed = stage
                    .moves
                    .iter()
                    .flat_map(|made| made.joints.iter().copied());
                let (mut glued, mut put_in_dry): (Vec<usize>, Vec<usize>) =
                    closed.partition(|joint| joints[*joint].glued);
                glued.sort_unstable();
                put_in_dry.sort_unstable();
                let longest = glued
                    .iter()
                    .chain(&put_in_dry)
                    .copied()
                    .max_by(|&a, &b| {
                        let time = |joint: usize| terms.joint_time(&joints[joint]).seconds();
                        time(a).total_cmp(&time(b)).then(b.cmp(&a))
                    })
                    .unwrap_or(0);
                let mut shorten = Vec::new();
                if stage.takes.seconds() > TIGHT * self.stage_time.seconds() {
                    shorten.extend(terms.slower_glue(stage.takes).map(Shorten::SlowerGlue));
                    shorten.extend(terms.hands_for(stage.takes).map(Shorten::Helpers));
                }
                GlueStage {
                    glued,
                    put_in_dry,
                    dry_fitted: Vec::new(),
                    bodies: bodies
                        .iter()
                        .filter(|body| body.iter().any(|part| touched.contains(part)))
                        .cloned()
                        .collect(),
                    takes: stage.takes,
                    clamps: stage.clamps,
                    longest,
                    shorten,
                }
            })
            .collect();
        let glued = Piece {
            parts: piece.parts.iter().map(|part| part.name.clone()).collect(),
            joints,
            traps: piece.traps.clone(),
        };
        let stages = Stages {
            stages,
            open_time: self.open_time,
            stage_time: self.stage_time,
            at_least: self.at_least,
            proven: self.fewest_proven,
            notes: terms.notes(),
        };
        (glued, stages)
    }
}

fn stage(piece: &AssemblyPiece, backward: &[Split]) -> AssemblyStage {
    let load = backward
        .iter()
        .fold(Load::default(), |sum, split| sum.plus(split.load));
    AssemblyStage {
        moves: backward
            .iter()
            .rev()
            .map(|split| made(piece, split))
            .collect(),
        takes: Duration::computed_seconds(load.milliseconds as f64 / 1000.0),
        clamps: load.clamps,
    }
}
