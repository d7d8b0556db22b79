//! Tests of the room `forecast`.

mod changes;
mod chest;
mod curve;
mod days;
mod grid;
mod memory;
mod not_modeled;
mod pieces_together;
mod placed_case;
mod sheets;
mod site;
mod standing;
mod stopped;

use heartside::forecast::{Airs, Forecast, Prepared, forecast};
use heartside::job::{self, Job};
use heartside::species::SpeciesTable;
use std::convert::Infallible;

/// A job of a text that names no files.
pub(crate) fn job_of(text: &str) -> Job {
    job::read(text, "job.toml").unwrap_or_else(|errors| panic!("{errors}"))
}

/// The airs of such a job.
pub(crate) fn airs_of(job: &Job) -> Airs {
    let airs = job
        .airs(|_| Ok::<_, Infallible>(Vec::new()))
        .unwrap_or_else(|_| panic!("the airs are given in the job"));
    Airs::new(airs.into_iter().map(|air| (air.year, air.notes)).collect())
}

/// The forecast of such a job.
pub(crate) fn forecast_of(text: &str) -> Forecast {
    let job = job_of(text);
    forecast(&job, SpeciesTable::built_in(), &airs_of(&job)).unwrap_or_else(|e| panic!("{e}"))
}

/// The same as its JSON.
pub(crate) fn json_of(text: &str) -> serde_json::Value {
    serde_json::from_str(&heartside::report::json(&forecast_of(text))).unwrap()
}

/// A job made ready.
pub(crate) fn prepared_of(job: &Job) -> Prepared {
    Prepared::new(job, SpeciesTable::built_in(), &airs_of(job)).unwrap_or_else(|e| panic!("{e}"))
}

/// A small job: a panel in its frame and a batten across a lid, two homes to choose from.
pub(crate) fn small(change: &[(&str, &str)]) -> String {
    let mut text = SMALL.to_owned();
    for (from, to) in change {
        assert!(text.contains(from), "{from}");
        text = text.replacen(from, to, 1);
    }
    text
}

const SMALL: &str = r#"format = 2
[job]
name = "Small chest"
units = "mm"
seed = 3
draws = 256

[places.shop]
air = { temperature = "15C", humidity = "60%" }
[places.home]
seasons = { winter = "30%", summer = "55%", temperature = "20C" }

[schedule]
measured = 2026-09-14
delivered = 2026-10-26

[[parts]]
name = "lid"
species = "ash, white"
thickness = "20 mm"
width = "400 mm"
length = "900 mm"
moisture = "10%"
rings = { sawn = "flat" }

[[parts]]
name = "batten"
species = "ash, white"
thickness = "20 mm"
width = "50 mm"
length = "380 mm"
moisture = "10%"
rings = { sawn = "quarter" }

[[parts]]
name = "stile"
species = "oak, white"
thickness = "22 mm"
width = "60 mm"
length = "420 mm"
moisture = "10%"
rings = { sawn = "quarter" }

[[parts]]
name = "panel"
species = "cherry, black"
thickness = "10 mm"
width = "325 mm"
length = "300 mm"
moisture = "9%"
rings = { sawn = "flat" }

[[joints.frame_and_panel]]
name = "panel in its frame"
piece = "panel"
into = "stile"
opening = "300 mm"

[[joints.cleat]]
name = "batten under the lid"
into = "lid"
piece = "batten"
screws = "40 mm, 200 mm, 360 mm"

[[panels]]
name = "pair"
match = "bookmatch"
species = "ash, white"
moisture = "10%"
leaves = [
  { leaf = "A1", width = "160 mm", thickness = "12 mm", length = "700 mm", bow = "2 mm" },
  { leaf = "A2", width = "160 mm", thickness = "12 mm", length = "700 mm", bow = "1.5 mm" },
]
"#;
