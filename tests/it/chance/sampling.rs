//! Draws, bands, chances and ranks against exact theory.

use approx::assert_relative_eq;
use heartside::chance::{
    Band, Draws, InputBins, MOST_SOBOL_DRAWS, chance_percent, normal_chance, normal_quantile,
    quantile, remaining_share,
};
use proptest::prelude::*;
use rayon::prelude::*;
use std::f64::consts::PI;

const DRAWS: usize = 8192;
const WEIGHTS: [f64; 4] = [3.0, -2.0, 1.0, 0.5];

fn answers(draws: &Draws, count: usize, f: impl Fn(&[f64]) -> f64) -> Vec<f64> {
    (0..count).map(|draw| f(&draws.draw(draw))).collect()
}

fn linear(shares: &[f64]) -> f64 {
    10.0 + shares
        .iter()
        .zip(WEIGHTS)
        .map(|(share, weight)| weight * normal_quantile(*share))
        .sum::<f64>()
}

fn exact_deviation() -> f64 {
    WEIGHTS
        .iter()
        .map(|weight| weight * weight)
        .sum::<f64>()
        .sqrt()
}

/// Exact normal theory: a weighted sum of normals is normal, its variance the sum of squares.
#[test]
fn a_linear_answer_has_the_exact_band_and_chance() {
    let mut found = answers(&Draws::sobol(7, 4), DRAWS, linear);
    let deviation = exact_deviation();
    let chance = chance_percent(found.iter().map(|answer| *answer < 12.0)).unwrap();
    assert!(
        (chance - 100.0 * normal_chance(2.0 / deviation)).abs() < 0.25,
        "{chance}"
    );
    let band = Band::of(&mut found).unwrap();
    let reach = 1.644_853_627 * deviation;
    assert!((band.low - (10.0 - reach)).abs() < 0.02 * deviation);
    assert!((band.middle - 10.0).abs() < 0.01 * deviation);
    assert!((band.high - (10.0 + reach)).abs() < 0.02 * deviation);
}

/// First-order spreads of the Python package `uncertainties` (see `first_order.py`): the standard deviation of
/// small spreads within 1 %, the mean within a hundredth of it.
#[test]
fn small_spreads_meet_first_order_propagation() {
    let mut reader = csv::Reader::from_reader(&include_bytes!("first_order.csv")[..]);
    let mut cases = 0;
    for row in reader.records() {
        let row = row.unwrap();
        let number = |place: usize| row[place].parse::<f64>().unwrap();
        let spreads: Vec<(f64, f64)> = (0..4)
            .map(|i| (number(1 + 2 * i), number(2 + 2 * i)))
            .collect();
        let size_after = |x: &[f64]| {
            let ratio = |moisture: f64| 1.0 - x[1] / 100.0 * (30.0 - moisture) / 30.0;
            x[0] * ratio(x[3]) / ratio(x[2])
        };
        let product = |x: &[f64]| x[0] * x[1] / x[2].powi(3);
        let found = answers(&Draws::sobol(3, 4), DRAWS, |shares| {
            let x: Vec<f64> = shares
                .iter()
                .zip(&spreads)
                .map(|(u, (mean, deviation))| mean + deviation * normal_quantile(*u))
                .collect();
            if &row[0] == "product" {
                product(&x)
            } else {
                size_after(&x)
            }
        });
        let mean = found.iter().sum::<f64>() / DRAWS as f64;
        let square = found.iter().map(|x| (x - mean).powi(2)).sum::<f64>() / DRAWS as f64;
        assert_relative_eq!(square.sqrt(), number(10), max_relative = 0.01);
        assert!(
            (mean - number(9)).abs() < 0.03 * number(10),
            "{mean} {}",
            number(9)
        );
        cases += 1;
    }
    assert_eq!(cases, 5);
}

