//! Readings of what draws predict: held to exact normal updates, which are published in any text on Bayes or Kalman.

use approx::assert_relative_eq;
use heartside::chance::{Draws, Predicted, ReadInputs, Reading, Weights};

const DRAWS: usize = 512;

/// Standard normal draws of a belief, and what `predict` makes of each placed draw.
fn drawn(
    belief: &ReadInputs,
    inputs: usize,
    predict: &dyn Fn(&[f64]) -> Vec<f64>,
) -> (Vec<f64>, Vec<f64>) {
    let source = Draws::sobol(3, inputs);
    let (mut standard, mut values) = (Vec::new(), Vec::new());
    let (mut s, mut z) = (vec![0.0; inputs], vec![0.0; inputs]);
    for draw in 0..DRAWS {
        source.fill_normals(draw, &mut s);
        belief.place(&s, &mut z);
        standard.extend_from_slice(&s);
        values.extend(predict(&z));
    }
    (standard, values)
}

fn read(
    belief: &ReadInputs,
    inputs: usize,
    predict: &dyn Fn(&[f64]) -> Vec<f64>,
    readings: &[Reading],
) -> (ReadInputs, Vec<heartside::chance::Doubt>) {
    let (standard, values) = drawn(belief, inputs, predict);
    belief
        .after(
            Predicted {
                standard: &standard,
                values: &values,
                inputs,
            },
            readings,
        )
        .unwrap()
}

const fn reading(value: f64, deviation: f64) -> Reading {
    Reading { value, deviation }
}

/// The mean is where a draw of zeros is placed; the deviation of a sum of inputs comes from unit draws.
fn mean(belief: &ReadInputs, inputs: usize) -> Vec<f64> {
    let mut z = vec![0.0; inputs];
    belief.place(&vec![0.0; inputs], &mut z);
    z
}

fn deviation(belief: &ReadInputs, weights: &[f64]) -> f64 {
    let inputs = weights.len();
    let middle = mean(belief, inputs);
    let mut sum = 0.0;
    for place in 0..inputs {
        let (mut s, mut z) = (vec![0.0; inputs], vec![0.0; inputs]);
        s[place] = 1.0;
        belief.place(&s, &mut z);
        let along: f64 = (0..inputs).map(|k| weights[k] * (z[k] - middle[k])).sum();
        sum += along * along;
    }
    sum.sqrt()
}

/// The scalar Kalman update: gain = P/(P + R), from a unit prior (Kalman 1960; from memory).
#[test]
fn one_linear_reading_is_the_kalman_update() {
    let (belief, doubts) = read(
        &ReadInputs::unread(1),
        1,
        &|z| vec![10.0 + 2.0 * z[0]],
        &[reading(11.0, 1.5)],
    );
    let gain = 2.0 / (4.0 + 1.5 * 1.5);
    assert!(doubts.is_empty());
    assert_relative_eq!(mean(&belief, 1)[0], gain * 1.0, epsilon = 1e-12);
    assert_relative_eq!(
        deviation(&belief, &[1.0]),
        (1.0 - gain * 2.0_f64).sqrt(),
        epsilon = 1e-12
    );
}

/// Two inputs read through their sum: they become opposed, and their sum is known as well as it was read.
/// Exact: covariance `I - 1 1^T / (2 + R)` of the matrix inversion lemma.
#[test]
fn inputs_that_share_a_reading_become_opposed() {
    let (belief, _) = read(
        &ReadInputs::unread(2),
        2,
        &|z| vec![z[0] + z[1]],
        &[reading(1.0, 0.5)],
    );
    let shared = 1.0 / 2.25;
    for at in mean(&belief, 2) {
        assert_relative_eq!(at, shared, epsilon = 1e-12);
    }
    let own = (1.0_f64 - shared).sqrt();
    assert_relative_eq!(deviation(&belief, &[1.0, 0.0]), own, epsilon = 1e-12);
    let sum = (2.0_f64 - 4.0 * shared).sqrt();
    assert_relative_eq!(deviation(&belief, &[1.0, 1.0]), sum, epsilon = 1e-12);
}

#[test]
fn the_order_of_readings_does_not_matter_and_two_are_as_good_as_their_mean() {
    let predict = |z: &[f64]| vec![z[0] + 0.3 * z[1], z[0] + 0.3 * z[1]];
    let start = ReadInputs::unread(2);
    let (one, _) = read(&start, 2, &predict, &[reading(0.4, 0.2), reading(0.9, 0.2)]);
    let (other, _) = read(&start, 2, &predict, &[reading(0.9, 0.2), reading(0.4, 0.2)]);
    let (both, _) = read(
        &start,
        2,
        &|z| vec![z[0] + 0.3 * z[1]],
        &[reading(0.65, 0.2 / 2.0_f64.sqrt())],
    );
    for (a, (b, c)) in mean(&one, 2)
        .iter()
        .zip(mean(&other, 2).iter().zip(mean(&both, 2)))
    {
        assert_relative_eq!(a, b, epsilon = 1e-12);
        assert_relative_eq!(*a, c, epsilon = 1e-12);
    }
}

