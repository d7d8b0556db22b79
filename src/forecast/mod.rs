//! The forecast: a pure function from a job, its woods and its airs to findings.
//!
//! A job is made ready once ([`Prepared`]): woods found, sections laid,
//! moisture solved over a small grid of diffusivity and surface exchange.
//! Then one [`evaluate`] turns a draw of everything a maker cannot know into
//! widths, gaps and strains: first the middle draw on every day, then all draws
//! on the days that matter. The cut of each fit is chosen so that it
//! holds in as many draws as it can, and the verdict is the chance that it
//! does, by the limits of [`crate::chance::Verdict`].
//!
//! It needs the checked job, the table of woods and a year of air for each place ([`Airs`]). Its own
//! numbers are few: how many draws stand behind a remedy or a band, which movements are worth telling, how large a job may be;
//! they are judgement and stand as constants where they are used. All else comes from the rooms above, and every forecast lists
//! what it rests on ([`Forecast::assumptions`]).
//!
//! Nothing here reads a file or a clock: the same job and airs give the same
//! forecast, to the byte, whatever the number of threads.

mod airs;
mod assembly;
mod belief;
mod bench;
mod boards;
mod bond_findings;
mod bonds;
mod client;
mod cloud;
mod curve;
mod curves;
mod draw;
mod draw_conditions;
mod evaluate;
mod findings;
mod fit_findings;
mod fits;
mod frame;
mod grid_check;
mod humidity;
mod kept;
mod log;
mod memory;
mod not_modeled;
mod panels;
mod part_findings;
mod part_model;
mod piece_finding;
mod premises;
mod prepare;
mod ranking;
mod ready;
mod remedies;
mod samples;
mod sampling;
mod screws;
mod setup;
mod single;
mod size;
mod standing;
mod standing_draws;
mod study;
mod timeline;

pub use airs::Airs;
pub use assembly::{AssemblyFinding, GroupAssembly, MoveFinding, StageFinding};
pub use belief::{Narrowed, ShrinkageSpread};
pub use bench::{Bench, BenchCut, ToolSetting};
pub use boards::BoardStudy;
pub use bonds::{AskedBond, JudgedBond, own_cup};
pub use cloud::{MOST_SHARES, Share};
pub use curve::{Curve, crown};
pub use curves::{Curves, FitCurve, GapFromCut, PartCurve};
pub use draw::{Draw, PartDraw, PlaceDraw};
pub use draw_conditions::{DrawConditions, MoistureHistory, PartTrack};
pub use evaluate::{
    BondOutcome, DaySet, FitOutcome, Outcome, PartOutcome, Workspace, evaluate, move_parts,
};
pub use findings::{
    BondAtLength, BondFinding, ClientFinding, DrawnJoint, FitFinding, Forecast, GapsThen,
    InputShare, JobFinding, PartChange, PartChangeTo, PartFinding, PlaceFinding, Remedy,
    RemedyKind, SetupLine,
};
pub use fits::FitJudgement;
pub use frame::{DividerFinding, FrameBoard, FrameFinding, FrameJoint, FrameLine, GlueUpFinding};
pub use grid_check::GridError;
pub use log::{
    FirstReading, JointChange, LeafChange, Learned, LogChange, LogFinding, LogNumbers, LoggedEntry,
    NextMeasurement, PanelChange, ReadAgainst,
};
pub use memory::Memory;
pub use panels::PanelStudy;
pub use part_model::PartModel;
pub use piece_finding::{
    BoundFinding, ChainFinding, ContactFinding, OpeningFinding, PieceFinding, PlacedPart, joint_of,
    piece_words,
};
pub use premises::USUAL_CAUTIONS;
pub use prepare::Prepared;
pub use ready::Ready;
pub use samples::Samples;
pub use sampling::{Input, Inputs};
pub use single::{SingleFit, SinglePart, ThreeMoistures, single_bond, single_fit};
pub use standing::Standing;
pub use standing_draws::{
    AcrossSpread, DividerSpread, ShelfSpread, StraightenSpread, SupportSpread,
};
pub use study::days_that_matter;
pub use timeline::{Phase, Timeline};

