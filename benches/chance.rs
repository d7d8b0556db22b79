//! Draws, spreads, bands and ranks.

use divan::{Bencher, black_box};
use heartside::chance::{Band, Belief, Draws, InputBins, Spread, normal_quantile};

const DRAWS: usize = 8192;

fn main() {
    divan::main();
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

#[divan::bench(args = [3.0, 4.0])]
fn one_student_quantile(freedom: f64) -> Option<f64> {
    let spread = Spread::student(0.0, 1.0, freedom).ok()?;
    Some(spread.quantile(black_box(0.123)))
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
