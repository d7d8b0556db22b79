//! The case as one frame: what is left of each bow, the forces of the joints, and which boards to turn over.

use super::prepare::Prepared;
use crate::carcass::frame::{
    BodyJoint, Bonds, CaseBoard, CaseFrame, DividerChange, END_GRAIN_MPA, Frame, FrameDraw,
    FrameSample, Hold, JointCheck, JointForce, State, TurningStiffness, best_turns,
    cut_to_the_bowed_opening, set_while_bowed,
};
use crate::carcass::keys::{BowPlan, PartWood};
use crate::chance::{Band, Draws, NINE_IN_TEN, Verdict, in_hundred, normal_chance};
use crate::job::Job;
use crate::joint::JointPlan;
use crate::units::notation::shown;
use crate::units::{Chance, Force, Length, Stress, UnitSystem};
use rayon::prelude::*;
use serde::Serialize;

/// A residual bow beyond this share of the span is marginal (judgement).
const MARGINAL_SHARE: f64 = 1.0 / 500.0;
/// Beyond this it fails (judgement).
const FAILS_SHARE: f64 = 1.0 / 200.0;
/// Creep of boards and joints after years (sheet I; Wood Handbook ch. 5, from memory: creep about equals the first deflection).
const AFTER_YEARS: f64 = 1.0;
/// Spread of stiffness and strength behind the chance that a joint breaks: 22 and 25 % (Wood Handbook Table 5-6, from memory).
const DEMAND_COV: f64 = 0.22;
const STRENGTH_COV: f64 = 0.25;
/// A bow read with a feeler under a straightedge is right within this, nine times in ten, mm (judgement, as for a reading of the log).
const BOW_WITHIN_MM: f64 = 0.3;
/// How much the bonds of one piece have in common, made by one hand with one glue: correlation of their quality (judgement).
const BONDS_ALIKE: f64 = 0.5;
/// Mass of water that wood at about 9 % has beside its oven-dry mass, kg/m3 for a specific gravity of 1 at 12 %.
const HANGING_KG_PER_M3: f64 = 1090.0;

/// The case as one frame.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FrameFinding {
    /// The boards.
    pub boards: Vec<FrameBoard>,
    /// The joints.
    pub joints: Vec<FrameJoint>,
    /// The boards to turn over.
    pub best_turns: Vec<String>,
    /// The largest residual bow with those turned over.
    pub best_residual: Length,
    /// Whether every choice of faces was looked at; beyond fourteen bowed boards only the fourteen worst are turned.
    pub best_turns_proven: bool,
    /// The largest residual bow as the boards lie now.
    pub residual: Length,
    /// What is set at glue-up.
    pub glue_up: GlueUpFinding,
    /// What one divider more gives, at its best place; none where it gives less than a tenth.
    pub one_more_divider: Option<DividerFinding>,
    /// What moving one of the dividers gives, at its best place; none where that gives less than a tenth.
    pub moved_divider: Option<DividerFinding>,
    /// What to know of it.
    pub notes: Vec<String>,
    /// The same boards for the figure, before and held.
    #[serde(skip)]
    pub lines: Vec<FrameLine>,
}

/// One board of the frame.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FrameBoard {
    /// Its name.
    pub part: String,
    /// Which way its crown faces now: `up`, `down`, `left`, `right`; `none` where it is straight.
    pub crown: &'static str,
    /// Whether to turn it over.
    pub turn_over: bool,
    /// What is left of its bow with the usual bond, signed, toward its own up or left; its ends are those of a poor and of a
    /// perfect bond.
    pub residual: Band<Length>,
    /// The same where no joint keeps it from turning.
    pub residual_hinged: Length,
    /// The same after years, with what it carries.
    pub residual_after_years: Length,
    /// Stress at its face.
    pub stress: Stress,
    /// Chance that what is left stays within what is allowed, or within 1/500 of its span.
    pub keeps_chance: Chance,
    /// The verdict.
    pub verdict: Verdict,
    /// Whether it carries a load beside its own weight.
    #[serde(skip)]
    pub loaded: bool,
}

