//! Held against measured wood: spruce blocks through 17 steps of humidity (M. Maas and F. K. Wittel, ETH Zurich, CC BY 4.0;
//! `tests/it/data/spruce`). Predicted from the logged air, with nothing fitted.
#![expect(
    clippy::print_stdout,
    reason = "the measured errors are shown beside the test that holds them"
)]

use heartside::air::{Hysteresis, SorptionHistory, equilibrium_percent};
use heartside::joint::split::{NOTCH_GAIN, RELAXED_SHARE};
use heartside::movement::Direction::{Radial, Tangential};
use heartside::movement::Shrinkage;
use heartside::species::SpeciesTable;
use heartside::units::MoistureContent;
use serde::Deserialize;
use serde::de::DeserializeOwned;

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
    sample: String,
    #[serde(rename = "R_mm")]
    radial_mm: Option<f64>,
    #[serde(rename = "T_mm")]
    tangential_mm: Option<f64>,
    mc_pct: f64,
}

#[derive(Deserialize)]
struct Strength {
    valid: String,
    loading_type: String,
    direction: String,
    rh: f64,
    #[serde(rename = "max_stress_MPa")]
    max_mpa: Option<f64>,
}

#[derive(Deserialize)]
struct Creep {
    rh: f64,
    load: String,
    #[serde(rename = "creep_720h")]
    after_a_month: Option<f64>,
}

fn rows<T: DeserializeOwned>(name: &str) -> Vec<T> {
    let path = format!("tests/it/data/spruce/{name}");
    csv::Reader::from_path(path)
        .unwrap()
        .into_deserialize()
        .collect::<Result<_, _>>()
        .unwrap()
}

fn mean(values: impl IntoIterator<Item = f64>) -> f64 {
    let values: Vec<f64> = values.into_iter().collect();
    assert!(!values.is_empty());
    values.iter().sum::<f64>() / values.len() as f64
}

/// By step from 1 to 15: the table's moisture in the logged air, and the mean of the blocks.
fn steps() -> Vec<(f64, f64)> {
    let blocks: Vec<Block> = rows("measured_blocks_mass_LRT.csv");
    let air: Vec<Step> = rows("inputs_climate_steps.csv");
    (1..=15)
        .map(|step| {
            let logged = air.iter().find(|row| row.step == step).unwrap();
            let humidity = logged.logger_rh_mean.unwrap() / 100.0;
            let of_step = blocks.iter().filter(|block| block.step == step);
            (
                equilibrium_percent(logged.logger_celsius.unwrap(), humidity),
                mean(of_step.map(|block| block.mc_pct)),
            )
        })
        .collect()
}

fn rms(off: &[f64]) -> f64 {
    mean(off.iter().map(|off| off * off)).sqrt()
}

/// Steps 1 to 7 follow the gaining curve within 0.3 % moisture. At step 8, logged as 93.4 %, the blocks hold 22.4 % where the curve
/// says 20.5: not held, the logger's own 3 points are worth as much there. Begun again at what they hold, steps 9 to 15 come
/// out within 0.4 % root mean square; without that within 0.9, by the static curve 0.6.
#[test]
fn blocks_go_up_on_the_gaining_and_down_on_the_losing_curve() {
    let steps = steps();
    let gaining = SorptionHistory::Gaining.factor();
    let start = equilibrium_percent(20.0, 0.65);
    let mut memory = Hysteresis::at(Hysteresis::SLOPE, start, start);
    let predicted: Vec<f64> = steps.iter().map(|(table, _)| memory.next(*table)).collect();
    for (step, (table, measured)) in steps.iter().enumerate().take(7) {
        assert!((gaining * table - measured).abs() < 0.3, "{step}");
        assert!((predicted[step] - measured).abs() < 0.3, "{step}");
    }
    assert!((steps[7].1 - 22.447).abs() < 0.01 && (predicted[7] - 20.54).abs() < 0.05);
    let (at_eight, measured) = steps[7];
    let mut restarted = Hysteresis::at(Hysteresis::SLOPE, at_eight, measured);
    let off = |predicted: f64, measured: f64| predicted - measured;
    let [mut with, mut without, mut still] = [Vec::new(), Vec::new(), Vec::new()];
    for (index, (table, measured)) in steps.iter().enumerate().skip(8) {
        with.push(off(restarted.next(*table), *measured));
        without.push(off(predicted[index], *measured));
        still.push(off(*table, *measured));
    }
    let (with, without, still) = (rms(&with), rms(&without), rms(&still));
    println!(
        "steps 9 to 15, root mean square: {with:.2} begun again, {without:.2} without, {still:.2} by the static curve"
    );
    assert!(with < 0.4, "{with}");
    assert!((0.8..0.95).contains(&without), "{without}");
    assert!((0.5..0.65).contains(&still), "{still}");
}

