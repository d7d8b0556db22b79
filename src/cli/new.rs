//! `heartside new`: a commented job file to begin with.

use super::output::create;
use super::{Failure, Output};
use crate::job::{self, Beginning, BeginningKind};
use crate::page::today;
use crate::units::UnitSystem;
use crate::units::notation::{NotationError, length};
use crate::units::spanned::ReadNotation;
use jiff::civil::Date;
use std::path::PathBuf;
use std::process::ExitCode;

/// Writes a commented job file to begin with.
#[derive(Debug, clap::Args)]
pub(super) struct Args {
    /// The file to write; `-` is standard output.
    #[arg(default_value = "job.toml")]
    file: PathBuf,
    /// What is made: "case", "bookcase", "chest", "table" or "frame-door"; the smallest job file unless given.
    #[arg(long, value_name = "KIND", value_parser = read::<BeginningKind>)]
    kind: Option<BeginningKind>,
    /// From left to right.
    #[arg(long, value_name = "LENGTH", requires = "kind")]
    width: Option<String>,
    /// From bottom to top.
    #[arg(long, value_name = "LENGTH", requires = "kind")]
    height: Option<String>,
    /// From front to back; the thickness of a door.
    #[arg(long, value_name = "LENGTH", requires = "kind")]
    depth: Option<String>,
    /// How many bays side by side.
    #[arg(long, value_name = "NUMBER", requires = "kind")]
    bays: Option<u32>,
    /// How many shelves in each bay.
    #[arg(long, value_name = "NUMBER", requires = "kind")]
    shelves: Option<u32>,
    /// The day the parts are measured, such as 2026-10-20; today unless given.
    #[arg(long, value_name = "DATE")]
    measured: Option<Date>,
}

/// Reads a flag, with the words of the job file's errors.
fn read<T: ReadNotation>(text: &str) -> Result<T, NotationError> {
    T::read(text)
}

impl Args {
    fn text(&self) -> Result<String, Failure> {
        let measured = self.measured.unwrap_or_else(today);
        let Some(kind) = self.kind else {
            return Ok(job::blank_on(measured));
        };
        let sizes = [&self.width, &self.height, &self.depth];
        // Millimeters where a size is given in them, inches otherwise.
        let metric = sizes
            .iter()
            .filter_map(|size| size.as_deref())
            .any(|size| size.trim_end().ends_with('m'));
        let [width, height, depth] = sizes.map(|size| size.as_deref().map(length).transpose());
        let failed = |error: NotationError| Failure::input(format!("error: {error}"));
        Beginning {
            kind,
            width: width.map_err(failed)?,
            height: height.map_err(failed)?,
            depth: depth.map_err(failed)?,
            bays: self.bays,
            shelves: self.shelves,
            units: if metric {
                UnitSystem::Metric
            } else {
                UnitSystem::Inch
            },
            measured,
        }
        .text()
        .map_err(failed)
    }
}

/// Answers the command.
///
/// # Errors
/// [`Failure`] when the file is there already or cannot be written.
pub(super) fn run(args: Args, output: &mut Output<'_>) -> Result<ExitCode, Failure> {
    let text = args.text()?;
    if args.file.as_os_str() == "-" {
        output.text(&text)?;
    } else {
        create(&args.file, text.as_bytes())?;
        output.say(&format!(
            "Wrote {}; fill it in, then: heartside forecast {}",
            args.file.display(),
            args.file.display()
        ));
    }
    Ok(ExitCode::SUCCESS)
}
