//! `heartside glueup`: the stages of a job's glue-up.

use super::job_files::load;
use super::{Failure, Output};
use crate::carcass::Caution;
use crate::forecast::standing_piece;
use crate::report::StandingAnswer;
use serde_json::json;
use std::process::ExitCode;

/// The stages in which a piece can be glued up within the open time of its glue.
#[derive(Debug, clap::Args)]
pub(super) struct Args {
    /// The job file (TOML) with its section [glue]; `-` is standard input.
    job: String,
}

/// Answers the command.
///
/// # Errors
/// [`Failure`] when the job is malformed or has no such section.
pub(super) fn run(args: Args, output: &mut Output<'_>) -> Result<ExitCode, Failure> {
    let loaded = load(&args.job)?;
    let standing =
        standing_piece(&loaded.job, &loaded.species, &loaded.airs).map_err(Failure::input)?;
    if standing.glueup.is_none() {
        return Err(Failure::input(format!(
            "error: `{}` has no section [glue]; add it, the built-in job (heartside demo) shows one",
            loaded.job.origin
        )));
    }
    let parts = loaded.job.part_facts();
    let answer = StandingAnswer {
        standing: &standing,
        parts: &parts,
        system: loaded.job.units,
    };
    let caution = Caution::GlueSheet.text();
    let mut object = answer.glueup();
    object["cautions"] = json!([caution]);
    let words = format!("{}\nCaution: {caution}.", answer.glueup_words());
    output.answer(&object, &words)?;
    Ok(ExitCode::SUCCESS)
}
