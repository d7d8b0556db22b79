//! `heartside places`: the built-in places, by name, country or the nearest to a point.

use super::ring_flags::read_optional;
use super::{Failure, Output};
use crate::air::places::{Coordinates, Place, nearest, search};
use comfy_table::{CellAlignment, Table, presets};
use serde_json::{Value, json};
use std::process::ExitCode;

/// Lists the built-in places with their climate in words, or those nearest to a point.
#[derive(Debug, clap::Args)]
pub(super) struct Args {
    /// A part of the name, such as `port`; all places unless given.
    name: Option<String>,
    /// Only places of this country.
    #[arg(long, value_name = "COUNTRY")]
    country: Option<String>,
    /// The places nearest to a point: `39.7,-105.0`, latitude first, north and east positive, or `39.7N 105.0W`.
    #[arg(long, value_name = "LAT,LON", allow_hyphen_values = true)]
    near: Option<String>,
    /// How many of the nearest; five unless given.
    #[arg(long, value_name = "COUNT", requires = "near", value_parser = clap::value_parser!(u16).range(1..=200))]
    count: Option<u16>,
}

/// Answers the command.
///
/// # Errors
/// [`Failure`] when the point cannot be read, or no place fits.
pub(super) fn run(args: Args, output: &mut Output<'_>) -> Result<ExitCode, Failure> {
    let near: Option<Coordinates> = read_optional("near", args.near.as_ref())?;
    let fitting = search(args.name.as_deref(), args.country.as_deref());
    if fitting.is_empty() {
        return Err(Failure::input(
            "error: no built-in place fits; give a shorter part of the name, or --near LAT,LON for the nearest ones",
        ));
    }
    let found: Vec<(Option<f64>, &Place)> = match near {
        None => fitting.into_iter().map(|place| (None, place)).collect(),
        Some(point) => nearest(point)
            .into_iter()
            .filter(|(_, place)| fitting.contains(place))
            .take(usize::from(args.count.unwrap_or(5)))
            .map(|(distance, place)| (Some(distance), place))
            .collect(),
    };
    let objects: Vec<Value> = found
        .iter()
        .map(|(distance, place)| object(*distance, place))
        .collect();
    output.answer(&json!({ "places": objects }), &words(&found))?;
    Ok(ExitCode::SUCCESS)
}

fn object(distance_km: Option<f64>, place: &Place) -> Value {
    let [driest, dampest] = place.outdoor_emc_percent();
    json!({
        "name": place.to_string(),
        "country": place.country,
        "latitude_degrees": place.latitude_degrees,
        "longitude_degrees": place.longitude_degrees,
        "elevation_m": place.elevation_m,
        "distance_km": distance_km,
        "climate": place.climate_words(),
        "outdoor_emc_low_percent": driest,
        "outdoor_emc_high_percent": dampest,
        "heated_humidity_percent": place.heated_humidity_percent(),
        "source": place.source,
        "status": place.status,
    })
}

fn words(found: &[(Option<f64>, &Place)]) -> String {
    let with_distance = found.iter().any(|(distance, _)| distance.is_some());
    let mut table = Table::new();
    table.load_preset(presets::NOTHING);
    let mut header = vec!["place", "climate", "EMC outdoors %", "heated %RH"];
    if with_distance {
        header.insert(1, "km away");
    }
    table.set_header(header);
    for (distance, place) in found {
        let [driest, dampest] = place.outdoor_emc_percent();
        let mut row = vec![
            place.to_string(),
            place.climate_words(),
            format!("{driest:.0} to {dampest:.0}"),
            format!("{:.0}", place.heated_humidity_percent()),
        ];
        if with_distance {
            row.insert(1, format!("{:.0}", distance.unwrap_or_default()));
        }
        table.add_row(row);
    }
    for column in table.column_iter_mut() {
        column.set_padding((0, 2));
    }
    let numbers = if with_distance {
        vec![1, 3, 4]
    } else {
        vec![2, 3]
    };
    for column in numbers {
        if let Some(column) = table.column_mut(column) {
            column.set_cell_alignment(CellAlignment::Right);
        }
    }
    format!(
        "{}\n\n{} place{}. EMC outdoors: what wood comes to under a roof, in the driest and in the dampest month.\n\
         Heated: humidity of the coldest month's air brought to 20 C (68 F) with no moisture of the house added.\n\
         Write the name as `place` in a job file, with `indoor` for a room. A logger of your own comes first.\n\
         Monthly means: typical-year weather files, and reports of 2003 to 2021 (data basis: Deutscher Wetterdienst).",
        table.trim_fmt(),
        found.len(),
        if found.len() == 1 { "" } else { "s" }
    )
}
