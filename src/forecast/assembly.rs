//! The order of assembly of a job's piece.

use crate::carcass::assembly::{
    Assembly, AssemblyJoint, AssemblyPart, AssemblyPiece, Entry, plan_assembly,
};
use crate::carcass::{GlueJoint, GlueTerms, Trap};
use crate::job::Job;
use crate::joint::JointPlan;
use crate::joint::plan::Design;
use crate::piece::{BoxFace, Contact, Meeting, SpaceAxis};
use crate::units::Duration;
use serde::Serialize;

/// Usual times of one joint, s, and clamps (judgement), where `[glue]` does not name it.
const SPREAD_SECONDS: f64 = 40.0;
const CLOSE_SECONDS: f64 = 15.0;
const CLAMPS: u32 = 2;
/// Ends nearer than this are flush, mm.
const FLUSH_MM: f64 = 0.5;

/// The order of assembly.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct AssemblyFinding {
    /// The stages; between two of them the glue sets. None where there is no plan.
    pub stages: Vec<StageFinding>,
    /// Whether fewer stages are proven impossible.
    pub fewest_proven: bool,
    /// Parts that go in after the glue: joined to nothing of the rest.
    pub later: Vec<String>,
    /// Why there is no plan, and what frees it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub why_none: Option<String>,
    /// Names of the parts, for the figures.
    #[serde(skip)]
    pub parts: Vec<AssemblyPart>,
}

/// One stage.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StageFinding {
    /// Its moves in their order.
    pub moves: Vec<MoveFinding>,
    /// From the first spreading to the last clamp.
    pub glue_minutes: f64,
    /// How long the glue stays open.
    pub open_minutes: f64,
    /// How many clamps it takes.
    pub clamps: u64,
}

/// One move.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct MoveFinding {
    /// The parts that move, as one body.
    pub body: Vec<String>,
    /// The parts they are set onto.
    pub into: Vec<String>,
    /// Toward where they move: `left`, `right`, `front`, `back`, `bottom`, `top`.
    pub direction: &'static str,
    /// The joints that close.
    pub joints: Vec<String>,
    /// The same parts by number, for the figures.
    #[serde(skip)]
    pub moving: Vec<usize>,
    /// The parts they are set onto, by number.
    #[serde(skip)]
    pub still: Vec<usize>,
}

/// Joints that hold something which goes in after the glue.
const LATER: [&str; 4] = ["inset", "drawer", "overlay", "front_reveal"];

/// The order of assembly of a job; `None` in a job without places or joints.
pub(super) fn finding(job: &Job) -> Option<AssemblyFinding> {
    let (piece, later) = boxes(job)?;
    let terms = job
        .glue
        .as_ref()
        .map_or_else(GlueTerms::default, |glue| glue.terms.clone());
    let mut found = AssemblyFinding {
        stages: Vec::new(),
        fewest_proven: false,
        later,
        why_none: None,
        parts: piece.parts.clone(),
    };
    match plan_assembly(&piece, &terms) {
        Ok(plan) => {
            found.stages = stages(&piece, &plan);
            found.fewest_proven = plan.fewest_proven;
        }
        Err(error) => found.why_none = Some(error.to_string()),
    }
    Some(found)
}

fn stages(piece: &AssemblyPiece, plan: &Assembly) -> Vec<StageFinding> {
    let names = |parts: &[usize]| -> Vec<String> {
        parts
            .iter()
            .map(|part| piece.parts[*part].name.clone())
            .collect()
    };
    plan.stages
        .iter()
        .map(|stage| StageFinding {
            moves: stage
                .moves
                .iter()
                .map(|made| MoveFinding {
                    body: names(&made.body),
                    into: names(&made.into),
                    direction: made.direction.word(),
                    joints: made
                        .joints
                        .iter()
                        .map(|joint| piece.joints[*joint].glue.name.clone())
                        .collect(),
                    moving: made.body.clone(),
                    still: made.into.clone(),
                })
                .collect(),
            glue_minutes: stage.takes.seconds() / 60.0,
            open_minutes: plan.open_time.seconds() / 60.0,
            clamps: stage.clamps,
        })
        .collect()
}

