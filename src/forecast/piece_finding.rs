//! What the places of a job say: its boxes, contacts, openings and chains, its weight and volume, with the closing of every chain through the year.

use super::evaluate::{DaySet, Workspace, move_parts};
use super::prepare::Prepared;
use super::sampling::Inputs;
use crate::chance::Band;
use crate::job::Job;
use crate::joint::joined::part_axis;
use crate::joint::{JointPlan, PartId};
use crate::piece::{BoxFace, Chain, Meeting, SpaceAxis};
use crate::species::SpeciesTable;
use crate::units::{Chance, Length};
use jiff::civil::Date;
use rayon::prelude::*;
use serde::Serialize;

/// Draws behind the band of a chain: sums of a few sizes, so that so many evenly filling draws do.
const DRAWS: usize = 512;
/// Days of the years looked at: every so many.
const EVERY: usize = 7;
/// A chain that is off by less closes: a glue line and a shaving (judgement), mm.
pub(super) const CLOSES_MM: f64 = 0.5;

/// The piece of a job.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PieceFinding {
    /// Every body.
    pub parts: Vec<PlacedPart>,
    /// Every pair of bodies that meets.
    pub contacts: Vec<ContactFinding>,
    /// Every opening with what sits in it.
    pub openings: Vec<OpeningFinding>,
    /// Every loop of parts that must close.
    pub chains: Vec<ChainFinding>,
    /// Outer size from left to right.
    pub width: Length,
    /// Outer size from front to back.
    pub depth: Length,
    /// Outer size from bottom to top.
    pub height: Length,
    /// Its weight at today's moisture; none where a wood is not known.
    pub weight_kg: Option<f64>,
    /// The volume of its wood.
    pub volume_m3: f64,
    /// Parts inside one another without a joint, parts that touch nothing.
    pub warnings: Vec<String>,
}

/// A body in its place.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PlacedPart {
    /// Its name.
    pub name: String,
    /// The part it is one of.
    pub part: String,
    /// The group it belongs to.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub group: Option<String>,
    /// Left face.
    pub left: Length,
    /// Right face.
    pub right: Length,
    /// Front face.
    pub front: Length,
    /// Back face.
    pub back: Length,
    /// Bottom face.
    pub bottom: Length,
    /// Top face.
    pub top: Length,
    /// `x`, `y` or `z`: along which axis its grain runs.
    pub grain_axis: &'static str,
    /// Along which axis its thickness runs.
    pub thickness_axis: &'static str,
    /// The face where its bark side is.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub bark: Option<&'static str>,
    /// The face that shows.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub show: Option<&'static str>,
}

/// Two bodies that meet.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ContactFinding {
    /// The first body.
    pub a: String,
    /// The second.
    pub b: String,
    /// `x`, `y` or `z`: the axis square to the faces that meet.
    pub axis: &'static str,
    /// `touch`, `enters`, `crosses` or `within`.
    pub meeting: &'static str,
    /// How far one reaches into the other.
    pub depth: Length,
    /// The area that both cover.
    pub area_mm2: f64,
    /// The joint made there; none for a dry contact, which pushes only.
    pub joint: Option<String>,
}

/// An opening with what sits in it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct OpeningFinding {
    /// What sits in it.
    pub part: String,
    /// What bounds it, by face.
    pub bounds: Vec<BoundFinding>,
    /// Width of the opening today.
    pub width: Length,
    /// Height of the opening today.
    pub height: Length,
    /// The hinge side.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub hinge: Option<&'static str>,
    /// The parts whose sizes make the width.
    pub width_from: Vec<String>,
    /// The parts whose sizes make the height.
    pub height_from: Vec<String>,
}

/// One side of an opening.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct BoundFinding {
    /// `left`, `right`, `bottom`, `top` or `back`.
    pub face: &'static str,
    /// What bounds it there.
    pub part: String,
    /// The clearance there today, as placed.
    pub clearance: Length,
}

