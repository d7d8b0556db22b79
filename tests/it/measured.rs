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
