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
mod stock;

pub use changes::{JointChange, LeafChange, LogChange, PanelChange};
pub(super) use finding::{Beside, finding};
pub use finding::{LogFinding, LogNumbers, LoggedEntry, ReadAgainst};
pub use learned::Learned;
pub use next::NextMeasurement;
pub(super) use posterior::Posterior;
pub use predict::FirstReading;
pub(super) use predict::Predictor;
pub(super) use stock::{Compared, StockPlans};

use super::airs::Airs;
use super::boards::BoardStudy;
use super::evaluate::Workspace;
use super::prepare::Prepared;
use super::sampling::Inputs;
use crate::job::{Job, LogEntry, LogReading, LogSubject};
use crate::numerics::{Deadline, Stopped};
use crate::units::spanned::Problems;

/// Most inputs that a log may depend on: the update costs as their third power.
const MOST_INPUTS: usize = 400;

/// One entry of a log after it was read.
pub(super) struct ReadEntry {
    pub(super) entry: LogEntry,
    pub(super) compared: Compared,
}

/// A log after it was read.
pub(super) struct LogRead {
    /// Its entries, in the order of days.
    pub(super) entries: Vec<ReadEntry>,
    /// The last entry, by its place.
    pub(super) last: usize,
    /// What it made of the inputs, where it says something of them.
    pub(super) drawn: Option<DrawnRead>,
}

/// What a log made of a job's inputs.
pub(super) struct DrawnRead {
    /// The inputs before the log.
    unread: Inputs,
    /// How many draws count.
    pub(super) effective: f64,
    pub(super) drawn_again: bool,
}

impl LogRead {
    /// The last entry.
    pub(super) fn last(&self) -> &ReadEntry {
        &self.entries[self.last]
    }

    /// The inputs without the last entry; none where that says nothing of them.
    pub(super) fn before(
        &self,
        job: &Job,
        prepared: &Prepared,
        airs: &Airs,
        deadline: Deadline<'_>,
    ) -> Result<Option<Inputs>, Stopped> {
        let (Some(drawn), last) = (&self.drawn, &self.last().entry) else {
            return Ok(None);
        };
        if !last.subject.is_drawn() {
            return Ok(None);
        }
        let workspace = super::ready::middle(prepared, &drawn.unread);
        let predictor = Predictor::new(job, prepared, &drawn.unread, airs, &workspace);
        let others: Vec<usize> = (0..predictor.entries().len())
            .filter(|place| predictor.entries()[*place].span != last.span)
            .collect();
        if others.is_empty() {
            return Ok(Some(drawn.unread.clone()));
        }
        let draws = job.draws.min(changes::DRAWS) as usize;
        // One in eight is enough to compare with.
        let asked = (job.seed, draws, draws as f64 / 8.0);
        let belief = Posterior::of(&predictor, &others, &drawn.unread, asked, deadline)?;
        Ok(belief.map(|belief| drawn.unread.after(belief)))
    }
}

/// A log's order: by day, then by what was measured, so that the file's order does not matter.
fn ordered(job: &Job) -> Vec<&LogEntry> {
    let mut entries: Vec<&LogEntry> = job.log.iter().collect();
    entries.sort_by(|a, b| {
        (a.date, a.subject, a.reading.quantity())
            .cmp(&(b.date, b.subject, b.reading.quantity()))
            .then(a.reading.number().total_cmp(&b.reading.number()))
            .then(
                a.deviation
                    .unwrap_or(0.0)
                    .total_cmp(&b.deviation.unwrap_or(0.0)),
            )
    });
    entries
}

/// The boards and panels of a job after its log, and how each of those readings compares, by its place in the file.
pub(super) fn read_stock(
    job: &Job,
    unlogged: &dyn Fn() -> Vec<BoardStudy>,
    scatter: f64,
) -> Option<(StockPlans, Vec<Compared>)> {
    let entries = stock_entries(job);
    if entries.is_empty() {
        return None;
    }
    Some(StockPlans::after(job, &entries, &unlogged(), scatter))
}

fn stock_entries(job: &Job) -> Vec<&LogEntry> {
    let mut entries = ordered(job);
    entries.retain(|entry| entry.subject.is_stock());
    entries
}