/// Reading once more about the last belief changes nothing where all is linear: weights are equal.
#[test]
fn linear_readings_weigh_all_draws_alike() {
    let predict = |z: &[f64]| vec![3.0 * z[0] - z[1], z[1]];
    let readings = [reading(2.0, 0.1), reading(-0.3, 0.4)];
    let (first, _) = read(&ReadInputs::unread(2), 2, &predict, &readings);
    let (second, _) = read(&first, 2, &predict, &readings);
    for (a, b) in mean(&first, 2).iter().zip(mean(&second, 2)) {
        assert_relative_eq!(*a, b, epsilon = 1e-9);
    }
    let (standard, values) = drawn(&second, 2, &predict);
    let logs: Vec<f64> = (0..DRAWS)
        .map(|draw| {
            let s = &standard[2 * draw..2 * draw + 2];
            let mut z = vec![0.0; 2];
            second.place(s, &mut z);
            let likelihood: f64 = readings
                .iter()
                .zip(&values[2 * draw..])
                .map(|(one, value)| -0.5 * ((one.value - value) / one.deviation).powi(2))
                .sum();
            likelihood + second.log_ratio(s, &z)
        })
        .collect();
    let weights = Weights::of_logs(&logs);
    assert_relative_eq!(weights.effective(), DRAWS as f64, max_relative = 1e-6);
    let places: Vec<u32> = (0..DRAWS as u32).collect();
    assert_eq!(weights.resampled(places.len()), places);
}

/// A bent prediction: the weighted mean is that of the exact posterior, by quadrature on a fine grid.
#[test]
fn weights_mend_what_the_linear_step_misses() {
    let predict = |z: &[f64]| vec![(0.5 * z[0]).exp()];
    let readings = [reading(1.8, 0.15)];
    let mut belief = ReadInputs::unread(1);
    for _ in 0..3 {
        belief = read(&belief, 1, &predict, &readings).0;
    }
    let (standard, values) = drawn(&belief, 1, &predict);
    let mut placed = Vec::new();
    let logs: Vec<f64> = standard
        .iter()
        .zip(&values)
        .map(|(s, value)| {
            let mut z = [0.0];
            belief.place(&[*s], &mut z);
            placed.push(z[0]);
            belief.log_ratio(&[*s], &z) - 0.5 * ((1.8 - value) / 0.15_f64).powi(2)
        })
        .collect();
    let weights = Weights::of_logs(&logs);
    assert!(weights.effective() > 0.8 * DRAWS as f64);
    let taken = weights.resampled(DRAWS);
    let mean = taken
        .iter()
        .map(|&place| placed[place as usize])
        .sum::<f64>()
        / DRAWS as f64;
    let (mut sum, mut mass) = (0.0, 0.0);
    for step in -60_000..60_000 {
        let z = f64::from(step) * 1e-4;
        let density = (-0.5 * z * z - 0.5 * ((1.8 - (0.5 * z).exp()) / 0.15_f64).powi(2)).exp();
        sum += z * density;
        mass += density;
    }
    assert_relative_eq!(mean, sum / mass, epsilon = 3e-3);
}

#[test]
fn a_reading_that_disagrees_is_doubted_by_its_place_and_not_used() {
    let predict = |z: &[f64]| vec![z[0]; 4];
    let readings = [
        reading(0.50, 0.1),
        reading(5.40, 0.1),
        reading(0.55, 0.1),
        reading(0.45, 0.1),
    ];
    let (belief, doubts) = read(&ReadInputs::unread(1), 1, &predict, &readings);
    assert_eq!(doubts.len(), 1);
    assert_eq!(doubts[0].reading, 1);
    assert!(doubts[0].deviations > 20.0);
    // The three that agree, against the unit prior: 3 * 0.5 / 0.01 over 1 + 3 / 0.01.
    assert_relative_eq!(mean(&belief, 1)[0], 150.0 / 301.0, epsilon = 1e-9);
}

#[test]
fn a_single_reading_far_from_what_was_expected_is_doubted_too() {
    let (belief, doubts) = read(
        &ReadInputs::unread(1),
        1,
        &|z| vec![z[0]],
        &[reading(25.4, 0.2)],
    );
    assert_eq!(doubts.len(), 1);
    assert_relative_eq!(mean(&belief, 1)[0], 0.0, epsilon = 1e-12);
}

#[test]
fn too_few_draws_for_the_inputs_give_no_answer() {
    let standard = vec![0.0; 6];
    let predicted = Predicted {
        standard: &standard,
        values: &[1.0, 1.0, 1.0],
        inputs: 2,
    };
    assert!(
        ReadInputs::unread(2)
            .after(predicted, &[reading(1.0, 0.1)])
            .is_none()
    );
}

#[test]
fn draws_are_taken_as_often_as_their_weight_asks() {
    let weights = Weights::of_logs(&[0.0_f64.ln(), 0.5_f64.ln(), 0.25_f64.ln(), 0.25_f64.ln()]);
    assert_eq!(weights.resampled(4), [1, 1, 2, 3]);
    assert_relative_eq!(weights.effective(), 1.0 / 0.375, epsilon = 1e-12);
    let equal = Weights::of_logs(&[f64::NEG_INFINITY; 5]);
    assert_eq!(equal.resampled(5), [0, 1, 2, 3, 4]);
}
