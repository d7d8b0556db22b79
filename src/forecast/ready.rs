//! A job read to its last word: its parts made ready, its panels laid out, its boards and its standing piece
//! answered. Whatever can be wrong with a job is found here, so that checking a job and forecasting it refuse
//! the same jobs.

use super::airs::Airs;
use super::boards::{self, BoardStudy};
use super::evaluate::{DaySet, Workspace, move_parts};
use super::log::{self, LogRead, StockPlans};
use super::memory::Memory;
use super::panels::{self, LaidPanel};
use super::prepare::Prepared;
use super::sampling::Inputs;
use super::size;
use super::standing::{self, Standing};
use super::stopped_early;
use crate::job::{Job, JobErrors, check_species};
use crate::numerics::Deadline;
use crate::species::SpeciesTable;
use crate::units::spanned::Problems;

/// A job with nothing wrong in it, ready to be drawn.
pub struct Ready {
    /// Its parts and joints.
    pub prepared: Prepared,
    /// What its draws vary.
    pub(super) inputs: Inputs,
    /// The middle draw on every day.
    pub(super) workspace: Workspace,
    /// What its log made of the inputs; none without a log.
    pub(super) log: Option<LogRead>,
    /// Its panels, not yet searched for the best arrangement.
    pub(super) panels: Vec<LaidPanel>,
    /// Its boards.
    pub(super) boards: Vec<BoardStudy>,
    /// The standing piece by the middle draw.
    pub(super) standing: Standing,
}

impl Ready {
    /// Reads a job against its woods and airs: all that comes before the draws.
    ///
    /// # Errors
    /// [`JobErrors`] with every unknown wood and finish, every section that cannot be answered, each at its place, and
    /// where the draws would not fit into memory.
    pub fn new(job: &Job, species: &SpeciesTable, airs: &Airs) -> Result<Self, JobErrors> {
        Self::recalling(job, species, airs, &Memory::new(0))
    }

    /// What its draws vary, after its log.
    #[must_use]
    pub const fn inputs(&self) -> &Inputs {
        &self.inputs
    }

    /// What a maker should look at again, as the forecast says it too.
    #[must_use]
    pub fn warnings(&self, job: &Job, airs: &Airs) -> Vec<String> {
        warnings(job, &self.prepared, airs)
    }

    /// The same, with what a memory holds not solved again.
    ///
    /// # Errors
    /// As [`Ready::new`].
    pub fn recalling(
        job: &Job,
        species: &SpeciesTable,
        airs: &Airs,
        memory: &Memory,
    ) -> Result<Self, JobErrors> {
        Self::until(job, species, airs, memory, Deadline::NEVER)
    }

    /// The same, unless the deadline comes first.
    pub(super) fn until(
        job: &Job,
        species: &SpeciesTable,
        airs: &Airs,
        memory: &Memory,
        deadline: Deadline<'_>,
    ) -> Result<Self, JobErrors> {
        let on = || {
            deadline
                .check()
                .map_err(|stopped| stopped_early(job, stopped))
        };
        on()?;
        size::check(job)?;
        let species = &species.in_region(job.region);
        check_species(job, species)?;
        let prepared = Prepared::recalling(job, species, airs, memory, deadline)?;
        let inputs = Inputs::of(job, &prepared, airs);
        let workspace = middle(&prepared, &inputs);
        let mut problems = Problems::default();
        on()?;
        let today = prepared.timeline.date(0);
        let unlogged = || {
            // What is wrong with a board is said where it is studied for good.
            boards::studies(
                job,
                &job.boards,
                species,
                airs,
                today,
                deadline,
                &mut Problems::default(),
            )
        };
        let (plans, compared) = log::read_stock(job, &unlogged, prepared.meter.scatter)
            .unwrap_or_else(|| (StockPlans::of(job), Vec::new()));
        let view = log::Unlogged {
            prepared: &prepared,
            inputs: &inputs,
            airs,
            workspace: &workspace,
            stock: &compared,
        };
        let read = log::read(job, &view, deadline, &mut problems)
            .map_err(|stopped| stopped_early(job, stopped))?;
        on()?;
        let (after, log) = read.unzip();
        let (inputs, workspace) = match after.flatten() {
            Some(inputs) => {
                let workspace = middle(&prepared, &inputs);
                (inputs, workspace)
            }
            None => (inputs, workspace),
        };
        let [mut of_panels, mut of_boards, mut of_standing] = [const { Problems::new() }; 3];
        let panels_and_boards = || {
            let panels = panels::laid(
                job,
                &plans.panels,
                species,
                &prepared,
                &workspace,
                &mut of_panels,
            );
            let boards = boards::studies(
                job,
                &plans.boards,
                species,
                airs,
                today,
                deadline,
                &mut of_boards,
            );
            (panels, boards)
        };
        let standing = || {
            standing::standing(
                job,
                &prepared,
                &workspace.motion,
                &|part| workspace.tracks[part].mean_percent.clone(),
                deadline,
                &mut of_standing,
            )
        };
        let ((panels, boards), standing) = rayon::join(panels_and_boards, standing);
        on()?;
        for found in [of_panels, of_boards, of_standing] {
            problems.append(found, false);
        }
        if problems.is_empty() {
            Ok(Self {
                prepared,
                inputs,
                workspace,
                log,
                panels,
                boards,
                standing,
            })
        } else {
            Err(job.error(problems.into_sorted()))
        }
    }
}

/// Wood drier than this was never in a shop, percent (judgement: even air of 10 % humidity keeps it at 2 to 3 %).
const DRIEST_STOCK_PERCENT: f64 = 2.0;

/// What a maker should look at again before any answer: the air, readings that no wood has, joints that can hardly be meant.
pub(super) fn warnings(job: &Job, prepared: &Prepared, airs: &Airs) -> Vec<String> {
    let mut warnings: Vec<String> = airs.notes().map(str::to_owned).collect();
    warnings.extend(
        job.parts
            .iter()
            .filter(|part| part.moisture.percent() < DRIEST_STOCK_PERCENT)
            .map(|part| {
                format!(
                    "{}: a moisture of {}% is oven-dry, and no air keeps wood that dry; check the reading",
                    part.name,
                    part.moisture.percent()
                )
            }),
    );
    warnings.extend(prepared.joints.iter().flat_map(|joint| {
        joint
            .notes
            .iter()
            .map(move |note| format!("{}: {note}", joint.name))
    }));
    warnings
}

/// The parts moved by the middle draw through every day.
pub(super) fn middle(prepared: &Prepared, inputs: &Inputs) -> Workspace {
    let all = DaySet::new((0..prepared.timeline.days()).collect());
    let mut workspace = Workspace::new(prepared, &all);
    move_parts(prepared, &inputs.middle(), &all, &mut workspace);
    workspace
}