/// Between both curves the moisture moves on the scanning slope and nowhere else; far enough, on a curve. Air that stays changes nothing.
#[test]
fn between_the_curves_it_scans() {
    let mut memory = Hysteresis::at(0.75, 10.0, 10.0);
    assert!((memory.next(10.4) - 10.3).abs() < 1e-12);
    assert!((memory.next(10.4) - 10.3).abs() < 1e-12);
    assert!((memory.next(10.0) - 10.0).abs() < 1e-12);
    let up = SorptionHistory::Gaining.factor() * 20.0;
    assert!((memory.next(20.0) - up).abs() < 1e-12);
    assert!((memory.next(5.0) - SorptionHistory::Losing.factor() * 5.0).abs() < 1e-12);
    // wood drier than its air begins on the gaining curve
    let dry = Hysteresis::at(0.75, 10.0, 4.0);
    assert!((dry.settles_percent() - SorptionHistory::Gaining.factor() * 10.0).abs() < 1e-12);
}

/// Movement per per cent of moisture, of the size oven-dry, 1.6 to 22 % moisture: radially 0.142 % (0.138 to 0.156 over 21 blocks),
/// tangentially 0.294 (0.279 to 0.340). The totals of the table with fiber saturation at 30 % are 11 and 10 % short of that.
#[test]
fn blocks_move_as_the_table_says_and_a_tenth_more() {
    let blocks: Vec<Block> = rows("measured_blocks_mass_LRT.csv");
    let slope = |size: fn(&Block) -> Option<f64>| {
        let oven_dry = blocks.iter().filter(|block| block.step == 16);
        mean(oven_dry.map(|dry| {
            let of_block =
                |block: &&Block| block.sample == dry.sample && (1..=15).contains(&block.step);
            let points: Vec<(f64, f64)> = blocks
                .iter()
                .filter(of_block)
                .filter_map(|block| Some((block.mc_pct, 100.0 * size(block)? / size(dry)?)))
                .collect();
            let (x, y) = (
                mean(points.iter().map(|point| point.0)),
                mean(points.iter().map(|point| point.1)),
            );
            let above: f64 = points.iter().map(|(a, b)| (a - x) * (b - y)).sum();
            above / points.iter().map(|(a, _)| (a - x).powi(2)).sum::<f64>()
        }))
    };
    let spruce = SpeciesTable::built_in().find("Spruce, Norway").unwrap();
    let shrinkage = Shrinkage::of(spruce);
    let table = |direction| {
        let percent = |value| MoistureContent::from_percent(value).unwrap();
        let strain = shrinkage
            .strain(direction, percent(1.6), percent(22.0))
            .ratio();
        100.0 * strain / 20.4
    };
    let (radial, tangential) = (
        slope(|block| block.radial_mm),
        slope(|block| block.tangential_mm),
    );
    assert!((radial - 0.142).abs() < 0.002, "{radial}");
    assert!((tangential - 0.294).abs() < 0.002, "{tangential}");
    for (measured, table) in [(radial, table(Radial)), (tangential, table(Tangential))] {
        let over = measured / table - 1.0;
        assert!((-0.03..0.2).contains(&over), "{measured} {table}");
    }
}

/// Tension across the grain of specimens without a notch, 6.2 MPa radially and 4.8 tangentially at 65 %: 2.3 and 1.8 times the 2.7 of
/// the table, more than the gain of 1.0 to 1.6 that is taken. Drier it is no stronger.
#[test]
fn spruce_across_the_grain_is_stronger_than_the_table_and_no_stronger_dry() {
    let tests: Vec<Strength> = rows("measured_strength.csv");
    let of = |direction: &str, humidity: f64| {
        mean(tests.iter().filter_map(|test| {
            let wanted = test.valid == "True"
                && test.loading_type == "tension"
                && test.direction == direction
                && (test.rh - humidity).abs() < 0.1;
            wanted.then_some(test.max_mpa?)
        }))
    };
    assert!((of("R", 65.0) - 6.18).abs() < 0.01);
    assert!((of("T", 65.0) - 4.80).abs() < 0.01);
    assert!(of("T", 65.0) / 2.7 > NOTCH_GAIN.1);
    assert!(of("T", 35.0) < of("T", 65.0) && of("R", 35.0) < 1.1 * of("R", 65.0));
}

/// Creep along the grain in constant air at 65 %, a month at a third of the strength: 1.05 to 1.35 times the first deflection. A
/// permanent load over years, in air that swings, takes 2; what relaxation leaves across the grain is half in the middle, and a
/// month of constant air across the grain already takes the strain to 2 and more times.
#[test]
fn spruce_creeps_less_in_a_month_than_a_shelf_in_years() {
    let tests: Vec<Creep> = rows("measured_creep_factor.csv");
    let month = |load: &str, humidity: f64| -> Vec<f64> {
        let of_load = tests
            .iter()
            .filter(|test| test.load == load && (test.rh - humidity).abs() < 0.1);
        of_load.filter_map(|test| test.after_a_month).collect()
    };
    for factor in month("cLx", 65.0).into_iter().chain(month("tLx", 65.0)) {
        assert!((1.0..1.5).contains(&factor), "{factor}");
    }
    let across = mean(month("cR", 35.0));
    assert!(across > 1.0 / RELAXED_SHARE, "{across}");
}