/// Root mean square error of the mean over independent seeds.
fn error_of_mean(draws: fn(u64, usize) -> Draws, count: usize) -> f64 {
    let seeds = 24;
    let squares: f64 = (0..seeds)
        .map(|seed| {
            let found = answers(&draws(seed, 4), count, linear);
            (found.iter().sum::<f64>() / count as f64 - 10.0).powi(2)
        })
        .sum();
    (squares / seeds as f64).sqrt()
}

/// Plain draws err as `1/sqrt(n)`; Sobol draws fall faster and are far nearer at 1024 draws.
#[test]
fn sobol_draws_beat_plain_draws() {
    let plain = [64, 1024].map(|count| error_of_mean(Draws::plain, count));
    let sobol = [64, 1024].map(|count| error_of_mean(Draws::sobol, count));
    let expected = exact_deviation() / 32.0;
    assert!(
        (plain[1] / expected - 1.0).abs() < 0.35,
        "{plain:?} against {expected}"
    );
    let order = |errors: [f64; 2]| (errors[0] / errors[1]).log2() / 4.0;
    assert!((order(plain) - 0.5).abs() < 0.2, "{}", order(plain));
    assert!(order(sobol) > 0.75, "{}", order(sobol));
    assert!(plain[1] / sobol[1] > 10.0, "{plain:?} {sobol:?}");
}

/// 2 000 simulated truths: the 90 % band holds 88 to 92 % of them, for a bent answer with heavy tails too.
#[test]
fn the_band_holds_nine_truths_in_ten() {
    // Student's spread of two degrees of freedom, in closed form.
    let bow = |share: f64| (2.0 * share - 1.0) / (2.0 * share * (1.0 - share)).sqrt();
    let width = |share: f64| 2.0 * libm::exp(0.3 * normal_quantile(share));
    let answer = |shares: &[f64]| bow(shares[0]) * width(shares[1]) + (3.0 * shares[2]).powi(2);
    let band = Band::of(&mut answers(&Draws::sobol(11, 3), 4096, answer)).unwrap();
    let truths = answers(&Draws::plain(99, 3), 2000, answer);
    let held = truths.iter().filter(|truth| band.holds(**truth)).count();
    assert!((1760..=1840).contains(&held), "{held}");
}

/// Beyond 256 inputs and 65 536 draws: numbers stay inside 0 and 1, fill evenly, and do not repeat or go together.
#[test]
fn padding_beyond_the_limits_of_one_sequence() {
    let draws = Draws::sobol(5, 600);
    let count = 1024;
    let table: Vec<Vec<f64>> = (0..count).map(|draw| draws.draw(draw)).collect();
    for numbers in &table {
        assert!(numbers.iter().all(|number| *number > 0.0 && *number < 1.0));
    }
    let column =
        |input: usize| -> Vec<f64> { table.iter().map(|numbers| numbers[input]).collect() };
    for input in [0, 255, 256, 511, 512, 599] {
        let mut sorted = column(input);
        sorted.sort_by(f64::total_cmp);
        // One number in each of 1024 equal cells: what makes Sobol draws even.
        assert!(
            sorted
                .iter()
                .enumerate()
                .all(|(cell, x)| (x * 1024.0) as usize == cell),
            "{input}"
        );
    }
    let correlation = |a: usize, b: usize| {
        let (a, b) = (column(a), column(b));
        12.0 * a
            .iter()
            .zip(&b)
            .map(|(x, y)| (x - 0.5) * (y - 0.5))
            .sum::<f64>()
            / count as f64
    };
    for (a, b) in [(0, 256), (1, 257), (3, 512), (100, 356), (256, 512)] {
        assert!(
            correlation(a, b).abs() < 0.12,
            "{a} {b} {}",
            correlation(a, b)
        );
    }
    let far = MOST_SOBOL_DRAWS + 17;
    assert_ne!(draws.draw(far), draws.draw(17));
    let mean: f64 = (0..1024)
        .map(|i| draws.draw(MOST_SOBOL_DRAWS + i)[0])
        .sum::<f64>()
        / 1024.0;
    assert!((mean - 0.5).abs() < 1e-3, "{mean}");
}

