//! The tables of a report: the widths of the parts, the air of the places, how wide may be glued.

use super::text::day_words;
use super::view::TableView;
use crate::chance::{Verdict, in_hundred};
use crate::chart::{NumberTable, month_name};
use crate::forecast::{BondFinding, Forecast, PartFinding, PlaceFinding};
use crate::units::notation::{percent_shown, shown, temperature_shown};
use crate::units::{Length, UnitSystem};

/// All tables of a forecast.
pub(super) fn tables(forecast: &Forecast, units: UnitSystem) -> Vec<TableView> {
    let mut tables = vec![parts_table(&forecast.parts, units)];
    let places = forecast.job.places.iter();
    tables.extend(places.map(|place| place_table(place, units)));
    tables.extend(
        forecast
            .bonds
            .iter()
            .filter(|bond| bond.verdict != Verdict::Holds)
            .map(|bond| bond_table(bond, units)),
    );
    tables
}

fn parts_table(parts: &[PartFinding], units: UnitSystem) -> TableView {
    let length = |length| shown(length, units);
    let rows = parts
        .iter()
        .map(|part| {
            vec![
                if part.count > 1 {
                    format!("{} \u{d7} {}", part.name, part.count)
                } else {
                    part.name.clone()
                },
                part.species.clone(),
                format!(
                    "{} at {}",
                    length(part.width),
                    percent_shown(part.moisture.percent())
                ),
                format!(
                    "{} at {}, {}",
                    length(part.width_driest.middle),
                    percent_shown(part.moisture_driest.middle.percent()),
                    day_words(part.driest_on)
                ),
                format!(
                    "{} at {}, {}",
                    length(part.width_wettest.middle),
                    percent_shown(part.moisture_wettest.middle.percent()),
                    day_words(part.wettest_on)
                ),
                match part.cup_driest_mm {
                    _ if part.pith_inside => "pith inside: it will check".to_owned(),
                    _ if !part.cup_known => "not known: give the rings".to_owned(),
                    Some(cup) if cup.abs().mm() >= 0.005 => format!(
                        "{} face hollow by {}",
                        if cup > Length::ZERO { "bark" } else { "heart" },
                        length(cup.abs())
                    ),
                    _ => "none".to_owned(),
                },
                format!(
                    "{}, {}",
                    percent_shown(part.first_year_driest.percent()),
                    day_words(part.first_year_driest_on)
                ),
                format!(
                    "driest from {}, wettest from {}",
                    day_words(part.driest_week_from),
                    day_words(part.wettest_week_from)
                ),
            ]
        })
        .collect();
    TableView {
        caption: "Parts: width through the year".to_owned(),
        table: NumberTable {
            heads: heads(&[
                "Part",
                "Wood",
                "Measured",
                "Narrowest",
                "Widest",
                "Cup at the driest",
                "Driest of the first year",
                "Weeks of later years",
            ]),
            rows,
        },
    }
}

fn place_table(place: &PlaceFinding, units: UnitSystem) -> TableView {
    let months = place
        .temperature
        .iter()
        .zip(&place.humidity)
        .zip(&place.emc);
    TableView {
        caption: format!("Air of {}: {}", place.name, place.air),
        table: NumberTable {
            heads: heads(&[
                "Month",
                "Temperature",
                "Relative humidity",
                "Wood settles at",
            ]),
            rows: months
                .enumerate()
                .map(|(month, ((temperature, humidity), emc))| {
                    vec![
                        month_name(month).to_owned(),
                        temperature_shown(*temperature, units),
                        percent_shown(humidity.percent()),
                        percent_shown(emc.percent()),
                    ]
                })
                .collect(),
        },
    }
}

fn bond_table(bond: &BondFinding, units: UnitSystem) -> TableView {
    TableView {
        caption: format!("{}: how wide may be glued", bond.joint),
        table: NumberTable {
            heads: heads(&[
                "Glued",
                "Chance of splitting",
                "End shear over its strength",
            ]),
            rows: bond
                .by_length
                .iter()
                .map(|row| {
                    vec![
                        shown(row.glued, units),
                        in_hundred(row.split_chance),
                        percent_shown(100.0 * row.end_shear_share),
                    ]
                })
                .collect(),
        },
    }
}

fn heads(names: &[&str]) -> Vec<String> {
    names.iter().map(|name| (*name).to_owned()).collect()
}