/// One joint of the frame.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FrameJoint {
    /// The board whose end it is.
    pub a: String,
    /// The board it enters.
    pub b: String,
    /// Size of the force between them.
    pub force: Force,
    /// Its pull along the board `a`; negative where it presses.
    pub pull: Force,
    /// Moment between them.
    pub moment_nm: f64,
    /// What it is asked for over what breaks it.
    pub share: f64,
    /// Chance that it breaks.
    pub break_chance: Chance,
    /// The verdict.
    pub verdict: Verdict,
    /// Where it is: to the right and up.
    #[serde(skip)]
    pub at: [Length; 2],
}

/// A divider more, or one in another place.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct DividerFinding {
    /// The divider that is moved; none where one is added.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub part: Option<String>,
    /// The two boards it holds apart.
    pub between: [String; 2],
    /// Where its middle is then, from the left end.
    pub at: Length,
    /// The largest residual bow then.
    pub residual: Length,
}

/// What the glue sets.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct GlueUpFinding {
    /// The largest residual bow with cauls that hold the boards straight until the glue is hard.
    pub cauls_residual: Length,
    /// With one upright cut to the opening as it is when the ends alone are joined; nothing where none stands between two boards.
    pub cut_to_bowed_opening_residual_mm: Option<Length>,
    /// With glue that sets in loose housings while the boards lie bowed.
    pub set_while_bowed_residual: Length,
}

/// One board for the figure.
#[derive(Debug, Clone, PartialEq)]
pub struct FrameLine {
    /// Its name.
    pub part: String,
    /// Its centre line.
    pub start: [Length; 2],
    /// Its end.
    pub end: [Length; 2],
    /// Its thickness.
    pub thickness: Length,
    /// Place along it and height, free.
    pub free: Vec<[Length; 2]>,
    /// The same, held.
    pub held: Vec<[Length; 2]>,
}

fn hold_of(kind: &str, joint: &JointPlan) -> Hold {
    let floats = joint
        .bonds
        .iter()
        .any(|bond| bond.design == crate::joint::plan::Design::Floating);
    match kind {
        "screwed" | "cleat" | "table_top_button" | "screw_slot" | "plinth" | "hinged" => {
            Hold::Screwed
        }
        _ if floats => Hold::Dry,
        _ => Hold::Glued,
    }
}

/// The case of a job as a frame; `None` in a job without places, without bows and loads, or of boards that hold one another in no joint.
fn case(job: &Job, prepared: &Prepared) -> Option<CaseFrame> {
    let piece = &job.piece;
    if job.bows.is_empty() {
        return None;
    }
    let bow_of = |body: usize| -> Option<&BowPlan> {
        job.bows.iter().find(|bow| bow.bodies.contains(&body))
    };
    let boards: Vec<Option<CaseBoard>> = piece
        .bodies
        .iter()
        .enumerate()
        .map(|(body, one)| {
            let species = &prepared.parts.get(one.part)?.species;
            let wood = PartWood::of(species);
            let bow = bow_of(body);
            let modulus_mpa = bow
                .and_then(|bow| bow.stiffness)
                .unwrap_or(wood.modulus)
                .mpa();
            let load = job
                .shelves
                .iter()
                .find(|shelf| [one.part, one.plan].contains(&shelf.part.0))
                .map_or(0.0, |shelf| shelf.even_load_n_per_mm(one.sizes()[0]));
            Some(CaseBoard {
                modulus_mpa,
                face_modulus_mpa: TurningStiffness::face_of(species, modulus_mpa),
                density_kg_per_m3: HANGING_KG_PER_M3 * wood.gravity,
                load_n_per_mm: load,
                shape: bow.map(|bow| bow.shape.clone()),
            })
        })
        .collect();
    let joined: Vec<BodyJoint> = job
        .joints
        .iter()
        .flat_map(|joint| joint.bodies.iter().map(move |bodies| (joint, *bodies)))
        .map(|(joint, bodies)| {
            let bow = bodies.iter().find_map(|body| bow_of(*body));
            BodyJoint {
                bodies,
                hold: bow
                    .and_then(|bow| bow.held)
                    .unwrap_or_else(|| hold_of(joint.kind, joint)),
                measured: bow.and_then(|bow| bow.bond),
            }
        })
        .collect();
    CaseFrame::of(piece, &boards, &joined)
}

