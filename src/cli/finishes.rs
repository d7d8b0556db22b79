//! `heartside finishes`: which finishes are known, with how many coats, and how much each slows the wood's moisture.

use super::output::create;
use super::{Failure, Output};
use crate::chart::{FigureIds, FinishBar, FinishesFigure};
use crate::moisture::{ExclusionRow, Finish, board_slowed, finishes};
use crate::species::Status;
use comfy_table::{CellAlignment, Table, presets};
use serde_json::{Value, json};
use std::process::ExitCode;

/// Lists the finishes, their coats and how much each slows a board.
#[derive(Debug, clap::Args)]
pub(super) struct Args {
    /// A finish or a part of its name, such as `shellac`; all of them unless given.
    name: Option<String>,
    /// A new SVG file for the figure.
    #[arg(long, value_name = "FILE")]
    svg: Option<std::path::PathBuf>,
}

/// Answers the command.
///
/// # Errors
/// [`Failure`] when no finish fits the name, or the figure cannot be written.
pub(super) fn run(args: Args, output: &mut Output<'_>) -> Result<ExitCode, Failure> {
    let rows = match &args.name {
        None => finishes().iter().collect(),
        Some(name) => fitting(name)?,
    };
    let slowed: Vec<(&ExclusionRow, f64)> = rows
        .into_iter()
        .map(|row| (row, board_slowed(Finish::of_row(row))))
        .collect();
    if let Some(file) = &args.svg {
        let bars = slowed.iter().map(|(row, _)| bar(row)).collect();
        let figure = FinishesFigure { bars }.draw(&FigureIds::new().next("finishes", "kept out"));
        create(file, figure.svg_file().as_bytes())?;
    }
    let objects: Vec<Value> = slowed
        .iter()
        .map(|(row, slow)| object(row, *slow))
        .collect();
    output.answer(&json!({ "finishes": objects }), &words(&slowed))?;
    Ok(ExitCode::SUCCESS)
}

/// The finish that the words name, all its coats; else every finish whose name holds them.
fn fitting(name: &str) -> Result<Vec<&'static ExclusionRow>, Failure> {
    match Finish::thinnest(name) {
        Ok(finish) => Ok(finish.row().map_or_else(Vec::new, |found| {
            finishes()
                .iter()
                .filter(|row| row.finish == found.finish)
                .collect()
        })),
        Err(unknown) => {
            let rows: Vec<&ExclusionRow> = finishes()
                .iter()
                .filter(|row| unknown.suggestions().contains(&row.finish))
                .collect();
            if unknown.is_ambiguous() && !rows.is_empty() {
                Ok(rows)
            } else {
                Err(Failure::input(format!("error: {unknown}")))
            }
        }
    }
}

fn kept_out(row: &ExclusionRow) -> f64 {
    row.day14_percent
        .unwrap_or_else(|| row.simulated_percent()[2])
}

fn range(row: &ExclusionRow) -> Option<(f64, f64)> {
    row.low14_percent.zip(row.high14_percent)
}

fn bar(row: &ExclusionRow) -> FinishBar {
    FinishBar {
        name: row.named(),
        kept_out_percent: kept_out(row),
        range_percent: range(row),
        measured: row.status != Status::Judgement,
    }
}

fn object(row: &ExclusionRow, slowed: f64) -> Value {
    json!({
        "finish": row.finish,
        "coats": (row.coats > 0).then_some(row.coats),
        "day1_percent": row.day1_percent,
        "day7_percent": row.day7_percent,
        "day14_percent": row.day14_percent,
        "day14_low_percent": row.low14_percent,
        "day14_high_percent": row.high14_percent,
        "slowed_times": slowed,
        "proxy": row.proxy,
        "source": row.source,
        "status": row.status,
        "note": row.note,
    })
}

const BAR: usize = 20;

fn words(rows: &[(&ExclusionRow, f64)]) -> String {
    if rows.is_empty() {
        return "Bare wood: nothing is kept out but what still air holds back.".to_owned();
    }
    let mut table = Table::new();
    table.load_preset(presets::NOTHING);
    table.set_header(["finish", "coats", "kept out %", "", "slows", "figures"]);
    for (row, slowed) in rows {
        let share = kept_out(row);
        let filled = (share / 100.0 * BAR as f64).round().clamp(0.0, BAR as f64) as usize;
        let spread = range(row).map_or(String::new(), |(low, high)| {
            if high > low {
                format!(" ({low:.0}-{high:.0})")
            } else {
                String::new()
            }
        });
        table.add_row([
            row.finish.clone(),
            if row.coats == 0 {
                "any".to_owned()
            } else {
                row.coats.to_string()
            },
            format!("{share:.0}{spread}"),
            format!("{}{}", "█".repeat(filled), "·".repeat(BAR - filled)),
            format!("{slowed:.1} x"),
            match (&row.proxy, row.status) {
                (Some(proxy), _) => format!("like {proxy}, by judgement"),
                (None, Status::Seen) => "read".to_owned(),
                (None, Status::Memory) => "from memory".to_owned(),
                (None, _) => "by judgement".to_owned(),
            },
        ]);
    }
    for column in table.column_iter_mut() {
        column.set_padding((0, 2));
    }
    for column in [1, 4] {
        if let Some(column) = table.column_mut(column) {
            column.set_cell_alignment(CellAlignment::Right);
        }
    }
    format!(
        "{}\n\nKept out: share of bare wood's uptake that the finish prevents in 14 days at 90 % humidity, with its range where it is a judgement.\n\
         Slows: how many times longer a 20 mm (3/4 in) board takes for 90 % of a change, finished on both faces.\n\
         A finish slows the change and never stops it. A name without coats is its first coat: `shellac` is one coat.",
        table.trim_fmt()
    )
}
