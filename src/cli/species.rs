//! `heartside species`: the woods the program knows, or the record of one.

use super::woods::WoodFlags;
use super::{Failure, Output};
use crate::species::{Kind, Mechanical, Resolved, Sourced, Species, Status};
use comfy_table::{CellAlignment, Table, presets};
use serde_json::{Map, Value, json};
use std::fmt::Write as _;
use std::process::ExitCode;

/// Lists the woods with their shrinkage, or shows everything known about one.
#[derive(Debug, clap::Args)]
pub(super) struct Args {
    /// A name of the yard, of a table, of a sheet, or the Latin name; all of them unless given.
    name: Option<String>,
    #[command(flatten)]
    woods: WoodFlags,
}

/// Answers the command.
///
/// # Errors
/// [`Failure`] when the name means no wood or several, or the table cannot be read.
pub(super) fn run(args: Args, output: &mut Output<'_>) -> Result<ExitCode, Failure> {
    let table = args.woods.table()?;
    let mut cautions = Vec::new();
    let (woods, plain): (Vec<&Species>, String) = match &args.name {
        None => (table.all().iter().collect(), list(table.all())),
        Some(name) => {
            let found = table
                .look_up(name)
                .map_err(|error| Failure::input(format!("error: {error}")))?;
            cautions = found.cautions;
            (vec![found.species], record(found.species))
        }
    };
    let json = if output.wants_json() {
        json!({ "species": woods.iter().map(|wood| object(wood)).collect::<Vec<_>>() })
    } else {
        Value::Null
    };
    output.answer(&json, &plain)?;
    for caution in cautions {
        output.say(&format!("Note: {caution}"));
    }
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
        "\n\n{} woods, groups and sheets. Shrinkage is the total from green to oven-dry, in percent of the green size:\n\
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
        Status::Judgement => "by judgement",
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
    fn part(
        &mut self,
        what: &str,
        ratio: Option<&Sourced>,
        own: Option<&Sourced>,
        resolved: Resolved,
    ) {
        if let (None, Some(_), None) = (ratio, own, resolved.rule) {
            return self.sourced(what, "MPa", own);
        }
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
    let [radial, tangential] = if wood.sheet().is_some() {
        ["in its thickness", "across, in its plane"]
    } else {
        ["radial, across the rings", "tangential, along the rings"]
    };
    sheet.sourced(radial, "%", Some(&total.radial_percent));
    sheet.sourced(tangential, "%", Some(&total.tangential_percent));
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
    sheet.text.push_str(&movement(wood));
    sheet.text.push_str(&sources(wood));
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

/// How much it moves in use, in plain words, and what the record stands for.
fn movement(wood: &Species) -> String {
    let [radial, tangential] = wood.movement_90_to_60_percent();
    let (across, along) = if wood.sheet().is_some() {
        ("along", "across")
    } else {
        ("across the rings", "along them")
    };
    let mut text = format!(
        "\nMovement in use: {}. From 90 to 60 % humidity {radial:.1} % {across} and {tangential:.1} % {along};\n  \
         small is below 3 % for both together, large above 4.5 % (British classes, from memory).\n",
        wood.movement_class().word()
    );
    match &wood.kind {
        Kind::Group { members, ask } => {
            let _never_fails = writeln!(
                text,
                "\nA yard's name for {} woods{}",
                members.len(),
                if *ask {
                    ", and it does not decide: say which one where you can"
                } else {
                    ", taken as their mean"
                }
            );
            for member in members {
                let _never_fails = writeln!(
                    text,
                    "  {:<34} {:.0} % of the trade, by judgement",
                    member.species,
                    100.0 * member.share
                );
            }
        }
        Kind::Sheet(own) => {
            let [low, high] = own.in_plane_range;
            let _never_fails = writeln!(
                text,
                "\nA sheet: for 1 % of its own moisture {} % ({low} to {high}) in its plane, both ways alike, and {} % in its thickness;\n  \
                 in the same air it holds {:.0} % of the moisture of solid wood. It may be glued across any of its directions.",
                own.in_plane_percent_per_percent,
                own.thickness_percent_per_percent,
                100.0 * own.equilibrium_share
            );
        }
        Kind::Wood => {}
    }
    if let Some(remark) = wood.remark.as_ref().filter(|remark| !remark.is_empty()) {
        let _never_fails = writeln!(text, "\nRemark: {remark}.");
    }
    text
}

/// What each publication says, side by side, the one that is used first.
fn sources(wood: &Species) -> String {
    if wood.witnesses.len() < 2 {
        return String::new();
    }
    let mut table = Table::new();
    table.load_preset(presets::NOTHING);
    table.set_header([
        "",
        "radial %",
        "tangential %",
        "from %",
        "for 1 %",
        "",
        "source",
    ]);
    for (place, witness) in wood.witnesses.iter().enumerate() {
        let [radial, tangential] = witness.percent_per_percent();
        table.add_row([
            if place == 0 { "used" } else { "" }.to_owned(),
            format!("{:.1}", witness.radial_percent),
            format!("{:.1}", witness.tangential_percent),
            format!("{:.0}", witness.fiber_saturation_percent),
            format!("{radial:.2} / {tangential:.2}"),
            how(witness.status).to_owned(),
            witness.source.to_string(),
        ]);
    }
    for column in table.column_iter_mut() {
        column.set_padding((0, 2));
    }
    for column in [1, 2, 3] {
        if let Some(column) = table.column_mut(column) {
            column.set_cell_alignment(CellAlignment::Right);
        }
    }
    let [tangential, radial] = wood.source_spread.map(|spread| 100.0 * spread);
    format!(
        "\nSources side by side: total shrinkage, the moisture it starts at, change for 1 % at 10 %\n{}\n\
         They differ by {radial:.0} % radially and {tangential:.0} % tangentially; that is added to the 15 % between boards.\n",
        table.trim_fmt()
    )
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
        wood.across.tangential_mpa.as_ref(),
        wood.modulus_across_mpa(),
    );
    sheet.part(
        "across, square to the rings",
        ratios.radial.as_ref(),
        wood.across.radial_mpa.as_ref(),
        wood.modulus_radial_mpa(),
    );
    sheet.part(
        "shear, grain and radial",
        ratios.shear_lr.as_ref(),
        None,
        wood.shear_modulus_lr_mpa(),
    );
    sheet.part(
        "shear, grain and tangential",
        ratios.shear_lt.as_ref(),
        None,
        wood.shear_modulus_lt_mpa(),
    );
    sheet.part(
        "shear in the end grain",
        ratios.shear_rt.as_ref(),
        None,
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

const fn kind_word(wood: &Species) -> &'static str {
    match wood.kind {
        Kind::Wood => "wood",
        Kind::Group { .. } => "group",
        Kind::Sheet(_) => "sheet",
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
    map.insert("kind".into(), json!(kind_word(wood)));
    map.insert("movement_class".into(), json!(wood.movement_class().word()));
    let [radial, tangential] = wood.movement_90_to_60_percent();
    map.insert("movement_90_to_60_radial_percent".into(), json!(radial));
    map.insert(
        "movement_90_to_60_tangential_percent".into(),
        json!(tangential),
    );
    let [tangential, radial] = wood.source_spread.map(|spread| 100.0 * spread);
    map.insert("source_spread_radial_percent".into(), json!(radial));
    map.insert("source_spread_tangential_percent".into(), json!(tangential));
    map.insert("remark".into(), json!(wood.remark));
    let sources: Vec<Value> = wood
        .witnesses
        .iter()
        .enumerate()
        .map(|(place, witness)| {
            let [radial, tangential] = witness.percent_per_percent();
            json!({
                "used": place == 0,
                "radial_percent": witness.radial_percent,
                "tangential_percent": witness.tangential_percent,
                "fiber_saturation_percent": witness.fiber_saturation_percent,
                "radial_percent_per_percent": radial,
                "tangential_percent_per_percent": tangential,
                "source": &*witness.source,
                "status": witness.status,
            })
        })
        .collect();
    map.insert("sources".into(), json!(sources));
    match &wood.kind {
        Kind::Group { members, ask } => {
            let members: Vec<Value> = members
                .iter()
                .map(|member| {
                    json!({ "species": member.species, "share_percent": 100.0 * member.share })
                })
                .collect();
            map.insert("members".into(), json!(members));
            map.insert("name_decides".into(), json!(!ask));
        }
        Kind::Sheet(sheet) => {
            map.insert(
                "in_plane_percent_per_percent".into(),
                json!(sheet.in_plane_percent_per_percent),
            );
            map.insert(
                "thickness_percent_per_percent".into(),
                json!(sheet.thickness_percent_per_percent),
            );
            map.insert(
                "equilibrium_share_percent".into(),
                json!(100.0 * sheet.equilibrium_share),
            );
        }
        Kind::Wood => {}
    }
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
            ratios
                .tangential
                .as_ref()
                .or(wood.across.tangential_mpa.as_ref()),
            wood.modulus_across_mpa(),
        ),
        (
            "modulus_radial_mpa",
            ratios.radial.as_ref().or(wood.across.radial_mpa.as_ref()),
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
