//! `heartside install`: levelling and fastening a job's piece on site.

use super::job_files::load;
use super::{Failure, Output};
use crate::forecast::forecast;
use crate::report::StandingAnswer;
use std::fmt::Write as _;
use std::process::ExitCode;

/// How a piece is leveled and fastened on site, and what room it needs there.
#[derive(Debug, clap::Args)]
pub(super) struct Args {
    /// The job file (TOML) with its section [install]; `-` is standard input.
    job: String,
}

/// Answers the command.
///
/// # Errors
/// [`Failure`] when the job is malformed or has no such section.
pub(super) fn run(args: Args, output: &mut Output<'_>) -> Result<ExitCode, Failure> {
    let loaded = load(&args.job)?;
    // Its slots are those of the joints, and a joint's slot is cut for the chance that it holds.
    let standing = forecast(&loaded.job, &loaded.species, &loaded.airs)
        .map_err(Failure::input)?
        .standing;
    let Some(install) = &standing.install else {
        return Err(Failure::input(format!(
            "error: `{}` has no section [install]; add it, the built-in job (heartside demo) shows one",
            loaded.job.origin
        )));
    };
    let parts = loaded.job.part_facts();
    let answer = StandingAnswer {
        standing: &standing,
        parts: &parts,
        system: loaded.job.units,
    };
    let mut words = answer.install_words();
    for caution in &install.cautions {
        let _never_fails = write!(words, "\nCaution: {}.", caution.text());
    }
    output.answer(&answer.install(), &words)?;
    Ok(ExitCode::SUCCESS)
}
