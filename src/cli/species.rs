//! `heartside species`: the woods the program knows, or the record of one.

use super::files::read_text;
use super::{Failure, Output};
use crate::species::{Mechanical, Resolved, Sourced, Species, SpeciesTable, Status};
use comfy_table::{CellAlignment, Table, presets};
use serde_json::{Map, Value, json};
use std::borrow::Cow;
use std::fmt::Write as _;
use std::process::ExitCode;

/// Lists the woods with their shrinkage, or shows all that is known of one.
#[derive(Debug, clap::Args)]
pub struct Args {
    /// Common name in either order, a name of the trade, or the Latin name; all woods without it.
    name: Option<String>,
    /// Your own table of woods (CSV), which stands in front of the built-in one; `-` is standard input.
    #[arg(long, value_name = "FILE")]
    species_table: Option<String>,
}

/// The table of woods, with a maker's own in front when a file is named.
///
/// # Errors
/// [`Failure`] when the file cannot be read or holds a fault.
pub fn table(path: Option<&str>) -> Result<Cow<'static, SpeciesTable>, Failure> {
    let Some(path) = path else {
        return Ok(Cow::Borrowed(SpeciesTable::built_in()));
    };
    let origin = if path == "-" { "standard input" } else { path };
    SpeciesTable::with_user_csv(&read_text(path)?, origin)
        .map(Cow::Owned)
        .map_err(|error| Failure::input(format!("error: {error}")))
}

/// Answers the command.
///
/// # Errors
/// [`Failure`] when the name means no wood or several, or the table cannot be read.
pub fn run(args: Args, output: &mut Output<'_>) -> Result<ExitCode, Failure> {
    let table = table(args.species_table.as_deref())?;
    let (woods, plain): (Vec<&Species>, String) = match &args.name {
        None => (table.all().iter().collect(), list(table.all())),
        Some(name) => {
            let wood = table
                .find(name)
                .map_err(|error| Failure::input(format!("error: {error}")))?;
            (vec![wood], record(wood))
        }
    };
    let json = if output.wants_json() {
        json!({ "species": woods.iter().map(|wood| object(wood)).collect::<Vec<_>>() })
    } else {
        Value::Null
    };
    output.answer(&json, &plain)?;
    Ok(ExitCode::SUCCESS)
}

fn list(woods: &[Species]) -> String {
    let mut table = Table::new();
    table.load_preset(presets::NOTHING);
    table.set_header([
        "wood",
        "Latin name",
        "across rings %",
        "along rings %",
        "figures",
    ]);
    for wood in woods {
        table.add_row([
            wood.name.clone(),
            wood.latin.clone().unwrap_or_default(),
            shrinkage(&wood.shrinkage.radial_percent),
            shrinkage(&wood.shrinkage.tangential_percent),
            how(wood.shrinkage.tangential_percent.status).to_owned(),
        ]);
    }
    for column in table.column_iter_mut() {
        column.set_padding((0, 2));
    }
    for column in [2, 3] {
        if let Some(column) = table.column_mut(column) {
            column.set_cell_alignment(CellAlignment::Right);
        }
    }
    let mut text = table.trim_fmt();
    let _never_fails = write!(
        text,
        "\n\n{} woods. Shrinkage is the total from green to oven-dry, in percent of the green size:\n\
         radial (across the rings, a quarter-sawn board's width) and tangential (along the rings, a flat-sawn board's width).\n\
         `heartside species NAME` shows one wood with the source of every figure.",
        woods.len()
    );
    text
}

const fn how(status: Status) -> &'static str {
    match status {
        Status::Seen => "read in its table",
        Status::Memory => "from memory",
        Status::Derived => "worked out",
        Status::Measured => "measured",
        Status::Given => "as given",
    }
}

fn shrinkage(sourced: &Sourced) -> String {
    format!("{:.1}", sourced.value)
}

/// Significant figures enough for a table, no more.
fn figure(value: f64) -> String {
    let text = if value >= 1000.0 {
        format!("{value:.0}")
    } else if value >= 20.0 {
        format!("{value:.1}")
    } else if value >= 1.0 {
        format!("{value:.2}")
    } else {
        format!("{value:.4}")
    };
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    }
}

struct Sheet {
    text: String,
}

impl Sheet {
    fn head(&mut self, words: &str) {
        let _never_fails = write!(self.text, "\n{words}\n");
    }

    fn line(&mut self, what: &str, value: f64, unit: &str, from: &str) {
        let value = format!("{} {unit}", figure(value));
        let _never_fails = writeln!(self.text, "  {what:<34} {:<12} {from}", value.trim_end());
    }

