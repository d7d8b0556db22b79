//! The standing piece: panels pulled straight, loaded shelves, glue-up stages, installation.

use super::assembly::AssemblyFinding;
use super::prepare::Prepared;
use super::sampling::Inputs;
use super::standing_draws::{Bending, ShelfSpread, StraightenSpread};
use super::timeline::YEAR;
use crate::carcass::keys::{
    InstallFinding, PartWood, ShelfFinding, StraightenFinding, answer_shelves, answer_straighten,
};
use crate::carcass::{Piece, Settling, StagePicture, Stages, stage_pictures};
use crate::job::Job;
use crate::joint::{Motion, PartFacts, PartId};
use crate::numerics::{Deadline, Stopped};
use crate::units::spanned::Problems;

/// Share of its way to the air of the place at which a part counts as settled.
const SETTLED_SHARE: f64 = 0.9;

/// What was found of the standing piece.
#[derive(Debug, Clone, Default)]
pub struct Standing {
    /// Bowed panels held straight, in the order of the file.
    pub straighten: Vec<StraightenFinding>,
    /// How their answers spread, in the same order; none where only the middle was asked.
    pub straighten_spread: Vec<StraightenSpread>,
    /// Loaded shelves, in the order of the file.
    pub shelves: Vec<ShelfFinding>,
    /// How their answers spread, in the same order; none where only the middle was asked.
    pub shelf_spread: Vec<ShelfSpread>,
    /// The piece as it is glued and the stages of the glue-up.
    pub glueup: Option<(Piece, Stages)>,
    /// In which order the piece goes together, by its places; none without them.
    pub assembly: Option<AssemblyFinding>,
    /// What each stage puts together, for the figures.
    pub stage_pictures: Vec<StagePicture>,
    /// Levelling and fastening on site.
    pub install: Option<InstallFinding>,
}

/// Days after delivery on which a part has gone 90 % of its way to what it does once settled.
fn settling_days(track: &[f64], delivered: usize) -> f64 {
    let start = track[delivered];
    // The settled year begins one year after delivery, on the same day of the year.
    let gone = |day: usize| {
        let there = track[delivered + YEAR + day];
        let way = there - start;
        if way.abs() < 0.05 {
            return true;
        }
        (track[delivered + day] - start) / way >= SETTLED_SHARE
    };
    (0..YEAR).find(|day| gone(*day)).unwrap_or(YEAR) as f64
}

/// What is fitted in the air of the place, and how long it takes to come to it: with places the parts that nothing holds, a door or a
/// drawer by its slowest part; without them every part.
fn settling(
    job: &Job,
    facts: &[PartFacts],
    moisture: &dyn Fn(usize) -> Vec<f64>,
    delivered: usize,
    assembly: Option<&AssemblyFinding>,
) -> Vec<Settling> {
    let days = |part: usize| settling_days(&moisture(part), delivered);
    let Some(assembly) = assembly else {
        return (0..facts.len())
            .map(|part| Settling {
                part: facts[part].name.clone(),
                days: days(part),
            })
            .collect();
    };
    let piece = &job.piece;
    let mut list: Vec<Settling> = Vec::new();
    for body in &piece.bodies {
        let group = body.group.map(|group| &piece.groups[group]);
        let own = group.map_or(&body.name, |group| &group.name);
        if !assembly.loose.contains(own) {
            continue;
        }
        let name = group.map_or(&facts[body.part].name, |group| &group.of);
        match list.iter_mut().find(|known| known.part == *name) {
            Some(known) => known.days = known.days.max(days(body.part)),
            None => list.push(Settling {
                part: name.clone(),
                days: days(body.part),
            }),
        }
    }
    list
}

/// Adds how the answers for held panels and shelves spread.
pub(super) fn spread(
    job: &Job,
    prepared: &Prepared,
    inputs: &Inputs,
    deadline: Deadline<'_>,
    found: &mut Standing,
) -> Result<(), Stopped> {
    if found.straighten.is_empty() && found.shelves.is_empty() {
        return Ok(());
    }
    let facts: Vec<PartFacts> = prepared
        .parts
        .iter()
        .map(|part| part.facts.clone())
        .collect();
    let bending = Bending::new(job, prepared, inputs, &facts, deadline);
    found.straighten_spread = bending.straighten(&found.straighten);
    found.shelf_spread = bending.shelves(&found.shelves);
    deadline.check()
}

/// Answers the sections of a job on the standing piece, and notes those that cannot be answered. `motion` is the middle draw
/// on every day, `moisture` gives each part's moisture on the same days. After the deadline the best places of supports are
/// not searched; the caller asks for it.
pub(super) fn standing(
    job: &Job,
    prepared: &Prepared,
    motion: &Motion,
    moisture: &dyn Fn(usize) -> Vec<f64>,
    deadline: Deadline<'_>,
    problems: &mut Problems,
) -> Standing {
    let facts: Vec<PartFacts> = prepared
        .parts
        .iter()
        .map(|part| part.facts.clone())
        .collect();
    let wood = |part: PartId| PartWood::of(&prepared.parts[part.0].species);
    let mut found = Standing::default();
    for (plan, answer) in
        job.straighten
            .iter()
            .zip(answer_straighten(&job.straighten, &facts, wood, deadline))
    {
        match answer {
            Ok(finding) => found.straighten.push(finding),
            Err(error) => problems.refuse(plan.span.clone(), &error.at(&facts[plan.part.0].name)),
        }
    }
    for (plan, answer) in job
        .shelves
        .iter()
        .zip(answer_shelves(&job.shelves, &facts, wood))
    {
        match answer {
            Ok(finding) => found.shelves.push(finding),
            Err(error) => problems.refuse(plan.span.clone(), &error.at(&facts[plan.part.0].name)),
        }
    }
    found.assembly = super::assembly::finding(job);
    // Places say in which order the piece goes together; without them the joints of [glue] do.
    let ordered = found.assembly.as_ref().map(|assembly| &assembly.glue_up);
    if let (Some(plan), Some(ordered)) = (&job.glue, ordered) {
        if let Some((piece, stages)) = ordered.clone() {
            found.stage_pictures = stage_pictures(&piece, &plan.terms, &stages);
            found.glueup = Some((piece, stages));
        }
    } else if let Some(plan) = &job.glue {
        match plan.answer() {
            Ok(stages) => {
                found.stage_pictures = stage_pictures(&plan.piece, &plan.terms, &stages);
                found.glueup = Some((plan.piece.clone(), stages));
            }
            Err(error) => problems.refuse(plan.span.clone(), &error.at("the glue-up")),
        }
    }
    if let Some(plan) = &job.install {
        let delivered = prepared.timeline.delivered();
        let settling = settling(job, &facts, moisture, delivered, found.assembly.as_ref());
        match plan.answer(&facts, motion, &settling, job.schedule.delivered) {
            Ok(finding) => found.install = Some(finding),
            Err(error) => problems.refuse(plan.span.clone(), &error.at("the installation")),
        }
    }
    found
}
