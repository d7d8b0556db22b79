//! Moisture years and draws beside numpy and scipy, the same work in the same run: `bash benches/run`.

use heartside::air::{AirState, AirYear, Hemisphere};
use heartside::chance::{Band, Draws, normal_quantile};
use heartside::moisture::{
    FaceExchange, GridRange, MoistureTrack, Profile, Slab, SlabState, SurfaceAir, TrackGrid,
    diffusivity_m2_per_s, settled_year,
};
use heartside::units::{Length, MoistureContent};
use serde_json::{Value, json};
use std::hint::black_box;
use std::process::Command;
use std::time::Instant;

const GRAVITY: f64 = 0.51;
const START_PERCENT: f64 = 9.0;
/// Of a board with a finish on one face, and of one bare on both.
const ONE_FINISHED: [f64; 2] = [6e-7, 1.5e-7];
const BOTH_BARE: [f64; 2] = [6e-7, 6e-7];
/// A year has settled when the next moves no cell by more, percent: as in `moisture`.
const CLOSED_PERCENT: f64 = 0.005;
const FIRST_CELSIUS: f64 = 0.0;
const ROW_CELSIUS: f64 = 2.5;
const YEARS: usize = 10;
const DRAWS: usize = 8192;
const INPUTS: usize = 120;
const ANSWERS: usize = 40;
const DAYS_COMPARED: [usize; 4] = [30, 121, 212, 303];

/// A board 22 mm thick, whose faces exchange by known coefficients.
fn board(exchange_m_per_s: [f64; 2]) -> Slab {
    let [lower, upper] = exchange_m_per_s.map(FaceExchange::Coefficient);
    Slab::bare(Length::from_mm_unchecked(22.0), GRAVITY)
        .expect("inside the table of ranges")
        .with_faces(lower, upper)
}

fn days() -> AirYear {
    AirYear::seasons(
        AirState::computed(20.0, 28.0),
        AirState::computed(23.0, 54.0),
        Hemisphere::North,
    )
}

/// The same year with a swing over each day.
fn hours() -> Vec<AirState> {
    let days = days();
    let swung = |day: &AirState, hour: i32| {
        let swing = (f64::from(hour) / 24.0 * std::f64::consts::TAU).sin();
        AirState::computed(
            day.temperature.celsius() + 1.5 * swing,
            day.humidity.percent() - 6.0 * swing,
        )
    };
    days.states()
        .iter()
        .flat_map(|day| (0..24).map(move |hour| swung(day, hour)))
        .collect()
}

fn at_surface(states: &[AirState]) -> Vec<SurfaceAir> {
    states.iter().map(|air| SurfaceAir::of(*air)).collect()
}

fn state(cells: usize) -> SlabState {
    let start = MoistureContent::computed_percent(START_PERCENT);
    SlabState::new(&board(ONE_FINISHED), cells, &Profile::uniform(start))
}

/// Factors of diffusivity and exchange in every draw: log-normal, a third and a half.
fn factors() -> Vec<[f64; 2]> {
    let draws = Draws::sobol(7, 2);
    (0..DRAWS)
        .map(|draw| {
            let numbers = draws.draw(draw);
            [
                (0.3 * normal_quantile(numbers[0])).exp(),
                (0.4 * normal_quantile(numbers[1])).exp(),
            ]
        })
        .collect()
}

fn weights() -> Vec<Vec<f64>> {
    (0..ANSWERS)
        .map(|answer| {
            (0..INPUTS)
                .map(|place| ((7 * answer + 3 * place) % 11) as f64 / 10.0 - 0.5)
                .collect()
        })
        .collect()
}

