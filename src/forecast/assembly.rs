//! The order of assembly of a job's piece.

use crate::carcass::assembly::{
    Assembly, AssemblyJoint, AssemblyPart, AssemblyPiece, Entry, plan_assembly,
};
use crate::carcass::{GlueJoint, GlueTerms, Piece as GluedPiece, Stages, Trap};
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
    /// What goes in after the glue: parts that no glue holds and nothing encloses, and those joined to nothing of the rest.
    pub later: Vec<String>,
    /// Of these what no screw or glue holds: it is fitted in the air of its place.
    #[serde(skip)]
    pub loose: Vec<String>,
    /// Doors, drawers and other bodies that are put together by themselves, each kind once.
    pub groups: Vec<GroupAssembly>,
    /// Traps that the job names and the places do not bear out.
    pub notes: Vec<String>,
    /// Why there is no plan, and what frees it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub why_none: Option<String>,
    /// The parts, for the figures.
    #[serde(skip)]
    pub parts: Vec<AssemblyPart>,
    /// The same plan as a glue-up.
    #[serde(skip)]
    pub glue_up: Option<(GluedPiece, Stages)>,
    /// What was planned, for who replays it.
    #[serde(skip)]
    pub piece: AssemblyPiece,
}

/// A body of several parts that is put together by itself.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct GroupAssembly {
    /// The group.
    pub group: String,
    /// Its stages.
    pub stages: Vec<StageFinding>,
    /// Whether fewer stages are proven impossible.
    pub fewest_proven: bool,
    /// Its parts that go in after the glue.
    pub later: Vec<String>,
    /// Why there is no plan, and what frees it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub why_none: Option<String>,
    /// What was planned, for who replays it.
    #[serde(skip)]
    pub piece: AssemblyPiece,
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
    /// Of the parts it is set onto, those that it meets in a joint.
    #[serde(skip)]
    pub meets: Vec<String>,
    /// The same parts by number, for the figures.
    #[serde(skip)]
    pub moving: Vec<usize>,
    /// The parts they are set onto, by number.
    #[serde(skip)]
    pub still: Vec<usize>,
}

/// Joints that hold something which goes in after the glue.
const LATER: [&str; 4] = ["inset", "drawer", "overlay", "front_reveal"];

/// Gives the body that a part of the job goes with.
type Unit<'a> = &'a dyn Fn(usize) -> Option<usize>;

/// The order of assembly of a job; `None` in a job without places or joints.
pub(super) fn finding(job: &Job) -> Option<AssemblyFinding> {
    let placed = &job.piece;
    let terms = job
        .glue
        .as_ref()
        .map_or_else(GlueTerms::default, |glue| glue.terms.clone());
    // Every body's unit: itself, or its group.
    let whole = |body: usize| {
        Some(match placed.bodies[body].group {
            Some(group) => placed.bodies.len() + group,
            None => body,
        })
    };
    let (piece, later) = boxes(job, &whole)?;
    let is_dry = |name: &String| {
        placed.groups.iter().any(|group| group.name == *name)
            || job.joints.iter().any(|joint| {
                joint.bodies.iter().any(|[one, _]| {
                    placed.bodies[*one].name == *name
                        && !LATER.contains(&joint.kind)
                        && joint.kind != "cleat"
                })
            })
    };
    let loose = later.iter().filter(|name| is_dry(name)).cloned().collect();
    let notes = idle_traps(&piece);
    let planned = plan_assembly(&piece, &terms);
    let mut found = AssemblyFinding {
        stages: Vec::new(),
        fewest_proven: false,
        loose,
        later,
        groups: groups(job, &terms),
        notes,
        why_none: None,
        parts: piece.parts.clone(),
        glue_up: None,
        piece: piece.clone(),
    };
    match planned {
        Ok(plan) => {
            found.stages = stages(&piece, &plan);
            found.fewest_proven = plan.fewest_proven;
            found.glue_up = Some(plan.glue_up(&piece, &terms));
        }
        Err(error) => found.why_none = Some(error.to_string()),
    }
    Some(found)
}