/// The same seed gives the same numbers in any order and on any number of threads; another seed others.
#[test]
fn draws_depend_on_seed_and_place_alone() {
    for draws in [Draws::sobol(42, 300), Draws::plain(42, 300)] {
        let in_order: Vec<Vec<f64>> = (0..200).map(|i| draws.draw(i)).collect();
        let backwards: Vec<Vec<f64>> = (0..200).rev().map(|i| draws.draw(i)).collect();
        let parallel: Vec<Vec<f64>> = (0..200_usize)
            .into_par_iter()
            .map(|i| draws.draw(i))
            .collect();
        assert_eq!(in_order, parallel);
        assert!(in_order.iter().eq(backwards.iter().rev()));
    }
    assert_ne!(Draws::sobol(1, 3).draw(0), Draws::sobol(2, 3).draw(0));
    assert_ne!(Draws::plain(1, 3).draw(0), Draws::plain(2, 3).draw(0));
    // Pinned, so that a changed generator does not change every forecast unnoticed.
    assert_eq!(
        Draws::sobol(7, 2).draw(0),
        [0.278_075_158_596_038_8, 0.401_912_987_232_208_25]
    );
    assert_eq!(
        Draws::sobol(7, 2).draw(4095),
        [0.001_351_654_529_571_533_2, 0.644_366_085_529_327_4]
    );
    assert_eq!(
        Draws::plain(7, 2).draw(3),
        [0.725_008_215_994_199_3, 0.882_290_754_774_942_3]
    );
}

/// T. Ishigami and T. Homma's function (1990) with a = 7, b = 0.1, whose first-order variances are known exactly:
/// `(1 + b pi^4/5)^2/2`, `a^2/8`, 0 of `a^2/8 + b pi^4/5 + b^2 pi^8/18 + 1/2`; published as the shares
/// 0.3139, 0.4424, 0 (from memory: Saltelli et al., *Global Sensitivity Analysis*, 2008). A correlation would miss the second.
#[test]
fn shares_of_a_bent_function_meet_the_published_ones() {
    let draws = Draws::sobol(13, 3);
    let table: Vec<Vec<f64>> = (0..DRAWS).map(|draw| draws.draw(draw)).collect();
    let columns: Vec<Vec<f64>> = (0..3)
        .map(|i| table.iter().map(|row| row[i]).collect())
        .collect();
    let found: Vec<f64> = table
        .iter()
        .map(|row| {
            let x: Vec<f64> = row.iter().map(|share| PI * (2.0 * share - 1.0)).collect();
            x[0].sin() + 7.0 * x[1].sin().powi(2) + 0.1 * x[2].powi(4) * x[0].sin()
        })
        .collect();
    let fourth = 0.1 * PI.powi(4);
    let whole = 49.0 / 8.0 + fourth / 5.0 + fourth * fourth / 18.0 + 0.5;
    let first = 0.5 * (1.0 + fourth / 5.0).powi(2) / whole;
    let second = 49.0 / 8.0 / whole;
    assert!((first - 0.3139).abs() < 1e-4 && (second - 0.4424).abs() < 1e-4);
    let bins = InputBins::new(columns.iter().map(Vec::as_slice));
    let ranked = bins.rank(&found);
    assert_eq!(
        ranked.iter().map(|r| r.input).collect::<Vec<_>>(),
        [1, 0, 2]
    );
    assert!((ranked[0].share - second).abs() < 0.015, "{ranked:?}");
    assert!((ranked[1].share - first).abs() < 0.015, "{ranked:?}");
    assert!(ranked[2].share < 0.01, "{ranked:?}");
}