    fn sourced(&mut self, what: &str, unit: &str, sourced: Option<&Sourced>) {
        if let Some(sourced) = sourced {
            let from = format!("{}, {}", sourced.source, sourced.status);
            self.line(what, sourced.value, unit, &from);
        }
    }

    /// A figure that is always used: from its table, or by the rule that stands in.
    fn used(&mut self, what: &str, unit: &str, sourced: Option<&Sourced>, resolved: Resolved) {
        match (sourced, resolved.rule) {
            (Some(_), None) => self.sourced(what, unit, sourced),
            (_, rule) => self.line(what, resolved.value, unit, rule.unwrap_or_default()),
        }
    }

    /// A stiffness worked out from a ratio.
    fn part(&mut self, what: &str, ratio: Option<&Sourced>, resolved: Resolved) {
        let from = match (resolved.rule, ratio) {
            (Some(rule), _) => rule.to_owned(),
            (None, Some(ratio)) => format!(
                "{} of the stiffness along the grain: {}, {}",
                figure(ratio.value),
                ratio.source,
                ratio.status
            ),
            (None, None) => String::new(),
        };
        self.line(what, resolved.value, "MPa", &from);
    }
}

fn record(wood: &Species) -> String {
    let mut sheet = Sheet {
        text: wood.name.clone(),
    };
    if let Some(latin) = &wood.latin {
        let _never_fails = write!(sheet.text, " ({latin})");
    }
    sheet.text.push('\n');
    let total = &wood.shrinkage;
    sheet.head("Shrinkage from green to oven-dry, of the green size");
    sheet.sourced("radial, across the rings", "%", Some(&total.radial_percent));
    sheet.sourced(
        "tangential, along the rings",
        "%",
        Some(&total.tangential_percent),
    );
    sheet.sourced("of the volume", "%", total.volumetric_percent.as_ref());
    sheet.used(
        "along the grain",
        "%",
        total.longitudinal_percent.as_ref(),
        wood.longitudinal_percent(),
    );
    sheet.used(
        "fiber saturation point",
        "% moisture",
        wood.fiber_saturation_percent.as_ref(),
        wood.fiber_saturation(),
    );
    if let Some(printed) = &wood.change_coefficients {
        sheet.head("Printed change for 1 % moisture, of the size at 10 % (for comparison)");
        sheet.sourced("radial", "", Some(&printed.radial));
        sheet.sourced("tangential", "", Some(&printed.tangential));
    }
    sheet.head("Weight");
    sheet.used(
        "specific gravity, green volume",
        "",
        wood.basic_specific_gravity.as_ref(),
        wood.basic_gravity(),
    );
    sheet.sourced(
        "specific gravity at 12 %",
        "",
        wood.dry_specific_gravity.as_ref(),
    );
    stiffness(&mut sheet, wood);
    sheet.head("Strength at 12 % moisture");
    let dry = &wood.dry;
    sheet.used(
        "bending",
        "MPa",
        dry.bending_strength_mpa.as_ref(),
        wood.bending_strength_mpa(),
    );
    sheet.used(
        "shear along the grain",
        "MPa",
        dry.shear_mpa.as_ref(),
        wood.shear_strength_mpa(),
    );
    sheet.used(
        "tension across the grain",
        "MPa",
        dry.tension_across_mpa.as_ref(),
        wood.tension_across_mpa(),
    );
    sheet.used(
        "compression across the grain",
        "MPa",
        dry.compression_across_mpa.as_ref(),
        wood.compression_across_mpa(),
    );
    sheet.sourced(
        "compression along the grain",
        "MPa",
        dry.compression_along_mpa.as_ref(),
    );
    sheet.sourced("side hardness", "N", dry.side_hardness_n.as_ref());
    green(&mut sheet, wood);
    sheet.text
}

fn stiffness(sheet: &mut Sheet, wood: &Species) {
    let ratios = &wood.elastic_ratios;
    sheet.head("Stiffness at 12 % moisture");
    sheet.used(
        "along the grain",
        "MPa",
        wood.dry.modulus_mpa.as_ref(),
        wood.modulus_mpa(),
    );
    sheet.part(
        "across, along the rings",
        ratios.tangential.as_ref(),
        wood.modulus_across_mpa(),
    );
    sheet.part(
        "across, square to the rings",
        ratios.radial.as_ref(),
        wood.modulus_radial_mpa(),
    );
    sheet.part(
        "shear, grain and radial",
        ratios.shear_lr.as_ref(),
        wood.shear_modulus_lr_mpa(),
    );
    sheet.part(
        "shear, grain and tangential",
        ratios.shear_lt.as_ref(),
        wood.shear_modulus_lt_mpa(),
    );
    sheet.part(
        "shear in the end grain",
        ratios.shear_rt.as_ref(),
        wood.shear_modulus_rt_mpa(),
    );
}

