//! The shop's log: a job's readings, what they make of its uncertain inputs, and what follows from that.
//!
//! Every reading is predicted in every draw by the arithmetic of the forecast itself; `chance::ReadInputs` moves the draws to
//! where the readings put them, and weights make good what is not linear. One belief serves the whole job.

mod changes;
mod finding;
mod learned;
mod next;
mod posterior;
mod predict;

pub use changes::{JointChange, LogChange};
pub(super) use finding::finding;
pub use finding::{LogFinding, LogNumbers, LoggedEntry};
pub use learned::Learned;
pub use next::NextMeasurement;
pub(super) use posterior::Posterior;
pub use predict::FirstReading;
pub(super) use predict::Predictor;

use super::airs::Airs;
use super::evaluate::Workspace;
use super::prepare::Prepared;
use super::sampling::Inputs;
use crate::chance::Band;
use crate::job::{Job, LogEntry, LogReading, LogSubject};
use crate::numerics::Deadline;
use crate::units::spanned::Problems;

/// Most inputs that a log may depend on: the update costs as their third power.
const MOST_INPUTS: usize = 400;

/// A log after it was read into the inputs.
pub(super) struct LogRead {
    /// Its entries, in the order of days.
    pub(super) entries: Vec<LogEntry>,
    /// What was expected of each before anything was logged.
    pub(super) expected: Vec<Band>,
    /// By entry, how many deviations it lies from what the others say, where it is doubted.
    pub(super) doubted: Vec<Option<f64>>,
    /// The last entry, by its place.
    pub(super) last: usize,
    /// The inputs without the last entry.
    pub(super) before: Inputs,
    pub(super) effective: f64,
    pub(super) drawn_again: bool,
}

/// The inputs of a job after its log; `None` without a log, and after noting what stands in the way of it. What is noted
/// after the deadline is no fault of the log.
pub(super) fn read(
    job: &Job,
    prepared: &Prepared,
    inputs: &Inputs,
    airs: &Airs,
    workspace: &Workspace,
    deadline: Deadline<'_>,
    problems: &mut Problems,
) -> Option<(Inputs, LogRead)> {
    let first = job.log.first()?;
    for entry in &job.log {
        if let (LogSubject::Part(part), LogReading::Cup(_)) = (entry.subject, entry.reading)
            && (!prepared.parts[part].cup_known || prepared.parts[part].section.contains_pith())
        {
            problems.push(
                entry.span.clone(),
                format!(
                    "a cup of `{}` is logged, and none is forecast for it",
                    entry.name
                ),
                "give its rings with the depth of the pith, or leave the entry out",
            );
            return None;
        }
    }
    let predictor = Predictor::new(job, prepared, inputs, airs, workspace).before(deadline);
    if predictor.active().len() > MOST_INPUTS {
        problems.push(
            first.span.clone(),
            format!(
                "the log depends on {} uncertain inputs, and at most {MOST_INPUTS} are taken",
                predictor.active().len()
            ),
            "log fewer parts, or make two jobs of this one",
        );
        return None;
    }
    let (seed, draws) = (job.seed, job.draws as usize);
    let all: Vec<usize> = (0..predictor.entries().len()).collect();
    let last = (0..job.log.len()).max_by_key(|place| (job.log[*place].date, *place))?;
    let last = predictor
        .entries()
        .iter()
        .position(|entry| entry.span == job.log[last].span)
        .unwrap_or(0);
    let others: Vec<usize> = all.iter().copied().filter(|one| *one != last).collect();
    let unread = |problems: &mut Problems| {
        problems.push(
            first.span.clone(),
            "the log gives no finite numbers",
            "check its readings, and leave out the one that is not of this piece",
        );
        None
    };
    let Some(posterior) = Posterior::of(&predictor, &all, inputs, seed, draws) else {
        return unread(problems);
    };
    let before = if others.is_empty() {
        inputs.clone()
    } else {
        match Posterior::of(&predictor, &others, inputs, seed, draws) {
            Some(before) => inputs.after(before),
            None => return unread(problems),
        }
    };
    let mut doubted = vec![None; all.len()];
    for doubt in &posterior.doubts {
        doubted[doubt.reading] = Some(doubt.deviations);
    }
    let read = LogRead {
        entries: predictor
            .entries()
            .iter()
            .map(|entry| (*entry).clone())
            .collect(),
        expected: Posterior::expected(&predictor, inputs, seed),
        doubted,
        last,
        before,
        effective: posterior.effective,
        drawn_again: posterior.drawn_again,
    };
    Some((inputs.after(posterior), read))
}