/// A linear answer: shares are the squared weights over their sum; measuring the first input exactly leaves the rest.
#[test]
fn shares_of_a_linear_answer_are_exact() {
    let draws = Draws::sobol(21, 4);
    let table: Vec<Vec<f64>> = (0..DRAWS).map(|draw| draws.draw(draw)).collect();
    let columns: Vec<Vec<f64>> = (0..4)
        .map(|i| table.iter().map(|row| row[i]).collect())
        .collect();
    let found: Vec<f64> = table.iter().map(|row| linear(row)).collect();
    let bins = InputBins::new(columns.iter().map(Vec::as_slice));
    let whole = exact_deviation().powi(2);
    for (input, weight) in WEIGHTS.iter().enumerate() {
        let share = bins.share(input, &found);
        assert!(
            (share - weight * weight / whole).abs() < 0.012,
            "{input} {share}"
        );
    }
    let without = (WEIGHTS[1..].iter().map(|w| w * w).sum::<f64>() / whole).sqrt();
    assert!((remaining_share(bins.share(0, &found), 0.0) - without).abs() < 0.02);
    assert_relative_eq!(remaining_share(0.5, 1.0), 1.0);
    assert_eq!(bins.share(0, &vec![3.0; DRAWS]), 0.0);
    assert_eq!(bins.share(9, &found), 0.0);
    assert_eq!(bins.share(0, &found[1..]), 0.0);
}

/// Definition 7 of Hyndman and Fan on a hand-made list, and the edges.
#[test]
fn quantiles_of_a_short_list() {
    assert_eq!(quantile(&mut [4.0, 1.0, 3.0, 2.0], 0.5), Some(2.5));
    assert_eq!(quantile(&mut [4.0, 1.0, 3.0, 2.0], 0.0), Some(1.0));
    assert_eq!(quantile(&mut [4.0, 1.0, 3.0, 2.0], 1.0), Some(4.0));
    assert_eq!(quantile(&mut [5.0], 0.3), Some(5.0));
    assert_eq!(quantile(&mut [], 0.3), None);
    assert_eq!(Band::of(&mut [1.0, f64::NAN]), None);
    let band = Band::of(&mut (0..=100).map(f64::from).collect::<Vec<_>>()).unwrap();
    assert_eq!((band.low, band.middle, band.high), (5.0, 50.0, 95.0));
    assert_eq!(band.width(), 90.0);
    let turned = band.map(|x| -x);
    assert_eq!(
        (turned.low, turned.middle, turned.high),
        (-95.0, -50.0, -5.0)
    );
    assert_eq!(Band::exactly(2.0).width(), 0.0);
    assert_eq!(chance_percent([true, true, false, true]), Some(75.0));
    assert_eq!(chance_percent([]), None);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]
    #[test]
    fn a_band_is_in_order_and_inside_the_answers(
        even in prop::collection::vec(-1e6..1e6_f64, 1..2000),
        steps in 1.0..1e6_f64,
    ) {
        // Few and many; most of them near zero, some far off, some equal.
        let mut answers: Vec<f64> = even.iter().map(|x| (x.powi(5) / 1e24 / steps).round() * steps).collect();
        let mut sorted = answers.clone();
        sorted.sort_by(f64::total_cmp);
        let band = Band::of(&mut answers).unwrap();
        prop_assert!(sorted[0] <= band.low && band.low <= band.middle);
        prop_assert!(band.middle <= band.high && band.high <= sorted[sorted.len() - 1]);
        for (share, end) in [(0.05, band.low), (0.5, band.middle), (0.95, band.high)] {
            let place = share * (sorted.len() - 1) as f64;
            let (below, part) = (place.floor() as usize, place.fract());
            let next = sorted[(below + 1).min(sorted.len() - 1)];
            let expected = sorted[below] + (next - sorted[below]) * part;
            prop_assert!((end - expected).abs() < 1e-6);
        }
    }

    #[test]
    fn numbers_lie_strictly_between_0_and_1(seed: u64, draw in 0_usize..1_000_000) {
        for draws in [Draws::sobol(seed, 9), Draws::plain(seed, 9)] {
            let numbers = draws.draw(draw);
            prop_assert!(numbers.iter().all(|x| *x > 0.0 && *x < 1.0));
            prop_assert!(numbers.iter().all(|x| normal_quantile(*x).abs() < 9.0));
        }
    }
}