/// A length of the frame's own numbers.
fn mm(length_mm: f64) -> Length {
    Length::from_mm_unchecked(length_mm)
}

fn solved(frame: &Frame) -> Option<State> {
    frame.responses().ok()?.as_given().ok()
}

/// The frame of a job, answered by the middle draw.
pub(super) fn finding(job: &Job, prepared: &Prepared) -> Option<FrameFinding> {
    let case = case(job, prepared)?;
    let responses = case.frame.responses().ok()?;
    let usual = responses.as_given().ok()?;
    let best = best_turns(&responses).ok()?;
    let with = |bonds: Bonds| solved(&case.with_bonds(bonds));
    let (low, high, hinged) = (with(Bonds::Low)?, with(Bonds::High)?, with(Bonds::Hinged)?);
    let years = solved(&case.frame.after_months(AFTER_YEARS))?;
    let allowed = |index: usize| {
        job.bows
            .iter()
            .find(|bow| bow.bodies.contains(&case.bodies[index]))
            .and_then(|bow| bow.allowed)
            .map(Length::mm)
    };
    let limits: Vec<f64> = case
        .frame
        .members
        .iter()
        .enumerate()
        .map(|(index, member)| {
            allowed(index).unwrap_or_else(|| MARGINAL_SHARE * member.length_mm())
        })
        .collect();
    let (drawn, (one_more_divider, moved_divider)) = rayon::join(
        || Drawn::of(job, prepared, &case, &limits),
        || rayon::join(|| case.one_more_divider(), || case.best_move_of_a_divider()),
    );
    let drawn = drawn?;
    let name = |member: usize| job.piece.bodies[case.bodies[member]].name.clone();
    let boards: Vec<FrameBoard> = case
        .frame
        .members
        .iter()
        .enumerate()
        .map(|(index, member)| {
            let of = |state: &State| state.boards[index].residual;
            let left = of(&usual);
            let (_, crown) = member.shape.crown();
            let upright = (member.start_mm[0] - member.end_mm[0]).abs() < 0.5;
            let span = member.length_mm();
            let allowed = allowed(index);
            let off = left.abs().mm();
            let verdict = match allowed {
                Some(allowed) if off > allowed => Verdict::Fails,
                Some(_) => Verdict::Holds,
                None if off > FAILS_SHARE * span => Verdict::Fails,
                None if off > MARGINAL_SHARE * span => Verdict::Marginal,
                None => Verdict::Holds,
            };
            FrameBoard {
                part: name(index),
                crown: match (member.shape.is_straight(), upright, crown > 0.0) {
                    (true, ..) => "none",
                    (_, false, true) => "up",
                    (_, false, false) => "down",
                    (_, true, true) => "left",
                    (_, true, false) => "right",
                },
                turn_over: best.turn_over[index],
                residual: Band::new([of(&low), of(&high)], left),
                residual_hinged: of(&hinged),
                residual_after_years: of(&years),
                stress: usual.boards[index].stress,
                keeps_chance: drawn.keeps[index],
                verdict,
                loaded: member.load_n_per_mm > 0.0,
            }
        })
        .collect();
    let joints = joints(job, prepared, &case, &usual, &drawn.breaks);
    let largest =
        |frame: &Frame| solved(frame).map_or(Length::ZERO, |state| state.largest_residual());
    let glue_up = GlueUpFinding {
        cauls_residual: usual.largest_residual(),
        cut_to_bowed_opening_residual_mm: cut_to_the_bowed_opening(&case.frame)
            .iter()
            .map(largest)
            .reduce(Length::max),
        set_while_bowed_residual: largest(&set_while_bowed(&case.frame)),
    };
    let divider = |change: DividerChange| DividerFinding {
        part: change.moved.map(name),
        between: change.between.map(name),
        at: change.at,
        residual: change.residual,
    };
    let one_more_divider = one_more_divider.map(divider);
    let moved_divider = moved_divider.map(divider);
    let mut notes = case.notes.clone();
    if !best.proven() {
        notes.push(format!(
            "{} boards are bowed: only the {} worst are turned over, the others stay as they lie",
            best.bowed,
            best.tried.len()
        ));
    }
    let lines = case
        .frame
        .members
        .iter()
        .enumerate()
        .map(|(index, member)| FrameLine {
            part: name(index),
            start: member.start_mm.map(mm),
            end: member.end_mm.map(mm),
            thickness: mm(member.thickness_mm),
            free: (0..=40)
                .map(|i| {
                    let at = member.length_mm() * f64::from(i) / 40.0;
                    [at, member.shape.at(at).0].map(mm)
                })
                .collect(),
            held: usual
                .shape_mm(index)
                .iter()
                .map(|(at, up)| [mm(*at), mm(*up)])
                .collect(),
        })
        .collect();
    Some(FrameFinding {
        boards,
        joints,
        best_turns: best
            .turn_over
            .iter()
            .enumerate()
            .filter(|(_, over)| **over)
            .map(|(index, _)| name(index))
            .collect(),
        best_residual: best.residual,
        best_turns_proven: best.proven(),
        residual: usual.largest_residual(),
        glue_up,
        one_more_divider,
        moved_divider,
        notes,
        lines,
    })
}