/// What `reference.py` reads.
fn cases() -> Value {
    let table: Vec<Vec<f64>> = (0..16)
        .map(|row| {
            let celsius = FIRST_CELSIUS + ROW_CELSIUS * f64::from(row);
            (0..=30)
                .map(|node| diffusivity_m2_per_s(celsius, f64::from(node), GRAVITY))
                .collect()
        })
        .collect();
    let case = |cells: usize, states: &[AirState]| {
        let equilibrium = at_surface(states);
        json!({
            "edges_mm": state(cells).edges_mm(),
            "exchange_m_per_s": ONE_FINISHED,
            "first_celsius": FIRST_CELSIUS,
            "row_celsius": ROW_CELSIUS,
            "diffusivity": table,
            "celsius": states.iter().map(|air| air.temperature.celsius()).collect::<Vec<_>>(),
            "equilibrium_percent": equilibrium.iter().map(|air| air.equilibrium().percent()).collect::<Vec<_>>(),
        })
    };
    let mut of_hours = case(32, &hours());
    let mut settled = of_hours.clone();
    settled["exchange_m_per_s"] = json!(BOTH_BARE);
    settled["closed_percent"] = json!(CLOSED_PERCENT);
    settled["days_compared"] = json!(DAYS_COMPARED);
    of_hours["years"] = json!(YEARS);
    of_hours["start_percent"] = json!(START_PERCENT);
    let mut of_draws = case(16, days().states());
    of_draws["steps_a_day"] = json!(4);
    of_draws["years_before"] = json!(1);
    of_draws["factors"] = json!(factors());
    of_draws["days_compared"] = json!(DAYS_COMPARED);
    json!({
        "hours": of_hours,
        "settled": settled,
        "draws": of_draws,
        "linear": { "power_of_two": DRAWS.ilog2(), "weights": weights() },
    })
}

/// Mean moisture of a board after ten years of hours, percent.
fn years_of_hours() -> f64 {
    let airs = at_surface(&hours());
    let mut state = state(32);
    for _ in 0..YEARS {
        for air in &airs {
            state.step(air, 3600.0);
        }
    }
    state.mean_percent()
}

/// Daily means of a board's settled year, by hours.
fn settled(air: &AirYear) -> Vec<f64> {
    settled_year(&board(BOTH_BARE), air).mean_percent
}

/// Mean moisture of every day in every draw, percent, a draw behind the other.
fn years_of_draws(factors: &[[f64; 2]]) -> Vec<f64> {
    let grid = TrackGrid::settled(
        &board(ONE_FINISHED),
        &days(),
        GridRange::DIFFUSIVITY,
        GridRange::SURFACE,
    );
    let mut track = MoistureTrack::default();
    let mut means = Vec::with_capacity(DRAWS * 365);
    for [diffusivity, surface] in factors {
        grid.at(*diffusivity, *surface, &mut track);
        means.extend_from_slice(&track.mean_percent);
    }
    means
}

fn linear_answers(weights: &[Vec<f64>]) -> Vec<Band> {
    let draws = Draws::sobol(7, INPUTS);
    let mut numbers = vec![0.0; INPUTS];
    let mut columns: Vec<Vec<_>> = (0..ANSWERS).map(|_| Vec::with_capacity(DRAWS)).collect();
    for draw in 0..DRAWS {
        draws.fill_normals(draw, &mut numbers);
        for (column, weights) in columns.iter_mut().zip(weights) {
            column.push(weights.iter().zip(&numbers).map(|(w, z)| w * z).sum());
        }
    }
    columns
        .iter_mut()
        .filter_map(|column| Band::of(column))
        .collect()
}

/// The fastest of some runs, ms, and the last answer: what else the machine does only adds to it.
fn timed<T>(runs: usize, mut work: impl FnMut() -> T) -> (f64, T) {
    let mut answer = work();
    let mut fastest = f64::INFINITY;
    for _ in 0..runs {
        let begun = Instant::now();
        answer = black_box(work());
        fastest = fastest.min(begun.elapsed().as_secs_f64() * 1e3);
    }
    (fastest, answer)
}

/// How far an answer is from the other's at most.
fn apart(ours: &[f64], theirs: &Value) -> f64 {
    let theirs = theirs.as_array().into_iter().flatten();
    let theirs: Vec<f64> = theirs
        .flat_map(|band| band.as_array().into_iter().flatten())
        .filter_map(Value::as_f64)
        .collect();
    assert_eq!(ours.len(), theirs.len(), "both answer the same questions");
    ours.iter()
        .zip(&theirs)
        .map(|(ours, theirs)| (ours - theirs).abs())
        .fold(0.0, f64::max)
}

fn ends(band: &Band) -> [f64; 3] {
    [band.low, band.middle, band.high]
}