/// The boards and panels without the last entry.
pub(super) fn stock_before(
    job: &Job,
    last: &LogEntry,
    unlogged: &[BoardStudy],
    scatter: f64,
) -> StockPlans {
    let mut entries = stock_entries(job);
    entries.retain(|entry| entry.span != last.span);
    StockPlans::after(job, &entries, unlogged, scatter).0
}

/// A job before its log.
pub(super) struct Unlogged<'a> {
    pub(super) prepared: &'a Prepared,
    pub(super) inputs: &'a Inputs,
    pub(super) airs: &'a Airs,
    /// The middle draw on every day.
    pub(super) workspace: &'a Workspace,
    /// How the readings of boards and leaves compare, in the order of days.
    pub(super) stock: &'a [Compared],
}

/// A log as read, with the inputs of the job after it where it says something of them. `None` without a log, and after noting what
/// stands in the way of it.
///
/// # Errors
/// [`Stopped`] at the deadline.
pub(super) fn read(
    job: &Job,
    unlogged: &Unlogged<'_>,
    deadline: Deadline<'_>,
    problems: &mut Problems,
) -> Result<Option<(Option<Inputs>, LogRead)>, Stopped> {
    let Unlogged {
        prepared,
        inputs,
        airs,
        workspace,
        stock,
    } = *unlogged;
    let Some(first) = job.log.first() else {
        return Ok(None);
    };
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
            return Ok(None);
        }
    }
    let entries = ordered(job);
    // The last of one day is that which the file has last.
    let last = (0..entries.len())
        .max_by_key(|place| (entries[*place].date, entries[*place].span.start))
        .unwrap_or(0);
    let mut compared: Vec<Option<Compared>> = vec![None; entries.len()];
    let of_stock = (0..entries.len()).filter(|place| entries[*place].subject.is_stock());
    for (place, found) in of_stock.zip(stock) {
        compared[place] = Some(*found);
    }
    let mut drawn = None;
    if entries.iter().any(|entry| entry.subject.is_drawn()) {
        let predictor = Predictor::new(job, prepared, inputs, airs, workspace);
        if predictor.active().len() > MOST_INPUTS {
            problems.push(
                first.span.clone(),
                format!(
                    "the log depends on {} uncertain inputs, and at most {MOST_INPUTS} are taken",
                    predictor.active().len()
                ),
                "log fewer parts, or make two jobs of this one",
            );
            return Ok(None);
        }
        let draws = job.draws as usize;
        let asked = (job.seed, draws, posterior::ENOUGH.min(draws as f64 / 2.0));
        let all: Vec<usize> = (0..predictor.entries().len()).collect();
        let Some(posterior) = Posterior::of(&predictor, &all, inputs, asked, deadline)? else {
            problems.push(
                first.span.clone(),
                "the log gives no finite numbers",
                "check its readings, and leave out the one that is not of this piece",
            );
            return Ok(None);
        };
        let bands = |belief: &Posterior| belief.bands(&predictor, inputs, job.seed, deadline);
        let expected = bands(&Posterior::unread(&predictor))?;
        let now = bands(&posterior)?;
        let mut doubted = vec![None; all.len()];
        for doubt in &posterior.doubts {
            doubted[doubt.reading] = Some(doubt.deviations);
        }
        let of_inputs = (0..entries.len()).filter(|place| entries[*place].subject.is_drawn());
        for (((place, expected), now), doubted) in of_inputs.zip(expected).zip(now).zip(doubted) {
            // A board that is to be resawn and whose parts are known is doubted where either says so.
            let of_stock = compared[place].and_then(|compared| compared.doubted);
            compared[place] = Some(Compared {
                expected,
                now,
                doubted: doubted.or(of_stock),
            });
        }
        let read = DrawnRead {
            unread: inputs.clone(),
            effective: posterior.effective,
            drawn_again: posterior.drawn_again,
        };
        drawn = Some((inputs.after(posterior), read));
    }
    let (inputs, drawn) = drawn.unzip();
    let entries = entries
        .into_iter()
        .zip(compared)
        .map(|(entry, compared)| ReadEntry {
            entry: entry.clone(),
            compared: compared.unwrap_or_else(|| Compared::alone(entry.reading.number())),
        })
        .collect();
    let read = LogRead {
        entries,
        last,
        drawn,
    };
    Ok(Some((inputs, read)))
}