/// What presses a joint of the case outward along its piece, N, and what it is asked for over what breaks it.
fn checked(
    job: &Job,
    prepared: &Prepared,
    case: &CaseFrame,
    index: usize,
    force: &JointForce,
) -> (f64, JointCheck) {
    let (known, joint) = (&case.joints[index], &case.frame.joints[index]);
    let [c, s] = case.frame.members[joint.piece].direction();
    let outward = if joint.at_end { 1.0 } else { -1.0 };
    let push = outward * (c * force.x_n + s * force.y_n);
    let shear = c * force.y_n - s * force.x_n;
    let part = job.piece.bodies[known.into].part;
    let compression = prepared.parts[part].species.compression_across_mpa().value;
    let sizes = [
        known.turning.width_mm,
        known.turning.thickness_mm,
        known.turning.depth_mm,
    ];
    let check = JointCheck::of(
        -push,
        shear,
        force.moment_n_mm,
        sizes,
        END_GRAIN_MPA,
        compression,
    );
    (push, check)
}

/// The joints with the usual bond, and the chance that each breaks.
fn joints(
    job: &Job,
    prepared: &Prepared,
    case: &CaseFrame,
    usual: &State,
    breaks: &[Chance],
) -> Vec<FrameJoint> {
    let name = |body: usize| job.piece.bodies[body].name.clone();
    case.joints
        .iter()
        .zip(&case.frame.joints)
        .zip(&usual.joints)
        .zip(breaks)
        .enumerate()
        .map(|(index, (((known, joint), force), break_chance))| {
            let (push, checked) = checked(job, prepared, case, index, force);
            let member = &case.frame.members[joint.piece];
            FrameJoint {
                a: name(known.piece),
                b: name(known.into),
                force: Force::computed_newtons(force.size_n()),
                pull: Force::computed_newtons(-push),
                moment_nm: force.moment_n_mm / 1000.0,
                share: checked.share(),
                break_chance: *break_chance,
                verdict: checked.verdict,
                at: if joint.at_end {
                    member.end_mm
                } else {
                    member.start_mm
                }
                .map(mm),
            }
        })
        .collect()
}