/// The parts that are glued together, each group one body, and the names of those that go in later.
fn boxes(job: &Job) -> Option<(AssemblyPiece, Vec<String>)> {
    let piece = &job.piece;
    // Every body's unit: itself, or its group.
    let unit = |body: usize| match piece.bodies[body].group {
        Some(group) => piece.bodies.len() + group,
        None => body,
    };
    let mut joints: Vec<(&JointPlan, [usize; 2], Contact)> = Vec::new();
    for joint in &job.joints {
        if LATER.contains(&joint.kind) {
            continue;
        }
        for &[one, into] in &joint.bodies {
            if let Some(contact) = piece.contact(one, into)
                && unit(one) != unit(into)
            {
                joints.push((joint, [one, into], *contact));
            }
        }
    }
    let mut units: Vec<usize> = Vec::new();
    for (_, bodies, _) in &joints {
        for body in bodies {
            if !units.contains(&unit(*body)) {
                units.push(unit(*body));
            }
        }
    }
    if units.len() < 2 {
        return None;
    }
    units.sort_unstable();
    let pairs: Vec<[usize; 2]> = joints
        .iter()
        .map(|(_, bodies, _)| bodies.map(unit))
        .collect();
    let units = largest_joined(&units, &pairs);
    joints.retain(|(_, [one, _], _)| units.contains(&unit(*one)));
    let name_of = |one: usize| {
        one.checked_sub(piece.bodies.len()).map_or_else(
            || piece.bodies[one].name.clone(),
            |group| piece.groups[group].name.clone(),
        )
    };
    let index = |body: usize| units.iter().position(|known| *known == unit(body));
    let parts = units
        .iter()
        .map(|&one| AssemblyPart {
            name: name_of(one),
            boxes: (0..piece.bodies.len())
                .filter(|body| unit(*body) == one)
                .map(|body| piece.bodies[body].cuboid)
                .collect(),
        })
        .collect();
    let joints = joints
        .iter()
        .filter_map(|(joint, [one, into], contact)| {
            Some(AssemblyJoint {
                glue: glue(
                    job,
                    joint,
                    &name_of(*one),
                    &name_of(*into),
                    [index(*one)?, index(*into)?],
                ),
                entry: entry(job, joint.kind, *one, *into, contact),
                face: contact.face_of(*one),
            })
        })
        .collect();
    let mut later: Vec<String> = (0..piece.bodies.len())
        .map(unit)
        .filter(|one| !units.contains(one))
        .map(name_of)
        .collect();
    later.dedup();
    let assembled = AssemblyPiece {
        parts,
        joints,
        traps: traps(
            job,
            &units.iter().map(|one| name_of(*one)).collect::<Vec<_>>(),
        ),
    };
    Some((assembled, later))
}

/// The most units that joints connect with one another, the first of several equal: the rest is fastened to them later.
fn largest_joined(units: &[usize], pairs: &[[usize; 2]]) -> Vec<usize> {
    let mut best: Vec<usize> = Vec::new();
    for &first in units {
        let mut joined = vec![first];
        let mut next = 0;
        while let Some(&one) = joined.get(next) {
            for &[a, b] in pairs {
                for (from, to) in [(a, b), (b, a)] {
                    if from == one && !joined.contains(&to) {
                        joined.push(to);
                    }
                }
            }
            next += 1;
        }
        if joined.len() > best.len() {
            best = joined;
        }
    }
    best.sort_unstable();
    best
}

fn glue(job: &Job, joint: &JointPlan, one: &str, into: &str, between: [usize; 2]) -> GlueJoint {
    let given = job.glue.as_ref().and_then(|glue| {
        glue.piece.joints.iter().find(|known| {
            let names = known.between.map(|part| glue.piece.parts[part].as_str());
            names == [one, into] || names == [into, one]
        })
    });
    let floats = |joint: &JointPlan| {
        matches!(
            joint.kind,
            "frame_and_panel" | "screw_slot" | "table_top_button" | "tongue_and_groove"
        ) || joint
            .bonds
            .iter()
            .any(|bond| bond.design == Design::Floating)
    };
    match given {
        Some(known) => GlueJoint {
            between,
            ..known.clone()
        },
        None => GlueJoint {
            name: format!("{one} in {into}"),
            between,
            glued: !floats(joint),
            spread: Duration::computed_seconds(SPREAD_SECONDS),
            close: Duration::computed_seconds(CLOSE_SECONDS),
            clamps: CLAMPS,
        },
    }
}

