//! `heartside demo`: the built-in hall sideboard, its job file and its report.

use super::forecast::{Sampling, compute_and_write, tell};
use super::job_files::load_text;
use super::{Failure, Output};
use crate::job;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

/// Name of the job file that the demo writes.
const JOB_FILE: &str = "hall-sideboard.toml";

/// Writes the built-in job, a hall sideboard, and its report.
#[derive(Debug, clap::Args)]
pub(super) struct Args {
    /// Folder for the job file and its report.
    #[arg(long, value_name = "DIR", default_value = "hall-sideboard-report")]
    out: PathBuf,
    /// Every answer in words instead of the summary.
    #[arg(long)]
    full: bool,
    #[command(flatten)]
    sampling: Sampling,
}

/// Answers the command.
///
/// # Errors
/// [`Failure`] when the folder cannot be written, or its job file was changed by hand.
pub(super) fn run(args: Args, output: &mut Output<'_>) -> Result<ExitCode, Failure> {
    let text = job::demo();
    let place = args.out.join(JOB_FILE);
    let loaded = load_text(text, JOB_FILE, Path::new(""))?;
    let files = vec![(JOB_FILE.to_owned(), text.as_bytes().to_vec())];
    let forecast = compute_and_write(loaded, args.sampling, &args.out, files)?;
    tell(&forecast, &args.out, args.full, output)?;
    output.say(&format!("The job file is {}", place.display()));
    Ok(ExitCode::SUCCESS)
}