/// A loop of parts that must close.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ChainFinding {
    /// Its parts, the one held between first.
    pub parts: Vec<String>,
    /// `x`, `y` or `z`.
    pub axis: &'static str,
    /// What is missing today: positive where the first part is too short for its place, negative where it is too long.
    pub closing: Length,
    /// Lower end of the band of its minimum through the year.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub closing_low_mm: Option<Length>,
    /// Upper end of the band of its maximum through the year.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub closing_high_mm: Option<Length>,
    /// What is missing on the worst day of the middle draw.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub worst_mm: Option<Length>,
    /// That day.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub worst_on: Option<Date>,
    /// Chance that it is off by more than half a millimeter some time.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub off_chance_percent: Option<Chance>,
}

/// Sizes of a chain as parts, axes and signed lengths: what is missing is their sum with each grown by its ratio.
fn terms_of(job: &Job, chain: &Chain) -> Vec<(PartId, crate::joint::Axis, f64)> {
    let piece = &job.piece;
    let of = |body: usize, size: f64| {
        let axis = part_axis(piece, body, chain.axis);
        (PartId(piece.bodies[body].part), axis, size)
    };
    chain
        .around
        .iter()
        .filter_map(|term| term.body.map(|body| of(body, term.size.mm())))
        .chain([of(chain.body, -chain.own.mm())])
        .collect()
}

/// Joints in which a part floats: its clearance is their fit's business, and no loop through it must close.
const FLOATING: [&str; 4] = [
    "frame_and_panel",
    "rabbet",
    "drawer_bottom",
    "tongue_and_groove",
];

/// The loops that must close: not those of a part that floats.
fn closing(job: &Job) -> Vec<&Chain> {
    let floats = |body: usize| {
        job.joints.iter().any(|joint| {
            FLOATING.contains(&joint.kind) && joint.bodies.iter().any(|pair| pair[0] == body)
        })
    };
    job.piece
        .chains
        .iter()
        .filter(|chain| !floats(chain.body))
        .collect()
}

fn meeting_word(meeting: Meeting) -> &'static str {
    match meeting {
        Meeting::Touch => "touch",
        Meeting::Enters => "enters",
        Meeting::Crosses => "crosses",
        Meeting::Within => "within",
    }
}

/// The joint made where two bodies meet.
#[must_use]
pub fn joint_of(joints: &[JointPlan], a: usize, b: usize) -> Option<usize> {
    joints.iter().position(|joint| {
        joint
            .bodies
            .iter()
            .any(|pair| *pair == [a, b] || *pair == [b, a])
    })
}

