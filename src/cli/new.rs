//! `heartside new`: a commented job file to begin with.

use super::output::create;
use super::{Failure, Output};
use crate::job;
use std::path::PathBuf;
use std::process::ExitCode;

/// Writes a commented job file to begin with.
#[derive(Debug, clap::Args)]
pub struct Args {
    /// The file to write; `-` is standard output.
    #[arg(default_value = "job.toml")]
    file: PathBuf,
}

/// Answers the command.
///
/// # Errors
/// [`Failure`] when the file is there already or cannot be written.
pub fn run(args: Args, output: &mut Output<'_>) -> Result<ExitCode, Failure> {
    if args.file.as_os_str() == "-" {
        output.text(job::blank())?;
    } else {
        create(&args.file, job::blank().as_bytes())?;
        output.say(&format!(
            "Wrote {}; fill it in, then: heartside forecast {}",
            args.file.display(),
            args.file.display()
        ));
    }
    Ok(ExitCode::SUCCESS)
}
