//! `forecast.json`.

use super::PanelAnswer;
use super::text::system;
use crate::forecast::{Forecast, PanelStudy};
use crate::units::UnitSystem;
use serde_json::{Value, json};

/// The forecast as JSON text: metric, keys end in their unit, same forecast same bytes.
#[must_use]
pub fn json(forecast: &Forecast) -> String {
    let mut object = serde_json::to_value(forecast).unwrap_or_default();
    let system = system(forecast);
    object["panels"] = forecast
        .panels
        .iter()
        .map(|study| panel(study, system))
        .collect();
    format!("{object:#}\n")
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
        let ends = |size: fn(&crate::panel::PanelAt) -> crate::units::Length| {
            year.extremes(size).map(|(least, greatest)| {
                [
                    size(&year.days[least]).mm(),
                    size(&year.days[greatest]).mm(),
                ]
            })
        };
        json!({
            "width_mm": ends(|at| at.width),
            "cup_mm": ends(|at| at.cup),
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