impl PieceFinding {
    /// What the places of a job say today; `None` where nothing is placed.
    #[must_use]
    pub fn today(job: &Job, species: &SpeciesTable) -> Option<Self> {
        let piece = &job.piece;
        let outer = piece.outer()?;
        let name = |body: usize| piece.bodies[body].name.clone();
        let part_name = |body: usize| job.parts[piece.bodies[body].part].name.clone();
        let parts = piece
            .bodies
            .iter()
            .enumerate()
            .map(|(index, body)| {
                let face = |face| body.cuboid.face(face).length();
                let part = &job.parts[body.part];
                PlacedPart {
                    name: body.name.clone(),
                    part: part_name(index),
                    group: body.group.map(|group| piece.groups[group].name.clone()),
                    left: face(BoxFace::Left),
                    right: face(BoxFace::Right),
                    front: face(BoxFace::Front),
                    back: face(BoxFace::Back),
                    bottom: face(BoxFace::Bottom),
                    top: face(BoxFace::Top),
                    grain_axis: body.orientation.length().letter(),
                    thickness_axis: body.orientation.thickness().letter(),
                    bark: body.bark.or(part.bark).map(BoxFace::word),
                    show: part.show.map(BoxFace::word),
                }
            })
            .collect();
        let contacts: Vec<ContactFinding> = piece
            .contacts
            .iter()
            .map(|contact| ContactFinding {
                a: name(contact.a),
                b: name(contact.b),
                axis: contact.axis().letter(),
                meeting: meeting_word(contact.meeting),
                depth: contact.depth(),
                area_mm2: contact.area_mm2(),
                joint: joint_of(&job.joints, contact.a, contact.b)
                    .map(|joint| job.joints[joint].name.clone()),
            })
            .collect();
        let openings = piece
            .openings
            .iter()
            .map(|opening| {
                let from = |axis: SpaceAxis| {
                    let mut names: Vec<String> = opening.chains[axis as usize]
                        .iter()
                        .filter(|term| term.size.nanometres() != 0)
                        .filter_map(|term| term.body.map(name))
                        .collect();
                    names.dedup();
                    names
                };
                OpeningFinding {
                    part: opening.name.clone(),
                    bounds: BoxFace::ALL
                        .into_iter()
                        .filter_map(|face| {
                            let bound = opening.bounds[face as usize].as_ref()?;
                            Some(BoundFinding {
                                face: face.word(),
                                part: bound.name.clone(),
                                clearance: opening.clearance(face)?,
                            })
                        })
                        .collect(),
                    width: opening.space.size(SpaceAxis::X).length(),
                    height: opening.space.size(SpaceAxis::Z).length(),
                    hinge: opening.hinge.map(|side| side.0.word()),
                    width_from: from(SpaceAxis::X),
                    height_from: from(SpaceAxis::Z),
                }
            })
            .collect();
        let chains = closing(job)
            .into_iter()
            .map(|chain| ChainFinding {
                parts: chain.bodies().map(name).collect(),
                axis: chain.axis.letter(),
                closing: chain.closing_length(),
                closing_low_mm: None,
                closing_high_mm: None,
                worst_mm: None,
                worst_on: None,
                off_chance_percent: None,
            })
            .collect();
        let mut weight = Some(0.0);
        let mut volume = 0.0;
        for body in &piece.bodies {
            let part = &job.parts[body.part];
            let each = body.cuboid.volume_mm3() / 1e9;
            volume += each;
            let density = species
                .find(&part.species)
                .ok()
                .map(|wood| wood.density_kg_per_m3(part.moisture));
            weight = weight
                .zip(density)
                .map(|(weight, density)| weight + each * density);
        }
        Some(Self {
            parts,
            openings,
            chains,
            width: outer.size(SpaceAxis::X).length(),
            depth: outer.size(SpaceAxis::Y).length(),
            height: outer.size(SpaceAxis::Z).length(),
            weight_kg: weight,
            volume_m3: volume,
            warnings: warnings(job, &contacts),
            contacts,
        })
    }