fn references(python: &str) -> Result<Value, String> {
    let place = std::env::temp_dir().join(format!("heartside-compare-{}.json", std::process::id()));
    std::fs::write(&place, cases().to_string()).map_err(|error| error.to_string())?;
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/benches/reference.py");
    let given = Command::new(python).arg(script).arg(&place).output();
    let _best_effort = std::fs::remove_file(&place);
    let given = given.map_err(|error| error.to_string())?;
    if !given.status.success() {
        return Err(String::from_utf8_lossy(&given.stderr).into_owned());
    }
    serde_json::from_slice(&given.stdout).map_err(|error| error.to_string())
}

/// Prints the table of ratios; nothing where no Python is named.
///
/// # Panics
/// When the reference cannot be run, or its answers are others.
#[expect(clippy::print_stdout, reason = "a bench tells its figure")]
pub(crate) fn table() {
    let Ok(python) = std::env::var("HEARTSIDE_BENCH_PYTHON") else {
        return;
    };
    let (factors, weights) = (factors(), weights());
    let (hours_ms, mean) = timed(30, years_of_hours);
    let by_hours = AirYear::hourly(hours()).expect("a year of hours");
    let (settled_ms, days) = timed(30, || settled(&by_hours));
    let (draws_ms, means) = timed(15, || years_of_draws(&factors));
    let (linear_ms, linear) = timed(30, || linear_answers(&weights));

    let theirs = references(&python).expect("the reference runs");
    let bands: Vec<f64> = DAYS_COMPARED
        .iter()
        .filter_map(|day| {
            let mut column: Vec<f64> = means.iter().skip(*day).step_by(365).copied().collect();
            Band::of(&mut column)
        })
        .flat_map(|band| ends(&band))
        .collect();
    let linear: Vec<f64> = linear.iter().flat_map(ends).collect();
    let mean_off = |name: &str| apart(&[mean], &json!([[theirs[name]["mean_percent"]]]));
    let rows = [
        (
            "ten years hourly, 32 cells; a step by `scipy.linalg.solve_banded`",
            "solve_banded",
            hours_ms,
            mean_off("solve_banded"),
            1e-6,
        ),
        (
            "the same; a step by LAPACK's `dptsv` called directly",
            "lapack",
            hours_ms,
            mean_off("lapack"),
            1e-6,
        ),
        (
            "the settled year of a board bare on both faces, hourly, 32 cells; years repeated, a step by `solve_banded`",
            "settled",
            settled_ms,
            apart(
                &DAYS_COMPARED.map(|day| days[day]),
                &theirs["settled"]["means_percent"],
            ),
            0.02,
        ),
        (
            "a settled year of a board in 8,192 draws; numpy steps all draws side by side",
            "draws",
            draws_ms,
            apart(&bands, &theirs["draws"]["bands_percent"]),
            0.02,
        ),
        (
            "40 linear answers of 8,192 Sobol draws of 120 inputs, with bands; `qmc.Sobol`, `ndtri`, `@`, `quantile`",
            "linear",
            linear_ms,
            // Other points: the bands, 10 wide, scatter.
            apart(&linear, &theirs["linear"]["bands"]),
            0.3,
        ),
    ];
    println!("| the same work on one core | numpy, scipy | heartside | ratio |");
    println!("|---|--:|--:|--:|");
    for (what, name, ours, off, allowed) in rows {
        assert!(off < allowed, "{name}: the answers are {off} apart");
        let theirs = theirs[name]["fastest_ms"].as_f64().unwrap_or(f64::NAN);
        let ratio = theirs / ours;
        let digits = usize::from(ratio < 10.0);
        println!("| {what} | {theirs:.0} ms | {ours:.1} ms | {ratio:.digits$} |");
    }
    let version = |name: &str| theirs[name].as_str().unwrap_or_default().to_owned();
    println!(
        "\nThe fastest of some runs; Python {}, numpy {}, scipy {}. Answers agree: mean moisture after ten years within {:.0e} %, bands of the draws within {:.3} %.",
        version("python"),
        version("numpy"),
        version("scipy"),
        rows[0].3.max(1e-12),
        rows[3].3
    );
}