/// Draws of the frame at most: its chances are given to a tenth of a percent.
const DRAWS: usize = 2_048;
/// Draws of one block of work.
const BLOCK: usize = 128;

/// The frame in the job's draws.
struct Drawn {
    /// Chance that each board stays within its limit.
    keeps: Vec<Chance>,
    /// Chance that each joint breaks.
    breaks: Vec<Chance>,
}

impl Drawn {
    /// Draws the bows as read, the stiffness of the wood, how good each bond is, and the strength of each joint, and solves the frame in each
    /// draw. `None` when a draw cannot be held.
    fn of(job: &Job, prepared: &Prepared, case: &CaseFrame, limits: &[f64]) -> Option<Self> {
        let deviation = |spread: f64| libm::log(1.0 + spread * spread).sqrt();
        let (demand, strength) = (deviation(DEMAND_COV), deviation(STRENGTH_COV));
        let members = &case.frame.members;
        let frame = case.frame.draws().ok()?;
        let rises: Vec<f64> = members
            .iter()
            .map(|member| member.shape.crown().1.abs())
            .collect();
        // Numbers of a draw: the wood, what the bonds have in common, then each bond, each joint's strength, each bow.
        let (boards, joints) = (members.len(), case.joints.len());
        let draws = Draws::sobol(job.seed, 2 + 2 * joints + boards);
        let count = (job.draws.max(1) as usize).min(DRAWS);
        let block = |block: usize| {
            let mut numbers = vec![0.0; draws.dimensions()];
            let (mut bows, mut turning) = (vec![1.0; boards], vec![1.0; joints]);
            let mut sample = FrameSample::default();
            let (mut kept, mut broken) = (vec![0_u32; boards], vec![0_u32; joints]);
            for draw in block * BLOCK..count.min((block + 1) * BLOCK) {
                draws.fill_normals(draw, &mut numbers);
                let ([wood, common], rest) = numbers.split_first_chunk()?;
                let (bonds, rest) = rest.split_at(joints);
                let (strengths, readings) = rest.split_at(joints);
                for ((turning, known), own) in turning.iter_mut().zip(&case.joints).zip(bonds) {
                    let z = BONDS_ALIKE.sqrt() * common + (1.0 - BONDS_ALIKE).sqrt() * own;
                    *turning = known.quality.over_usual(normal_chance(z));
                }
                for ((bow, rise), z) in bows.iter_mut().zip(&rises).zip(readings) {
                    if *rise > 0.0 {
                        *bow = 1.0 + z * BOW_WITHIN_MM / NINE_IN_TEN / rise;
                    }
                }
                let asked = FrameDraw {
                    bows: &bows,
                    stiffness: libm::exp(demand * wood),
                    turning: &turning,
                };
                frame.fill(asked, &mut sample).ok()?;
                for ((kept, left), limit) in kept.iter_mut().zip(&sample.residual_mm).zip(limits) {
                    *kept += u32::from(left <= limit);
                }
                for (index, force) in sample.joints.iter().enumerate() {
                    // A dry joint only presses: nothing of it can break apart.
                    if case.joints[index].hold != Hold::Dry {
                        let (_, check) = checked(job, prepared, case, index, force);
                        let holds = libm::exp(strength * strengths[index]);
                        broken[index] += u32::from(check.share() > holds);
                    }
                }
            }
            Some([kept, broken])
        };
        let blocks: Vec<[Vec<u32>; 2]> = (0..count.div_ceil(BLOCK))
            .into_par_iter()
            .map(block)
            .collect::<Option<_>>()?;
        let (mut kept, mut broken) = (vec![0_u32; boards], vec![0_u32; joints]);
        for [more_kept, more_broken] in blocks {
            for (sum, more) in kept.iter_mut().zip(more_kept) {
                *sum += more;
            }
            for (sum, more) in broken.iter_mut().zip(more_broken) {
                *sum += more;
            }
        }
        let chances = |counts: Vec<u32>| {
            counts
                .into_iter()
                .map(|hits| (1000.0 * f64::from(hits) / count as f64).round() / 10.0)
                .map(Chance::computed_percent)
                .collect()
        };
        Some(Self {
            keeps: chances(kept),
            breaks: chances(broken),
        })
    }
}

