//! `heartside forecast`: everything about one job, with its report.

use super::job_files::{Loaded, load_keeping};
use super::kept_rings::KeptRings;
use super::output::Folder;
use super::{Failure, Output};
use crate::forecast::{Forecast, forecast_with};
use crate::report;
use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use std::io::IsTerminal as _;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

/// Forecasts a whole job and writes its report.
#[derive(Debug, clap::Args)]
pub(super) struct Args {
    /// The job file (TOML); `-` is standard input.
    job: String,
    /// Folder for report.html, forecast.json and one SVG a figure; the job's file name with -report unless given.
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
    #[command(flatten)]
    sampling: Sampling,
    /// Ends with exit code 1 when a joint, a leaf, a panel or a held part fails.
    #[arg(long)]
    strict: bool,
    /// Every answer in words instead of the summary.
    #[arg(long)]
    full: bool,
}

/// How chances are drawn.
#[derive(Debug, Clone, Copy, Default, clap::Args)]
pub(super) struct Sampling {
    /// Number of draws for bands and chances, instead of the job's own number.
    #[arg(long, value_name = "NUMBER", value_parser = clap::value_parser!(u32).range(16..=1_000_000))]
    draws: Option<u32>,
    /// Seed of the draws, instead of the job's own.
    #[arg(long, value_name = "NUMBER")]
    seed: Option<u64>,
    /// How many threads work; as many as the machine has cores unless given. The answer is the same.
    #[arg(long, value_name = "NUMBER", value_parser = clap::value_parser!(u16).range(1..=256))]
    threads: Option<u16>,
}

/// Answers the command.
///
/// # Errors
/// [`Failure`] when the job is malformed, a file cannot be read, or the folder cannot be written.
pub(super) fn run(args: Args, output: &mut Output<'_>) -> Result<ExitCode, Failure> {
    let folder = args.out.unwrap_or_else(|| default_folder(&args.job));
    let mut kept = KeptRings::in_folder(&folder);
    let loaded = load_keeping(&args.job, &mut kept)?;
    let more = kept.file().into_iter().collect();
    let forecast = compute_and_write(loaded, args.sampling, &folder, more)?;
    tell(&forecast, &folder, args.full, output)?;
    Ok(exit_code(&forecast, args.strict))
}

fn default_folder(job: &str) -> PathBuf {
    let stem = Path::new(job)
        .file_stem()
        .filter(|_| job != "-")
        .map_or_else(
            || "job".to_owned(),
            |stem| stem.to_string_lossy().into_owned(),
        );
    PathBuf::from(format!("{stem}-report"))
}

/// Forecasts a loaded job on so many threads, with a progress bar when standard error is a terminal.
///
/// # Errors
/// [`Failure`] for unknown woods or finishes.
pub(super) fn compute(mut loaded: Loaded, sampling: Sampling) -> Result<Forecast, Failure> {
    loaded.job.draws = sampling.draws.unwrap_or(loaded.job.draws);
    loaded.job.seed = sampling.seed.unwrap_or(loaded.job.seed);
    let bar = ProgressBar::with_draw_target(
        Some(u64::from(loaded.job.draws)),
        if std::io::stderr().is_terminal() {
            ProgressDrawTarget::stderr_with_hz(8)
        } else {
            ProgressDrawTarget::hidden()
        },
    );
    if let Ok(style) = ProgressStyle::with_template("{msg} {bar:30} {pos} of {len} draws") {
        bar.set_style(style);
    }
    bar.set_message("forecasting");
    let work = || {
        forecast_with(&loaded.job, &loaded.species, &loaded.airs, &|done| {
            bar.inc(done)
        })
        .map_err(Failure::input)
    };
    let forecast = match sampling.threads {
        None => work(),
        Some(threads) => rayon::ThreadPoolBuilder::new()
            .num_threads(usize::from(threads))
            .build()
            .map_err(|error| {
                Failure::input(format!(
                    "error: cannot start {threads} threads: {error}; ask for fewer"
                ))
            })?
            .install(work),
    };
    bar.finish_and_clear();
    forecast
}

/// Forecasts and writes the report's folder; `more` are further files for it.
///
/// # Errors
/// [`Failure`] as [`compute`], or when the folder cannot be written.
pub(super) fn compute_and_write(
    loaded: Loaded,
    sampling: Sampling,
    folder: &Path,
    more: Vec<(String, Vec<u8>)>,
) -> Result<Forecast, Failure> {
    let out = Folder::open(folder)?;
    out.check(&more)?;
    let forecast = compute(loaded, sampling)?;
    let mut files = more;
    let (json, report) = rayon::join(|| report::json(&forecast), || report::files(&forecast));
    files.push(("forecast.json".to_owned(), json.into_bytes()));
    files.extend(report);
    out.write(&files)?;
    Ok(forecast)
}

/// Prints the summary, or the JSON, and says where the report is.
///
/// # Errors
/// [`Failure`] when standard output cannot take it.
pub(super) fn tell(
    forecast: &Forecast,
    folder: &Path,
    full: bool,
    output: &mut Output<'_>,
) -> Result<(), Failure> {
    if output.wants_json() {
        output.json(&report::json(forecast))?;
    } else if full {
        output.text(&report::full_text(forecast))?;
    } else {
        output.text(&report::summary(forecast))?;
    }
    output.say(&format!(
        "The report is {}",
        folder.join("report.html").display()
    ));
    Ok(())
}

/// 1 when something fails and `strict` was asked for.
#[must_use]
pub(super) fn exit_code(forecast: &Forecast, strict: bool) -> ExitCode {
    if strict && report::Statements::of(forecast).fails() > 0 {
        ExitCode::from(1)
    } else {
        ExitCode::SUCCESS
    }
}