/// The traps that the job names, where every part is one of those that are glued.
fn traps(job: &Job, names: &[String]) -> Vec<Trap> {
    let Some(glue) = &job.glue else {
        return Vec::new();
    };
    let index = |part: usize| {
        names
            .iter()
            .position(|name| *name == glue.piece.parts[part])
    };
    glue.piece
        .traps
        .iter()
        .filter_map(|trap| {
            Some(Trap {
                part: index(trap.part)?,
                between: trap
                    .between
                    .iter()
                    .map(|part| index(*part))
                    .collect::<Option<_>>()?,
            })
        })
        .collect()
}

/// How a joint of this kind lets its piece in, where its boxes show at which ends its housing is open.
fn entry(job: &Job, kind: &str, one: usize, into: usize, contact: &Contact) -> Entry {
    let piece = &job.piece;
    let (body, host) = (&piece.bodies[one], &piece.bodies[into]);
    let axis = contact.axis();
    let outward_in = |along: SpaceAxis| {
        let middle = piece
            .outer()
            .map_or(host.cuboid.middle(along), |outer| outer.middle(along));
        if body.cuboid.middle(along) > middle {
            along.low()
        } else {
            along.high()
        }
    };
    match kind {
        "dado" | "groove" | "frame_and_panel" | "breadboard_end" | "tongue_and_groove"
        | "dado_and_tenons" => {
            let thickness = body.orientation.thickness();
            let [first, second] = axis.others();
            let along = if first == thickness { second } else { first };
            if kind == "dado_and_tenons" || contact.meeting == Meeting::Touch {
                return Entry::Square;
            }
            let open = |end: BoxFace| contact.edge_distance(&host.cuboid, end).mm() < FLUSH_MM;
            match (open(along.low()), open(along.high())) {
                (true, true) => Entry::Through(along),
                (true, false) => Entry::OpenAt(along.low()),
                (false, true) => Entry::OpenAt(along.high()),
                (false, false) => Entry::Square,
            }
        }
        "rabbet" => Entry::Toward(outward_in(body.orientation.thickness())),
        "drawer_bottom" => Entry::OpenAt(BoxFace::Back),
        "sliding_dovetail" => {
            let thickness = body.orientation.thickness();
            let [first, second] = axis.others();
            Entry::Along(if first == thickness { second } else { first })
        }
        "dovetail" => Entry::Toward(outward_in(body.orientation.thickness())),
        "half_lap" => Entry::Along(axis),
        "mortise_and_tenon" | "floating_tenons" | "dowels" => Entry::Square,
        _ => Entry::Free,
    }
}

impl AssemblyFinding {
    /// The answer in plain words, a line each.
    #[must_use]
    pub fn words(&self) -> Vec<String> {
        let mut words = Vec::new();
        if let Some(why) = &self.why_none {
            words.push(format!("There is no order: {why}."));
        }
        for (number, stage) in self.stages.iter().enumerate() {
            words.push(format!(
                "Stage {}: {:.0} of {:.0} minutes open time, {} clamps.",
                number + 1,
                stage.glue_minutes.ceil(),
                stage.open_minutes,
                stage.clamps
            ));
            for made in &stage.moves {
                words.push(format!(
                    "  {} onto {}, moving toward the {}.",
                    made.body.join(" with "),
                    made.into.join(", "),
                    made.direction
                ));
            }
        }
        if !self.stages.is_empty() {
            words.push(if self.fewest_proven {
                "No order needs fewer stages.".to_owned()
            } else {
                "Fewer stages were not found, and are not proven impossible.".to_owned()
            });
        }
        if !self.later.is_empty() {
            words.push(format!("After the glue: {}.", self.later.join(", ")));
        }
        words
    }
}