/// A row of the picture: what is drawn for each step, its color and its words.
type Row<'a> = (&'a str, &'a str, Vec<(usize, f64)>);

/// The picture of the README: the blocks' moisture at fifteen steps of humidity, and what the logged air predicts.
fn picture() -> String {
    const WIDTH: f64 = 640.0;
    const HEIGHT: f64 = 300.0;
    let steps = steps();
    let start = equilibrium_percent(20.0, 0.65);
    let mut memory = Hysteresis::at(Hysteresis::SLOPE, start, start);
    let up = (0..8)
        .map(|step| (step, memory.next(steps[step].0)))
        .collect();
    let mut memory = Hysteresis::at(Hysteresis::SLOPE, steps[7].0, steps[7].1);
    let down = (8..15).map(|step| (step, memory.next(steps[step].0)));
    let down = std::iter::once((7, steps[7].1)).chain(down).collect();
    let table = (0..15).map(|step| (step, steps[step].0)).collect();
    let x = |step: usize| 56.0 + 38.0 * step as f64;
    let y = |percent: f64| 258.0 - 9.2 * percent;
    let mut svg = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {WIDTH} {HEIGHT}\" role=\"img\" font-family=\"sans-serif\" font-size=\"12\">\n<title>Moisture of spruce blocks, measured and predicted</title>\n<rect width=\"100%\" height=\"100%\" fill=\"#fbf9f4\"/>\n"
    );
    for percent in [0.0, 5.0, 10.0, 15.0, 20.0] {
        svg += &format!(
            "<path d=\"M44 {0:.1}H600\" stroke=\"#d8d2c4\"/><text x=\"38\" y=\"{1:.1}\" text-anchor=\"end\" fill=\"#4a4438\">{percent:.0}</text>\n",
            y(percent),
            y(percent) + 4.0
        );
    }
    for step in 0..15 {
        svg += &format!(
            "<text x=\"{:.1}\" y=\"276\" text-anchor=\"middle\" fill=\"#4a4438\">{}</text>\n",
            x(step),
            step + 1
        );
    }
    svg += "<text x=\"44\" y=\"16\" fill=\"#4a4438\">moisture, %</text><text x=\"600\" y=\"294\" text-anchor=\"end\" fill=\"#4a4438\">step of humidity, up and down</text>\n";
    let rows: [Row<'_>; 3] = [
        (
            "table, no memory",
            "stroke=\"#9a9383\" stroke-dasharray=\"3 4\"",
            table,
        ),
        (
            "predicted going up",
            "stroke=\"#b4552d\" stroke-width=\"2\"",
            up,
        ),
        (
            "predicted going down, from the weight of step 8",
            "stroke=\"#2d6a8a\" stroke-width=\"2\"",
            down,
        ),
    ];
    for (index, (words, ink, points)) in rows.iter().enumerate() {
        let line: Vec<String> = points
            .iter()
            .map(|&(step, percent)| format!("{:.1} {:.1}", x(step), y(percent)))
            .collect();
        let below = 176.0 + 18.0 * index as f64;
        svg += &format!(
            "<path d=\"M{}\" fill=\"none\" {ink}/><path d=\"M224 {below}h24\" {ink}/><text x=\"254\" y=\"{}\" fill=\"#4a4438\">{words}</text>\n",
            line.join("L"),
            below + 4.0
        );
    }
    for (step, (_, measured)) in steps.iter().enumerate() {
        svg += &format!(
            "<circle cx=\"{:.1}\" cy=\"{:.1}\" r=\"4\" fill=\"#26221a\"/>\n",
            x(step),
            y(*measured)
        );
    }
    svg + "<circle cx=\"236\" cy=\"230\" r=\"4\" fill=\"#26221a\"/><text x=\"254\" y=\"234\" fill=\"#4a4438\">weighed, mean of 21 blocks</text>\n</svg>\n"
}

/// The picture of the README is what the data and the program give today.
#[test]
fn the_readme_shows_the_blocks_as_measured_and_predicted() {
    let kept = "tests/pictures/measured-spruce.svg";
    let drawn = picture();
    let now = std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join("measured-spruce.svg");
    std::fs::write(&now, &drawn).unwrap();
    assert!(
        std::fs::read_to_string(kept).is_ok_and(|kept| kept == drawn),
        "{kept} is drawn differently now; if that is meant, copy {} over it",
        now.display()
    );
    assert!(std::fs::read_to_string("README.md").unwrap().contains(kept));
}
