//! `heartside picture`: the piece from the front, from the side and pulled apart.

use super::job_files::load;
use super::output::Folder;
use super::{Failure, Output};
use crate::chart::{Elevation, FigureIds};
use crate::forecast::forecast;
use crate::report::{piece_of_forecast, piece_of_job};
use serde_json::json;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

/// Draws a placed job: from the front, from the side, pulled apart.
#[derive(Debug, clap::Args)]
pub(super) struct Args {
    /// The job file (TOML); `-` is standard input.
    job: String,
    /// One view on standard output as SVG instead of three files: "front", "side" or "exploded".
    #[arg(long, value_name = "VIEW", num_args = 0..=1, default_missing_value = "exploded")]
    svg: Option<String>,
    /// Folder for piece-front.svg, piece-side.svg and piece-exploded.svg; the job file's name with -picture unless given.
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
    /// Marks every joint by its verdict, which takes a forecast.
    #[arg(long)]
    verdicts: bool,
}

/// Answers the command.
///
/// # Errors
/// [`Failure`] with everything that is wrong with the job, for a job without places, and where a file cannot be written.
pub(super) fn run(args: &Args, output: &mut Output<'_>) -> Result<ExitCode, Failure> {
    let loaded = load(&args.job)?;
    let figure = if args.verdicts {
        let found = forecast(&loaded.job, &loaded.species, &loaded.airs).map_err(Failure::input)?;
        piece_of_forecast(&found)
    } else {
        piece_of_job(&loaded.job)
    };
    let Some(figure) = figure else {
        return Err(Failure::input(
            "error: the job says nowhere where its parts are; give them places (left, front, bottom ...), then draw it",
        ));
    };
    if let Some(word) = &args.svg {
        let Some(view) = Elevation::ALL.into_iter().find(|view| view.word() == word) else {
            return Err(Failure::input(format!(
                "error: `{word}` is no view; write --svg front, --svg closed, --svg side or --svg exploded"
            )));
        };
        let drawn = figure.draw(view, &FigureIds::new().next("piece", view.word()));
        output.text(&drawn.svg_file())?;
        return Ok(ExitCode::SUCCESS);
    }
    let folder = args.out.clone().unwrap_or_else(|| {
        let stem = Path::new(&args.job).file_stem().filter(|_| args.job != "-");
        let stem = stem.map_or_else(|| "job".into(), |stem| stem.to_string_lossy());
        PathBuf::from(format!("{stem}-picture"))
    });
    let mut ids = FigureIds::new();
    let drawn: Vec<(String, Vec<u8>)> = figure
        .views()
        .map(|view| {
            let figure = figure.draw(view, &ids.next("piece", view.word()));
            (figure.file_name(), figure.svg_file().into_bytes())
        })
        .collect();
    let files: Vec<String> = drawn
        .iter()
        .map(|(name, _)| folder.join(name).display().to_string())
        .collect();
    Folder::open(&folder)?.write(&drawn)?;
    output.answer(
        &json!({ "files": files }),
        &format!("Wrote {}", files.join(", ")),
    )?;
    Ok(ExitCode::SUCCESS)
}