use crate::job::{Job, JobErrors};
use crate::numerics::{Deadline, Stopped};
use crate::species::SpeciesTable;
use crate::units::spanned::Problem;
use study::Study;

/// Version of the layout of a forecast.
pub const FORMAT: u32 = 1;

/// Forecasts a job.
///
/// # Errors
/// [`JobErrors`] at the places of unknown woods and finishes, and where the draws would not fit into memory.
pub fn forecast(job: &Job, species: &SpeciesTable, airs: &Airs) -> Result<Forecast, JobErrors> {
    forecast_with(job, species, airs, &|_| ())
}

/// Forecasts a job, telling `tick` how many draws were done since it was last given.
///
/// # Errors
/// [`JobErrors`] at the places of unknown woods and finishes, and where the draws would not fit into memory.
pub fn forecast_with(
    job: &Job,
    species: &SpeciesTable,
    airs: &Airs,
    tick: &(dyn Fn(u64) + Sync),
) -> Result<Forecast, JobErrors> {
    forecast_recalling(job, species, airs, &Memory::new(0), Deadline::NEVER, tick)
}

/// Forecasts a job as [`forecast_with`] does, to the byte, without solving again what a memory holds, unless its deadline
/// comes first.
///
/// # Errors
/// [`JobErrors`] as [`forecast_with`], and when it was stopped.
pub fn forecast_recalling(
    job: &Job,
    species: &SpeciesTable,
    airs: &Airs,
    memory: &Memory,
    deadline: Deadline<'_>,
    tick: &(dyn Fn(u64) + Sync),
) -> Result<Forecast, JobErrors> {
    let Ready {
        prepared,
        inputs,
        workspace,
        log,
        panels,
        boards,
        standing,
    } = Ready::until(job, species, airs, memory, deadline)?;
    let stopped = |stopped| stopped_early(job, stopped);
    let (study, panels) = rayon::join(
        || Study::new(&prepared, &inputs, workspace, job, memory, deadline, tick),
        || panels::studies(panels, memory, deadline),
    );
    let (study, panels) = (study.map_err(stopped)?, panels.map_err(stopped)?);
    study.forecast(
        job,
        species,
        airs,
        memory,
        log.as_ref(),
        (panels, boards, standing),
    )
}

/// Makes one share of the draws of a forecast, for the memory of another program that makes the forecast
/// ([`Memory::take_in_draws`]). None are made where this memory has those of the last forecast: most of them are then good again.
///
/// # Errors
/// [`JobErrors`] as [`Ready::new`], and when it was stopped.
pub fn share_of_draws(
    job: &Job,
    species: &SpeciesTable,
    airs: &Airs,
    memory: &Memory,
    share: Share,
    deadline: Deadline<'_>,
) -> Result<Option<Vec<u8>>, JobErrors> {
    if memory.draws(job.draws).is_some() {
        return Ok(None);
    }
    let ready = Ready::until(job, species, airs, memory, deadline)?;
    study::share(&ready, job, share, deadline)
        .map(|made| Some(made.to_bytes()))
        .map_err(|stopped| stopped_early(job, stopped))
}

/// A forecast that was stopped says so where the job asks for its draws, which cost most.
fn stopped_early(job: &Job, _: Stopped) -> JobErrors {
    job.error(vec![Problem {
        span: 0..0,
        message: "the forecast took longer than it may, and was stopped".to_owned(),
        remedy: "ask for fewer draws, make two jobs of this one, or forecast it on the command line, which waits"
            .to_owned(),
    }])
}

/// Answers only the sections of a job on the standing piece, by the middle draw.
///
/// # Errors
/// [`JobErrors`] as [`Ready::new`].
pub fn standing_piece(
    job: &Job,
    species: &SpeciesTable,
    airs: &Airs,
) -> Result<Standing, JobErrors> {
    Ready::new(job, species, airs).map(|ready| ready.standing)
}
