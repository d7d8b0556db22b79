//! Blocks of spruce through steps of humidity, measured at ETH Zurich, as a log.

use super::{airs, band_of, entry, unread};
use heartside::forecast::Ready;
use heartside::species::SpeciesTable;
use serde::Deserialize;
use std::fmt::Write as _;

#[derive(Deserialize)]
struct Step {
    step: usize,
    logger_rh_mean: Option<f64>,
    #[serde(rename = "logger_T_mean")]
    logger_celsius: Option<f64>,
}

#[derive(Deserialize)]
struct Block {
    step: usize,
    #[serde(rename = "R_mm")]
    radial_mm: Option<f64>,
    #[serde(rename = "T_mm")]
    tangential_mm: Option<f64>,
    mc_pct: f64,
}

fn rows<T: serde::de::DeserializeOwned>(name: &str) -> Vec<T> {
    let path = format!("tests/it/data/spruce/{name}");
    csv::Reader::from_path(path)
        .unwrap()
        .into_deserialize()
        .collect::<Result<_, _>>()
        .unwrap()
}

/// Mean of all blocks after a step: moisture, radial and tangential size.
fn after(blocks: &[Block], step: usize) -> [f64; 3] {
    let mean = |of: fn(&Block) -> Option<f64>| {
        let all: Vec<f64> = blocks
            .iter()
            .filter(|block| block.step == step)
            .filter_map(of)
            .collect();
        all.iter().sum::<f64>() / all.len() as f64
    };
    [
        mean(|block| Some(block.mc_pct)),
        mean(|block| block.radial_mm),
        mean(|block| block.tangential_mm),
    ]
}

/// Days that a step of humidity is held in the test's year; the real ones took a month or two.
const HELD: usize = 30;

/// The logged air of steps 1 to 12, a month each from 1 January.
pub(super) fn chamber() -> Vec<u8> {
    let steps: Vec<Step> = rows("inputs_climate_steps.csv");
    let mut csv = "time,temperature C,humidity %\n".to_owned();
    let base: jiff::civil::Date = "2023-01-01".parse().unwrap();
    for day in 0..365 {
        let step = (day / HELD + 1).min(12);
        let row = steps.iter().find(|row| row.step == step).unwrap();
        let date = base.saturating_add(jiff::Span::new().days(day as i64));
        for hour in ["00:00", "06:00", "12:00", "18:00"] {
            let _ = writeln!(
                csv,
                "{date} {hour},{},{}",
                row.logger_celsius.unwrap(),
                row.logger_rh_mean.unwrap()
            );
        }
    }
    csv.into_bytes()
}

/// Blocks of spruce through steps of humidity (M. Maas and F. K. Wittel, ETH Zurich, CC BY 4.0): the sizes and moistures of the first
/// four steps as a log. The blocks had six open faces and are thin enough here to be as even as they were.
#[test]
fn four_steps_of_spruce_narrow_the_later_sizes_by_half_and_still_cover_them() {
    let blocks: Vec<Block> = rows("measured_blocks_mass_LRT.csv");
    let [moisture, radial, tangential] = after(&blocks, 0);
    let part = |name: &str, sawn: &str, mm: f64| {
        format!(
            "[[parts]]\nname = \"{name}\"\nspecies = \"Spruce, Norway\"\nboard = \"block\"\nthickness = \"5 mm\"\nwidth = \"{mm:.3} mm\"\nlength = \"40 mm\"\nmoisture = \"{moisture:.2}%\"\nrings = {{ sawn = \"{sawn}\" }}\n"
        )
    };
    let base = format!(
        "format = 2\n[job]\nname = \"Blocks\"\nunits = \"mm\"\ndraws = 1024\n[places.shop]\nlogger = {{ file = \"chamber.csv\" }}\n[places.home]\nlogger = {{ file = \"chamber.csv\" }}\n[schedule]\nmeasured = 2023-01-01\ndelivered = 2023-12-20\n{}{}",
        part("radial", "quarter", radial),
        part("tangential", "flat", tangential),
    );
    let date = |step: usize| {
        let base: jiff::civil::Date = "2023-01-01".parse().unwrap();
        base.saturating_add(jiff::Span::new().days((step * HELD) as i64 - 2))
            .to_string()
    };
    let mut log = String::new();
    for step in 1..=4 {
        let [moisture, radial, tangential] = after(&blocks, step);
        for (part, mm) in [("radial", radial), ("tangential", tangential)] {
            log += &entry(&format!(
                "date = {}\npart = \"{part}\"\nwidth = \"{mm:.4} mm\"\nwithin = \"0.02 mm\"",
                date(step)
            ));
            log += &entry(&format!(
                "date = {}\npart = \"{part}\"\nmoisture = \"{moisture:.3}%\"\nwithin = \"0.3%\"",
                date(step)
            ));
        }
    }
    let (job, prepared, inputs) = unread(&format!("{base}{log}"));
    let ready = Ready::new(&job, SpeciesTable::built_in(), &airs(&job))
        .unwrap_or_else(|error| panic!("{error}"));
    for step in 5..=7 {
        let [_, radial, tangential] = after(&blocks, step);
        for (part, mm) in [(0, radial), (1, tangential)] {
            let day = date(step);
            let was = band_of((&prepared, &inputs), job.seed, part, &day, 1024, true);
            let of = (&ready.prepared, ready.inputs());
            let is = band_of(of, job.seed, part, &day, 1024, true);
            let narrower = (was.high - was.low) / (is.high - is.low);
            assert!(narrower >= 2.0, "step {step}: {narrower} {was:?} {is:?}");
            assert!(
                (is.low - 0.02..=is.high + 0.02).contains(&mm),
                "step {step}, part {part}: {mm} {is:?} before {was:?}"
            );
        }
    }
}
