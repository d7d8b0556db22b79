//! `heartside validate`: reads and checks a job file and every file it names.

use super::job_files::load;
use super::{Failure, Output};
use crate::forecast::{PieceFinding, Ready, piece_words};
use crate::report::keyed;
use serde_json::json;
use std::process::ExitCode;

/// Reads and checks a job file, and writes nothing.
#[derive(Debug, clap::Args)]
pub(super) struct Args {
    /// The job file (TOML); `-` is standard input.
    job: String,
}

/// Answers the command.
///
/// # Errors
/// [`Failure`] with everything that is wrong.
pub(super) fn run(args: Args, output: &mut Output<'_>) -> Result<ExitCode, Failure> {
    let loaded = load(&args.job)?;
    let ready = Ready::new(&loaded.job, &loaded.species, &loaded.airs).map_err(Failure::input)?;
    let count = |of: fn(&crate::joint::JointPlan) -> usize| {
        ready.prepared.joints.iter().map(of).sum::<usize>()
    };
    let (fits, bonds) = (
        count(|joint| joint.fits.len()),
        count(|joint| joint.bonds.len()),
    );
    let job = &loaded.job;
    let mut notes = ready.warnings(job, &loaded.airs);
    notes.extend(job.bare.iter().map(|bare| {
        format!(
            "`{}` has no unit and is read as {}",
            bare.text, bare.read_as
        )
    }));
    let piece = PieceFinding::today(job, &loaded.species);
    if let Some(piece) = &piece {
        notes.extend(piece_words(piece));
    }
    let object = json!({
        "valid": true,
        "name": job.name,
        "parts": job.parts.len(),
        "joints": job.joints.len(),
        "fits": fits,
        "bonds": bonds,
        "notes": notes,
        "piece": keyed(&piece).unwrap_or_default(),
    });
    let mut words = format!(
        "{}: {} parts and {} joints are in order ({fits} fits, {bonds} bonds).",
        job.name,
        job.parts.len(),
        job.joints.len()
    );
    for note in &notes {
        words.push_str("\nNote: ");
        words.push_str(note);
    }
    output.answer(&object, &words)?;
    Ok(ExitCode::SUCCESS)
}
