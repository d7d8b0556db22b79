//! `heartside sheet`: everything that is cut, on one page.

use super::forecast::{Sampling, compute};
use super::job_files::load;
use super::output::Folder;
use super::{Failure, Output};
use crate::report::{BenchSheet, Paper, sheet_page};
use std::path::PathBuf;
use std::process::ExitCode;

/// Gives the bench sheet of a job: every cut with its size, tool settings, trial cuts, glue stages, dangers.
#[derive(Debug, clap::Args)]
pub(super) struct Args {
    /// The job file (TOML); `-` is standard input.
    job: String,
    /// Folder for sheet.html, which prints on one page; words on standard output unless given.
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
    /// The paper it is printed on.
    #[arg(long, value_name = "PAPER", value_enum, default_value = "a4")]
    paper: PaperWord,
    #[command(flatten)]
    sampling: Sampling,
}

#[derive(Debug, Clone, Copy, clap::ValueEnum)]
enum PaperWord {
    /// 210 x 297 mm.
    A4,
    /// 8 1/2 x 11 in.
    Letter,
}

/// Answers the command.
///
/// # Errors
/// [`Failure`] with everything that is wrong with the job, and where the folder cannot be written.
pub(super) fn run(args: Args, output: &mut Output<'_>) -> Result<ExitCode, Failure> {
    let loaded = load(&args.job)?;
    let folder = args.out.as_deref().map(Folder::open).transpose()?;
    let forecast = compute(loaded, args.sampling)?;
    let sheet = BenchSheet::of(&forecast);
    let paper = match args.paper {
        PaperWord::A4 => Paper::A4,
        PaperWord::Letter => Paper::Letter,
    };
    if let (Some(folder), Some(place)) = (folder, &args.out) {
        let page = sheet_page(&sheet, paper);
        let page = sheet.shop.markup(&page).into_owned();
        folder.write(&[("sheet.html".to_owned(), page.into_bytes())])?;
        output.say(&format!(
            "The sheet is {}",
            place.join("sheet.html").display()
        ));
        if !output.wants_json() {
            return Ok(ExitCode::SUCCESS);
        }
    }
    output.answer(&sheet, &sheet.shop.text(&sheet.words()))?;
    Ok(ExitCode::SUCCESS)
}
