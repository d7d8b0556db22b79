//! Draws, spreads, bands and ranks, beside numpy and scipy where a `python3` (or the one that PYTHON names) has them.

use divan::{Bencher, black_box};
use heartside::chance::{Band, Belief, Draws, InputBins, normal_quantile};
use std::process::Command;

const DRAWS: usize = 8192;
/// Inputs and answers of the linear job, as in `reference.py`.
const INPUTS: usize = 120;
const ANSWERS: usize = 40;

/// Runs the reference, or says that it cannot be run here.
#[expect(clippy::print_stdout, reason = "a bench tells its figure")]
pub(crate) fn reference() {
    let python = std::env::var("PYTHON").unwrap_or_else(|_| "python3".to_owned());
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/benches/reference.py");
    let given = Command::new(&python).arg(script).output();
    match given {
        Ok(output) if output.status.success() => println!(
            "reference of linear_job_of_40_answers: {}",
            String::from_utf8_lossy(&output.stdout).trim()
        ),
        Ok(output) => println!(
            "no reference: {python} says `{}`; it needs numpy and scipy",
            String::from_utf8_lossy(&output.stderr)
                .trim()
                .lines()
                .last()
                .unwrap_or_default()
        ),
        Err(error) => println!("no reference: {python} cannot be run here ({error})"),
    }
}

/// 8 192 draws of 120 inputs, 40 linear answers and their bands: on one core, what the reference does.
#[divan::bench]
fn linear_job_of_40_answers(bencher: Bencher<'_, '_>) {
    let weights: Vec<Vec<f64>> = (0..ANSWERS)
        .map(|answer| {
            (0..INPUTS)
                .map(|place| ((7 * answer + 3 * place) % 11) as f64 / 10.0 - 0.5)
                .collect()
        })
        .collect();
    bencher.bench_local(|| {
        let draws = Draws::sobol(7, INPUTS);
        let mut numbers = vec![0.0; INPUTS];
        let mut columns: Vec<Vec<_>> = (0..ANSWERS).map(|_| Vec::with_capacity(DRAWS)).collect();
        for draw in 0..DRAWS {
            draws.fill_normals(draw, &mut numbers);
            for (column, weights) in columns.iter_mut().zip(&weights) {
                column.push(weights.iter().zip(&numbers).map(|(w, z)| w * z).sum());
            }
        }
        columns
            .iter_mut()
            .map(|column| Band::of(column))
            .collect::<Vec<_>>()
    });
}

/// Every number of 8 192 draws of a job with 120 inputs.
#[divan::bench(args = [Draws::sobol(7, 120), Draws::plain(7, 120)])]
fn numbers_of_all_draws(draws: Draws) -> f64 {
    let mut numbers = vec![0.0; draws.dimensions()];
    let mut sum = 0.0;
    for draw in 0..DRAWS {
        draws.fill(draw, &mut numbers);
        sum += numbers[0];
    }
    sum
}

#[divan::bench]
fn normals_of_all_draws() -> f64 {
    let draws = Draws::sobol(7, 120);
    let mut numbers = vec![0.0; 120];
    let mut sum = 0.0;
    for draw in 0..DRAWS {
        draws.fill_normals(draw, &mut numbers);
        sum += numbers[0];
    }
    sum
}

#[divan::bench]
fn one_normal_quantile() -> f64 {
    normal_quantile(black_box(0.123))
}

fn answers() -> Vec<f64> {
    let draws = Draws::plain(3, 1);
    (0..DRAWS).map(|draw| draws.draw(draw)[0]).collect()
}

#[divan::bench]
fn band_of_8192(bencher: Bencher<'_, '_>) {
    bencher
        .with_inputs(answers)
        .bench_local_refs(|answers| Band::of(answers));
}

#[divan::bench]
fn rank_of_120_inputs(bencher: Bencher<'_, '_>) {
    let draws = Draws::sobol(7, 120);
    let table: Vec<Vec<f64>> = (0..DRAWS).map(|draw| draws.draw(draw)).collect();
    let columns: Vec<Vec<f64>> = (0..120)
        .map(|input| table.iter().map(|row| row[input]).collect())
        .collect();
    let bins = InputBins::new(columns.iter().map(Vec::as_slice));
    let answers: Vec<f64> = table.iter().map(|row| row[3] + 2.0 * row[40]).collect();
    bencher.bench_local(|| bins.rank(black_box(&answers)));
}

#[divan::bench]
fn one_update() -> Belief {
    let prior = Belief {
        mean: 10.5,
        deviation: 1.575,
    };
    prior.after(black_box(9.0), 0.6)
}