/// The first copy of each group, put together by itself.
fn groups(job: &Job, terms: &GlueTerms) -> Vec<GroupAssembly> {
    let placed = &job.piece;
    let mut found: Vec<GroupAssembly> = Vec::new();
    for (index, group) in placed.groups.iter().enumerate() {
        if found.iter().any(|known| known.group == group.of) {
            continue;
        }
        let inside = |body: usize| (placed.bodies[body].group == Some(index)).then_some(body);
        let Some((piece, later)) = boxes(job, &inside) else {
            continue;
        };
        let planned = plan_assembly(&piece, terms);
        found.push(GroupAssembly {
            group: group.of.clone(),
            stages: planned
                .as_ref()
                .map_or_else(|_| Vec::new(), |plan| stages(&piece, plan)),
            fewest_proven: planned.as_ref().is_ok_and(|plan| plan.fewest_proven),
            later,
            why_none: planned.err().map(|error| error.to_string()),
            piece,
        });
    }
    found
}

/// Traps that the places do not bear out: the part can still leave the others.
fn idle_traps(piece: &AssemblyPiece) -> Vec<String> {
    piece
        .traps
        .iter()
        .filter_map(|trap| {
            let mut alone = piece.clone();
            for part in (0..piece.parts.len()).rev() {
                if part != trap.part && !trap.between.contains(&part) {
                    alone = alone.without(part);
                }
            }
            let part = alone
                .parts
                .iter()
                .position(|part| part.name == piece.parts[trap.part].name)?;
            let way = *alone.ways_out(part).first()?;
            let names: Vec<&str> = trap
                .between
                .iter()
                .map(|other| piece.parts[*other].name.as_str())
                .collect();
            Some(format!(
                "{} is named as trapped between {}, but by its places it can leave {}: the order keeps to the name, and could do without",
                piece.parts[trap.part].name,
                names.join(" and "),
                toward_words(way)
            ))
        })
        .collect()
}

/// A direction in a sentence about a move.
fn toward_words(toward: BoxFace) -> &'static str {
    match toward {
        BoxFace::Left => "to the left",
        BoxFace::Right => "to the right",
        BoxFace::Front => "to the front",
        BoxFace::Back => "to the back",
        BoxFace::Bottom => "downward",
        BoxFace::Top => "upward",
    }
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
                    meets: made
                        .into
                        .iter()
                        .filter(|part| {
                            made.joints
                                .iter()
                                .any(|joint| piece.joints[*joint].glue.between.contains(part))
                        })
                        .map(|part| piece.parts[*part].name.clone())
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

