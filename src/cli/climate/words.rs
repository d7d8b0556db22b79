//! The answer in words and tables.

use super::Air;
use crate::air::MonthOfAir;
use crate::air::indoor::{Comparison, Indoor};
use crate::chart::month_name;
use comfy_table::{CellAlignment, Table, presets};
use std::fmt::Write as _;

pub(super) fn words(
    air: &Air,
    indoors: Option<&(Indoor, Vec<MonthOfAir>)>,
    beside: &[Comparison],
) -> String {
    let mut text = format!("{}\n", air.title);
    if let Some(rows) = &air.rows {
        let _never_fails = writeln!(text, "{} of {} rows used.", rows.used, rows.read);
    }
    text.push('\n');
    text.push_str(&month_table(&air.months));
    if let Some((room, months)) = indoors {
        let _never_fails = write!(text, "\nIndoors: {room}.\n\n{}", month_table(months));
    }
    if let Some(first) = beside.first() {
        let _never_fails = write!(
            text,
            "\nHumidity indoors, measured and predicted ({}).\n\n{}\n{}",
            first.model.moisture(),
            beside_table(first),
            models_table(beside)
        );
    }
    text
}

fn plain_table(header: &[&str]) -> Table {
    let mut table = Table::new();
    table.load_preset(presets::NOTHING);
    table.set_header(header.to_vec());
    table
}

fn aligned(mut table: Table, from: usize) -> String {
    for column in table.column_iter_mut().skip(from) {
        column.set_cell_alignment(CellAlignment::Right);
    }
    let mut text = table
        .lines()
        .map(|line| line.trim_end().to_owned())
        .collect::<Vec<_>>()
        .join("\n");
    text.push('\n');
    text
}

fn short_month(month: i8) -> &'static str {
    usize::try_from(month - 1).map_or("", |month| &month_name(month)[..3])
}

fn month_table(months: &[MonthOfAir]) -> String {
    let mut table = plain_table(&[
        "month",
        "C",
        "F",
        "humidity %",
        "min",
        "max",
        "wood %",
        "days",
    ]);
    for month in months {
        table.add_row([
            short_month(month.month).to_owned(),
            format!("{:.1}", month.celsius),
            format!("{:.0}", month.celsius * 1.8 + 32.0),
            format!("{:.1}", month.humidity_percent),
            format!("{:.0}", month.humidity_min_percent),
            format!("{:.0}", month.humidity_max_percent),
            format!("{:.1}", month.equilibrium_percent),
            format!("{:.1}", month.hours as f64 / 24.0),
        ]);
    }
    aligned(table, 1)
}

fn beside_table(comparison: &Comparison) -> String {
    let mut table = plain_table(&[
        "month",
        "outdoors C",
        "outdoors %",
        "indoors C",
        "measured %",
        "predicted %",
        "off by",
    ]);
    for month in &comparison.months {
        table.add_row([
            format!("{} {}", short_month(month.month), month.year),
            format!("{:.1}", month.outdoor_celsius),
            format!("{:.0}", month.outdoor_percent),
            format!("{:.1}", month.measured_celsius),
            format!("{:.1}", month.measured_percent),
            format!("{:.1}", month.predicted_percent),
            format!("{:+.1}", month.predicted_percent - month.measured_percent),
        ]);
    }
    aligned(table, 1)
}

fn models_table(beside: &[Comparison]) -> String {
    let mut table = plain_table(&[
        "model (error over the months, root mean square)",
        "humidity points",
        "mean",
        "wood points",
        "unaided: K",
        "humidity points",
        "wood points",
    ]);
    for one in beside {
        table.add_row([
            one.model.moisture().to_string(),
            format!("{:.1}", one.humidity_rms),
            format!("{:+.1}", one.humidity_bias),
            format!("{:.2}", one.equilibrium_rms),
            format!("{:.1}", one.temperature_rms),
            format!("{:.1}", one.unaided_humidity_rms),
            format!("{:.2}", one.unaided_equilibrium_rms),
        ]);
    }
    let mut text = aligned(table, 1);
    text.push_str(
        "\nThe first three errors are with the temperature indoors as measured, the rest from the \
         outdoor air alone.\n",
    );
    text
}
