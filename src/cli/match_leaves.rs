//! `heartside match`: the best layout of leaves under a figure.

use super::files::read_text;
use super::output::create;
use super::ring_flags::read;
use super::woods::WoodFlags;
use super::{Failure, Output};
use crate::chart::{CandidatesFigure, FigureIds};
use crate::numerics::Deadline;
use crate::panel::{LeafMatch, MoistureChange, Panel, Weights, leaves_csv, settle_woods};
use crate::report::PanelAnswer;
use crate::units::{MoistureContent, UnitSystem};
use std::process::ExitCode;
use std::time::{Duration, Instant};

/// How to lay leaves into a panel: does the match add their bows, and which layout moves least.
///
/// Columns of the table: leaf, width, thickness, length, bow; where read also crook, twist, cup, pith_depth, pith_offset,
/// species, pair, show_face, sawn_side. The unit of a length stands in the header (bow_mm) or in each
/// cell. Bow and cup are positive when the sawn face is hollow; those of the panel when its show
/// face is.
#[derive(Debug, clap::Args)]
pub(super) struct Args {
    /// The leaves as a table (CSV); `-` is standard input.
    #[arg(value_name = "LEAVES")]
    leaves: String,
    /// How they are matched: bookmatch, slip, four-way or random.
    #[arg(long = "match", value_name = "MATCH")]
    leaf_match: String,
    /// How many of the best layouts to show.
    #[arg(long, value_name = "COUNT", default_value_t = 3, value_parser = clap::value_parser!(u8).range(1..=12))]
    best: u8,
    /// Stop looking after so many seconds, with the best found until then and the score that no layout can beat.
    #[arg(long, value_name = "SECONDS", default_value_t = 60, value_parser = clap::value_parser!(u16).range(1..=3600))]
    seconds: u16,
    /// The wood of all leaves that do not name their own.
    #[arg(long, value_name = "NAME")]
    species: Option<String>,
    /// Moisture content now, when the leaves are jointed.
    #[arg(
        long,
        value_name = "PERCENT",
        default_value = "10%",
        allow_hyphen_values = true
    )]
    from: String,
    /// Moisture content later, at which the cup is judged.
    #[arg(
        long,
        value_name = "PERCENT",
        default_value = "6%",
        allow_hyphen_values = true
    )]
    to: String,
    /// A new SVG file for the figure of the best layouts beside one another.
    #[arg(long, value_name = "FILE")]
    svg: Option<std::path::PathBuf>,
    #[command(flatten)]
    woods: WoodFlags,
}

/// Answers the command.
///
/// # Errors
/// [`Failure`] when a flag or the table cannot be read, a wood is unknown or the leaves cannot make the panel.
pub(super) fn run(args: Args, output: &mut Output<'_>) -> Result<ExitCode, Failure> {
    let leaf_match = read::<LeafMatch>("match", &args.leaf_match)?;
    let change = MoistureChange {
        from: read::<MoistureContent>("from", &args.from)?,
        to: read::<MoistureContent>("to", &args.to)?,
    };
    let text = read_text(&args.leaves)?;
    let about = |words: &dyn std::fmt::Display| {
        let lines: Vec<String> = words
            .to_string()
            .lines()
            .map(|line| format!("error: `{}`, {line}", args.leaves))
            .collect();
        Failure::input(lines.join("\n"))
    };
    let mut leaves = leaves_csv::read(&text).map_err(|error| about(&error))?;
    let table = args.woods.table()?;
    let rules = settle_woods(&mut leaves, args.species.as_deref(), &table).map_err(|error| {
        if error.leaf.is_some() {
            about(&error)
        } else {
            Failure::input(format!("error: --species {error}"))
        }
    })?;
    let panel = Panel::new(leaves, leaf_match, change, Weights::default())
        .map_err(|error| about(&error))?;
    let (start, most) = (Instant::now(), Duration::from_secs(u64::from(args.seconds)));
    let over = || start.elapsed() >= most;
    let deadline = Deadline::new(&over);
    let best = panel.best_within(usize::from(args.best), deadline);
    let flag = match leaf_match {
        LeafMatch::Bookmatch | LeafMatch::SlipMatch => panel.bookmatch_flag_within(&best, deadline),
        LeafMatch::FourWay | LeafMatch::Random => None,
    };
    let answer = PanelAnswer {
        panel: &panel,
        best: &best,
        flag: flag.as_ref(),
        rules: &rules,
        system: UnitSystem::Metric,
    };
    if let Some(file) = &args.svg {
        let name = match args.leaves.as_str() {
            "-" => "leaves".into(),
            path => std::path::Path::new(path)
                .file_stem()
                .unwrap_or_default()
                .to_string_lossy(),
        };
        let figure = CandidatesFigure::of(&name, &panel, &best);
        let svg = figure.draw(&FigureIds::new().next("layouts", &name), UnitSystem::Metric);
        create(file, svg.svg_file().as_bytes())?;
    }
    output.answer(&answer.object(), &answer.words())?;
    Ok(ExitCode::SUCCESS)
}