/// The parts that are put together before the glue sets, and the names of those that go in later. `unit` gives the body that a part of
/// the job goes with: a group's parts move as one; `None` for a part that has no place in this assembly.
fn boxes(job: &Job, unit: Unit<'_>) -> Option<(AssemblyPiece, Vec<String>)> {
    let piece = &job.piece;
    let mut joints: Vec<(Option<&JointPlan>, [usize; 2], Contact)> = Vec::new();
    for joint in &job.joints {
        if LATER.contains(&joint.kind) {
            continue;
        }
        for &[one, into] in &joint.bodies {
            if let Some(contact) = piece.contact(one, into)
                && unit(one).zip(unit(into)).is_some_and(|(a, b)| a != b)
            {
                joints.push((Some(joint), [one, into], *contact));
            }
        }
    }
    // What [glue] names beside the joints of the job.
    for contact in &piece.contacts {
        let [a, b] = [contact.a, contact.b];
        let known = joints
            .iter()
            .any(|(_, bodies, _)| *bodies == [a, b] || *bodies == [b, a]);
        if !known
            && unit(a).zip(unit(b)).is_some_and(|(a, b)| a != b)
            && given_glue(job, a, b).is_some()
        {
            joints.push((None, [a, b], *contact));
        }
    }
    let mut units: Vec<usize> = Vec::new();
    for (_, bodies, _) in &joints {
        for one in bodies.iter().filter_map(|body| unit(*body)) {
            if !units.contains(&one) {
                units.push(one);
            }
        }
    }
    if units.len() < 2 {
        return None;
    }
    units.sort_unstable();
    let pairs: Vec<[usize; 2]> = joints
        .iter()
        .filter_map(|(_, [a, b], _)| Some([unit(*a)?, unit(*b)?]))
        .collect();
    let units = largest_joined(&units, &pairs);
    joints.retain(|(_, [one, _], _)| unit(*one).is_some_and(|one| units.contains(&one)));
    let name_of = |one: usize| {
        one.checked_sub(piece.bodies.len()).map_or_else(
            || piece.bodies[one].name.clone(),
            |group| piece.groups[group].name.clone(),
        )
    };
    // Inside its own group a part goes by its own name.
    let prefix = units
        .first()
        .and_then(|one| piece.bodies.get(*one)?.group)
        .map(|group| format!("{}: ", piece.groups[group].name));
    let name_of = |one: usize| {
        let name = name_of(one);
        prefix
            .as_ref()
            .and_then(|prefix| Some(name.strip_prefix(prefix)?.to_owned()))
            .unwrap_or(name)
    };
    let index = |body: usize| units.iter().position(|known| Some(*known) == unit(body));
    let parts = units
        .iter()
        .map(|&one| AssemblyPart {
            name: name_of(one),
            boxes: (0..piece.bodies.len())
                .filter(|body| unit(*body) == Some(one))
                .map(|body| piece.bodies[body].cuboid)
                .collect(),
        })
        .collect();
    let joints = joints
        .iter()
        .filter_map(|(joint, [one, into], contact)| {
            let name = format!("{} in {}", name_of(unit(*one)?), name_of(unit(*into)?));
            Some(AssemblyJoint {
                glue: glue(
                    job,
                    *joint,
                    name,
                    [*one, *into],
                    [index(*one)?, index(*into)?],
                ),
                entry: joint.map_or(
                    if contact.meeting == Meeting::Touch {
                        Entry::Free
                    } else {
                        Entry::Square
                    },
                    |joint| entry(job, joint.kind, *one, *into, contact),
                ),
                face: contact.face_of(*one),
            })
        })
        .collect();
    let mut assembled = AssemblyPiece {
        parts,
        joints,
        traps: traps(
            job,
            &units.iter().map(|one| name_of(*one)).collect::<Vec<_>>(),
        ),
    };
    let mut later = after_the_glue(&mut assembled);
    for one in (0..piece.bodies.len()).filter_map(unit) {
        let name = name_of(one);
        if !units.contains(&one) && !later.contains(&name) {
            later.push(name);
        }
    }
    (assembled.parts.len() >= 2).then_some((assembled, later))
}

