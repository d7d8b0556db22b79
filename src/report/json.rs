//! `forecast.json`.

use super::text::system;
use super::{BoardAnswer, PanelAnswer, StandingAnswer, keyed};
use crate::forecast::{BoardStudy, Forecast, PanelStudy};
use crate::joint::PartFacts;
use crate::units::{Length, UnitSystem};
use serde_json::{Value, json};

/// The forecast as JSON text: metric, keys end in their unit, same forecast same bytes.
#[must_use]
pub fn json(forecast: &Forecast) -> String {
    let mut object = keyed(forecast).unwrap_or_default();
    let system = system(forecast);
    object["panels"] = forecast
        .panels
        .iter()
        .map(|study| panel(study, system))
        .collect();
    let parts = part_facts(forecast);
    let standing = StandingAnswer {
        standing: &forecast.standing,
        parts: &parts,
        system,
    };
    object["calendar"] = keyed(&super::calendar(forecast)).unwrap_or_default();
    object["straighten"] = standing.straighten().into();
    object["shelves"] = standing.shelves().into();
    object["glueup"] = standing.glueup();
    object["install"] = standing.install();
    let boards: Vec<Value> = forecast.boards.iter().map(board).collect();
    object["leaves"] = boards
        .iter()
        .flat_map(|board| {
            let leaves = board["leaves"].as_array().cloned().unwrap_or_default();
            leaves.into_iter().map(|mut leaf| {
                leaf["board"] = board["name"].clone();
                leaf
            })
        })
        .collect();
    object["boards"] = boards.into();
    format!("{object:#}\n")
}

/// The sizes of a forecast's parts, in their order.
#[must_use]
pub(super) fn part_facts(forecast: &Forecast) -> Vec<PartFacts> {
    forecast
        .parts
        .iter()
        .map(|part| PartFacts {
            name: part.name.clone(),
            length: part.length,
            width: part.width,
            thickness: part.thickness,
        })
        .collect()
}

fn board(study: &BoardStudy) -> Value {
    let answer = BoardAnswer {
        tells_cup: true,
        order: &study.order,
        forecast: &study.forecast,
        recovery: None,
        notes: study.notes.clone(),
        system: UnitSystem::Metric,
    };
    let mut object = answer.object();
    object["name"] = json!(study.name);
    object["species"] = json!(study.species);
    object["pack"] = json!(study.pack);
    object["milling"] = study
        .forecast
        .milling
        .iter()
        .enumerate()
        .flat_map(|(leaf, parts)| {
            parts.iter().map(move |milled| {
                json!({
                    "leaf": leaf + 1,
                    "part": study.order.parts.get(milled.part).map(|part| &part.name),
                    "straight_width_mm": milled.straight_width.mm(),
                    "fits_outline": milled.fits_outline,
                    "cut_first_chance_percent": 100.0 * milled.chance_cut_first,
                    "flatten_first_chance_percent": 100.0 * milled.chance_flatten_first,
                    "verdict": milled.verdict.word(),
                })
            })
        })
        .collect();
    object
}

fn panel(study: &PanelStudy, system: UnitSystem) -> Value {
    let answer = PanelAnswer {
        panel: &study.panel,
        best: &study.best,
        flag: study.flag.as_ref(),
        rules: &study.rules,
        system,
    };
    let mut object = answer.object();
    object["name"] = json!(study.name);
    object["part"] = json!(study.part);
    object["year"] = json!(study.year.as_ref().map(|year| {
        let ends = |size: fn(&crate::panel::PanelAt) -> Length| {
            year.extremes(size)
                .map(|(min, max)| [size(&year.days[min]).mm(), size(&year.days[max]).mm()])
        };
        json!({
            "width_mm": ends(|at| at.width),
            "cup_mm": ends(|at| at.cup).filter(|_| study.panel.knows_ring_cup()),
            "bow_mm": ends(|at| at.bow),
            "bow_trend": match year.bow_trend {
                crate::panel::BowTrend::Grows => "grows",
                crate::panel::BowTrend::Eases => "eases",
                crate::panel::BowTrend::Stays => "stays",
            },
            "bow_after_holding_mm": year.bow_after_holding.mm(),
        })
    }));
    object
}