impl FrameFinding {
    /// The answer in plain words, a line each.
    #[must_use]
    pub fn words(&self, units: UnitSystem) -> Vec<String> {
        let size = |length: Length| shown(length.abs(), units);
        let mut words: Vec<String> = self
            .boards
            .iter()
            .filter(|board| board.crown != "none" || board.residual.middle.mm().abs() >= 0.05)
            .map(|board| {
                let mut line = format!(
                    "{}: {} off straight (at most {} between a poor and a perfect bond, {} where its joints turn freely). It {}; it stays within its limit in {}.",
                    board.part,
                    size(board.residual.middle),
                    size(larger(board.residual.low, board.residual.high)),
                    size(board.residual_hinged),
                    board.verdict.word(),
                    in_hundred(board.keeps_chance)
                );
                if board.loaded {
                    line += &format!(
                        " After years under its load: {}.",
                        size(board.residual_after_years)
                    );
                }
                line
            })
            .collect();
        for joint in &self.joints {
            if joint.verdict != Verdict::Holds {
                words.push(format!(
                    "{} in {}: {:.0} N and {:.1} N m, {:.0} % of what breaks it. It {}; the chance that it breaks is {}.",
                    joint.a,
                    joint.b,
                    joint.force.newtons(),
                    joint.moment_nm.abs(),
                    100.0 * joint.share,
                    joint.verdict.word(),
                    in_hundred(joint.break_chance)
                ));
            }
        }
        words.push(if self.best_turns.is_empty() {
            format!(
                "Leave every board as it lies: no other choice of faces leaves less than {}{}.",
                size(self.best_residual),
                if self.best_turns_proven {
                    ""
                } else {
                    " among those tried"
                }
            )
        } else {
            format!(
                "Turn over {}: the largest residual bow is then {} instead of {}.",
                self.best_turns.join(", "),
                size(self.best_residual),
                size(self.residual)
            )
        });
        if let Some(more) = &self.one_more_divider {
            words.push(format!(
                "One divider more, between {} and {} at {} from the left, would leave {}.",
                more.between[0],
                more.between[1],
                size(more.at),
                size(more.residual)
            ));
        }
        if let Some(DividerFinding {
            part: Some(part),
            at,
            residual,
            ..
        }) = &self.moved_divider
        {
            words.push(format!(
                "Moving {part} to {} from the left would leave {}.",
                size(*at),
                size(*residual)
            ));
        }
        let mut glue_up = format!(
            "Hold the boards straight with cauls until the glue is hard ({} left). Glue that sets while they lie bowed leaves {}",
            size(self.glue_up.cauls_residual),
            size(self.glue_up.set_while_bowed_residual)
        );
        if let Some(left) = self.glue_up.cut_to_bowed_opening_residual_mm {
            glue_up += &format!(
                "; an upright cut to the opening between the joined ends leaves {}: cut it to the drawing",
                size(left)
            );
        }
        words.push(glue_up + ".");
        words.push(
            "What matters most here is not known: how little a glued joint turns. Measure it: clamp an arm at its shoulder, hang a weight P at its tip and note the drop; glue the arm as an L to an off-cut of the other board, hang the same weight, and note how much farther it drops. Give load, arm, width and extra drop as q_test in [[bows]].".to_owned(),
        );
        words.extend(self.notes.iter().cloned());
        words
    }
}

fn larger(one: Length, other: Length) -> Length {
    one.abs().max(other.abs())
}