/// Takes off what no glue holds and nothing encloses, and names it: it goes in when the glue has set.
fn after_the_glue(piece: &mut AssemblyPiece) -> Vec<String> {
    let mut later = Vec::new();
    while piece.parts.len() > 2 {
        let is_dry = |part: usize| {
            piece
                .joints
                .iter()
                .filter(|joint| joint.glue.between.contains(&part))
                .all(|joint| !joint.glue.glued)
        };
        let free = (0..piece.parts.len())
            .rev()
            .find(|&part| is_dry(part) && !piece.ways_out(part).is_empty());
        let Some(part) = free else {
            break;
        };
        later.push(piece.parts[part].name.clone());
        *piece = piece.without(part);
    }
    later.reverse();
    later
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

/// What [glue] gives of a joint between two bodies, each named by itself or by its part.
fn given_glue(job: &Job, one: usize, into: usize) -> Option<&GlueJoint> {
    let plan = job.glue.as_ref()?;
    let is = |part: usize, body: usize| {
        let name = &plan.piece.parts[part];
        let body = &job.piece.bodies[body];
        *name == body.name || *name == job.parts[body.part].name
    };
    plan.piece.joints.iter().find(|known| {
        let [a, b] = known.between;
        (is(a, one) && is(b, into)) || (is(a, into) && is(b, one))
    })
}

/// The glue of a joint: as [glue] gives it, else as usual, dry where its design floats.
fn glue(
    job: &Job,
    joint: Option<&JointPlan>,
    name: String,
    [one, into]: [usize; 2],
    between: [usize; 2],
) -> GlueJoint {
    let floats = joint.is_some_and(|joint| {
        matches!(
            joint.kind,
            "frame_and_panel"
                | "screw_slot"
                | "table_top_button"
                | "tongue_and_groove"
                | "drawer_bottom"
                | "cleat"
                | "screwed"
                | "hinged"
        ) || (joint.kind == "groove" && joint.bonds.is_empty())
            || joint
                .bonds
                .iter()
                .any(|bond| bond.design == Design::Floating)
    });
    match given_glue(job, one, into) {
        Some(known) => GlueJoint {
            name,
            between,
            ..known.clone()
        },
        None => GlueJoint {
            name,
            between,
            glued: !floats,
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
    // The groove of a bottom that slides in from behind runs out at the back.
    let slides_in = job.joints.iter().any(|joint| {
        joint.kind == "drawer_bottom" && joint.bodies.iter().any(|bodies| bodies[0] == one)
    });
    match kind {
        "groove" if slides_in && contact.axis() != SpaceAxis::Y => Entry::OpenAt(BoxFace::Back),
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
                (false, false) => Entry::Stopped(along),
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

/// Stages as lines.
fn stage_words(
    stages: &[StageFinding],
    fewest_proven: bool,
    why_none: Option<&String>,
    later: &[String],
) -> Vec<String> {
    let mut words = Vec::new();
    if let Some(why) = why_none {
        words.push(format!("There is no order: {why}."));
    }
    for (number, stage) in stages.iter().enumerate() {
        words.push(format!(
            "Stage {}: {:.1} of {:.1} minutes open time, {} clamps.",
            number + 1,
            stage.glue_minutes,
            stage.open_minutes,
            stage.clamps
        ));
        for (step, made) in stage.moves.iter().enumerate() {
            let toward = BoxFace::ALL
                .into_iter()
                .find(|face| face.word() == made.direction)
                .map_or("", toward_words);
            words.push(format!(
                "  {}. {}: {toward} onto {}.",
                step + 1,
                made.body.join(" with "),
                made.meets.join(" and ")
            ));
        }
    }
    if !stages.is_empty() {
        words.push(
            if fewest_proven {
                "No order needs fewer stages."
            } else {
                "Fewer stages were not found, and are not proven impossible."
            }
            .to_owned(),
        );
    }
    if !later.is_empty() {
        words.push(format!("After the glue: {}.", later.join(", ")));
    }
    words
}

impl AssemblyFinding {
    /// Each stage in one line, or why there is no order.
    #[must_use]
    pub fn stage_lines(&self) -> Vec<String> {
        if let Some(why) = &self.why_none {
            return vec![format!("There is no order of assembly: {why}.")];
        }
        self.stages
            .iter()
            .enumerate()
            .map(|(number, stage)| {
                let moves: Vec<String> = stage
                    .moves
                    .iter()
                    .map(|made| {
                        format!(
                            "{} onto {}",
                            made.body.join(" with "),
                            made.meets.join(" and ")
                        )
                    })
                    .collect();
                format!(
                    "Glue-up {}: {} ({:.1} of {:.1} min open time, {} clamps).",
                    number + 1,
                    moves.join("; "),
                    stage.glue_minutes,
                    stage.open_minutes,
                    stage.clamps
                )
            })
            .collect()
    }

    /// The answer in plain words, a line each.
    #[must_use]
    pub fn words(&self) -> Vec<String> {
        let mut words = stage_words(
            &self.stages,
            self.fewest_proven,
            self.why_none.as_ref(),
            &self.later,
        );
        if let Some((_, stages)) = &self.glue_up {
            words.extend(stages.notes.iter().cloned());
        }
        words.extend(self.notes.iter().cloned());
        for group in &self.groups {
            words.push(format!("The {} by itself:", group.group));
            words.extend(
                stage_words(
                    &group.stages,
                    group.fewest_proven,
                    group.why_none.as_ref(),
                    &group.later,
                )
                .into_iter()
                .map(|line| format!("  {line}")),
            );
        }
        words
    }
}
