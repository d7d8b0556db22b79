//! `heartside list`: the parts of a job with rough sizes, the wood to buy, weight and hardware.

use super::job_files::load;
use super::{Failure, Output};
use crate::report::PieceList;
use std::process::ExitCode;

/// Lists the parts of a job: count, finished size today, rough size, board volume, weight, hardware.
#[derive(Debug, clap::Args)]
pub(super) struct Args {
    /// The job file (TOML); `-` is standard input.
    job: String,
    /// The parts as CSV, metric.
    #[arg(long)]
    csv: bool,
}

/// Answers the command.
///
/// # Errors
/// [`Failure`] with everything that is wrong with the job.
pub(super) fn run(args: &Args, output: &mut Output<'_>) -> Result<ExitCode, Failure> {
    let loaded = load(&args.job)?;
    let list = PieceList::of(&loaded.job, &loaded.species);
    if args.csv {
        let text = list
            .csv()
            .map_err(|error| Failure::writing("standard output", &std::io::Error::other(error)))?;
        output.text(&text)?;
    } else {
        output.answer(&list, &list.words(loaded.job.units))?;
    }
    Ok(ExitCode::SUCCESS)
}
