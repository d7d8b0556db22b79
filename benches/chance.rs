//! Draws, spreads, bands and ranks. `compare.rs` holds some of them beside numpy and scipy.

use divan::{Bencher, black_box};
use heartside::chance::{Band, Belief, Draws, InputBins, normal_quantile};

const DRAWS: usize = 8192;
/// Inputs and answers of the linear job, as in `compare.rs`.
const INPUTS: usize = 120;
const ANSWERS: usize = 40;

/// 8 192 draws of 120 inputs, 40 linear answers and their bands: on one core.
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