    /// The same with the closing of every chain through the years at home.
    pub(super) fn through_the_year(&mut self, job: &Job, prepared: &Prepared, inputs: &Inputs) {
        let chains: Vec<_> = closing(job)
            .into_iter()
            .map(|chain| (terms_of(job, chain), chain.closing_length().mm()))
            .collect();
        if chains.is_empty() {
            return;
        }
        let timeline = &prepared.timeline;
        let set = DaySet::new(
            (timeline.delivered()..timeline.days())
                .step_by(EVERY)
                .collect(),
        );
        let missing =
            |workspace: &Workspace, chain: &(Vec<(PartId, crate::joint::Axis, f64)>, f64)| {
                let days = set.days().len();
                let mut sums = vec![chain.1; days];
                for (part, axis, size) in &chain.0 {
                    let ratios = workspace.motion.ratios(*part, *axis);
                    for (sum, ratio) in sums.iter_mut().zip(ratios) {
                        *sum += size * ratio;
                    }
                }
                sums
            };
        let thin = prepared.on(&set);
        let mut middle = Workspace::new(&thin, &set);
        move_parts(&thin, &inputs.middle(), &set, &mut middle);
        let count = DRAWS.min(job.draws as usize).max(1);
        let ends: Vec<Vec<(f64, f64)>> = inputs
            .first_draws(job.seed, count)
            .into_par_iter()
            .map_init(
                || Workspace::new(&thin, &set),
                |workspace, draw| {
                    move_parts(&thin, &draw, &set, workspace);
                    chains
                        .iter()
                        .map(|chain| {
                            let sums = missing(workspace, chain);
                            sums.iter()
                                .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), sum| {
                                    (low.min(*sum), high.max(*sum))
                                })
                        })
                        .collect()
                },
            )
            .collect();
        for (index, (chain, finding)) in chains.iter().zip(&mut self.chains).enumerate() {
            let mut lows: Vec<f64> = ends.iter().map(|draw| draw[index].0).collect();
            let mut highs: Vec<f64> = ends.iter().map(|draw| draw[index].1).collect();
            let off = ends
                .iter()
                .filter(|draw| draw[index].0 < -CLOSES_MM || draw[index].1 > CLOSES_MM)
                .count();
            let mm = Length::from_mm_unchecked;
            finding.closing_low_mm = Band::of(&mut lows).map(|band| mm(band.low));
            finding.closing_high_mm = Band::of(&mut highs).map(|band| mm(band.high));
            let off = 100.0 * off as f64 / ends.len() as f64;
            finding.off_chance_percent = Some(Chance::computed_percent(off));
            let sums = missing(&middle, chain);
            let worst = sums
                .iter()
                .enumerate()
                .max_by(|a, b| a.1.abs().total_cmp(&b.1.abs()));
            if let Some((day, sum)) = worst {
                finding.worst_mm = Some(mm(*sum));
                finding.worst_on = Some(timeline.date(set.days()[day]));
            }
        }
    }
}

/// What is doubtful about the places.
fn warnings(job: &Job, contacts: &[ContactFinding]) -> Vec<String> {
    let mut warnings = Vec::new();
    for contact in contacts {
        if contact.joint.is_none() && contact.depth > Length::ZERO {
            warnings.push(format!(
                "`{}` and `{}` are inside one another by {:.1} mm and no joint says how",
                contact.a,
                contact.b,
                contact.depth.mm()
            ));
        }
    }
    let piece = &job.piece;
    let held: Vec<usize> = piece
        .openings
        .iter()
        .flat_map(|opening| opening.bodies.clone())
        .collect();
    for (index, body) in piece.bodies.iter().enumerate() {
        let touches = piece.contacts_of(index).next().is_some();
        let stands = body.cuboid.low(SpaceAxis::Z).nanometres() == 0;
        if !touches && !held.contains(&index) && !stands && piece.bodies.len() > 1 {
            warnings.push(format!("`{}` touches nothing", body.name));
        }
    }
    for part in &job.parts {
        if part.orientation.is_none() && !piece.bodies.is_empty() {
            warnings.push(format!(
                "`{}` has no place: it is left out of contacts, pictures and weight",
                part.name
            ));
        }
    }
    warnings
}

/// The chains worth a word: those that are off today, or likely to be some time.
#[must_use]
pub fn piece_words(finding: &PieceFinding) -> Vec<String> {
    let mut words = finding.warnings.clone();
    for chain in &finding.chains {
        let name = chain.parts.first().map_or("", String::as_str);
        let way = |off: Length| {
            if off > Length::ZERO {
                "too short"
            } else {
                "too long"
            }
        };
        let today = chain.closing;
        if today.abs().mm() > 0.05 {
            words.push(format!(
                "{name} is {:.1} mm {} for its place today",
                today.abs().mm(),
                way(today)
            ));
        }
        if let (Some(worst), Some(on), Some(chance)) =
            (chain.worst_mm, chain.worst_on, chain.off_chance_percent)
            && chance.percent() >= 50.0
            && (worst - today).abs().mm() > CLOSES_MM / 2.0
        {
            words.push(format!(
                "{name} is {:.1} mm {} for its place around {on}; {:.0} in 100 are off by more than {CLOSES_MM} mm some time",
                worst.abs().mm(),
                way(worst),
                chance.percent()
            ));
        }
    }
    words
}