fn green(sheet: &mut Sheet, wood: &Species) {
    if wood.green_moisture.heartwood_percent.is_some()
        || wood.green_moisture.sapwood_percent.is_some()
    {
        sheet.head("Moisture of the living tree");
        sheet.sourced(
            "heartwood",
            "%",
            wood.green_moisture.heartwood_percent.as_ref(),
        );
        sheet.sourced("sapwood", "%", wood.green_moisture.sapwood_percent.as_ref());
    }
    if wood.green != Mechanical::default() {
        sheet.head("Green wood");
        sheet.sourced(
            "stiffness along the grain",
            "MPa",
            wood.green.modulus_mpa.as_ref(),
        );
        sheet.sourced(
            "bending strength",
            "MPa",
            wood.green.bending_strength_mpa.as_ref(),
        );
        sheet.sourced(
            "shear along the grain",
            "MPa",
            wood.green.shear_mpa.as_ref(),
        );
        sheet.sourced(
            "tension across the grain",
            "MPa",
            wood.green.tension_across_mpa.as_ref(),
        );
    }
}

/// One wood for machines: figures as used, with `…_rule` where a rule stands in and `…_source`, `…_status` where a table does.
fn object(wood: &Species) -> Value {
    let mut map = Map::new();
    map.insert("name".into(), json!(wood.name));
    map.insert("latin".into(), json!(wood.latin));
    map.insert("group".into(), json!(wood.group));
    let total = &wood.shrinkage;
    map.insert(
        "tangential_percent".into(),
        json!(total.tangential_percent.value),
    );
    map.insert("radial_percent".into(), json!(total.radial_percent.value));
    map.insert("source".into(), json!(&*total.tangential_percent.source));
    map.insert("status".into(), json!(total.tangential_percent.status));
    map.insert(
        "volumetric_percent".into(),
        json!(
            total
                .volumetric_percent
                .as_ref()
                .map(|sourced| sourced.value)
        ),
    );
    let dry = &wood.dry;
    let ratios = &wood.elastic_ratios;
    let figures = [
        (
            "longitudinal_percent",
            total.longitudinal_percent.as_ref(),
            wood.longitudinal_percent(),
        ),
        (
            "fiber_saturation_percent",
            wood.fiber_saturation_percent.as_ref(),
            wood.fiber_saturation(),
        ),
        (
            "basic_specific_gravity",
            wood.basic_specific_gravity.as_ref(),
            wood.basic_gravity(),
        ),
        ("modulus_mpa", dry.modulus_mpa.as_ref(), wood.modulus_mpa()),
        (
            "modulus_tangential_mpa",
            ratios.tangential.as_ref(),
            wood.modulus_across_mpa(),
        ),
        (
            "modulus_radial_mpa",
            ratios.radial.as_ref(),
            wood.modulus_radial_mpa(),
        ),
        (
            "shear_modulus_lr_mpa",
            ratios.shear_lr.as_ref(),
            wood.shear_modulus_lr_mpa(),
        ),
        (
            "shear_modulus_lt_mpa",
            ratios.shear_lt.as_ref(),
            wood.shear_modulus_lt_mpa(),
        ),
        (
            "shear_modulus_rt_mpa",
            ratios.shear_rt.as_ref(),
            wood.shear_modulus_rt_mpa(),
        ),
        (
            "bending_strength_mpa",
            dry.bending_strength_mpa.as_ref(),
            wood.bending_strength_mpa(),
        ),
        (
            "shear_strength_mpa",
            dry.shear_mpa.as_ref(),
            wood.shear_strength_mpa(),
        ),
        (
            "tension_across_mpa",
            dry.tension_across_mpa.as_ref(),
            wood.tension_across_mpa(),
        ),
        (
            "compression_across_mpa",
            dry.compression_across_mpa.as_ref(),
            wood.compression_across_mpa(),
        ),
    ];
    for (key, sourced, resolved) in figures {
        map.insert(key.into(), json!(resolved.value));
        if let Some(rule) = resolved.rule {
            map.insert(format!("{key}_rule"), json!(rule));
        } else if let Some(sourced) = sourced {
            map.insert(format!("{key}_source"), json!(&*sourced.source));
            map.insert(format!("{key}_status"), json!(sourced.status));
        }
    }
    Value::Object(map)
}
