//! What readings make of the draws: inputs that were standard normal before anything was read, after all readings at once.

use crate::numerics::Cholesky;

/// A reading farther than this from what the other readings predict, in standard deviations, is doubted.
pub const DOUBTED_DEVIATIONS: f64 = 3.0;

/// One reading of a quantity that each draw predicts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading {
    /// What was read.
    pub value: f64,
    /// The standard deviation of the instrument's error, above 0.
    pub deviation: f64,
}

/// What each draw predicts for each reading: rows of draws, columns of readings.
#[derive(Debug, Clone, Copy)]
pub struct Predicted<'a> {
    /// The standard normal numbers behind the draws, row by row.
    pub standard: &'a [f64],
    /// The predictions, row by row.
    pub values: &'a [f64],
    /// How many inputs a draw has.
    pub inputs: usize,
}

/// Standard normal inputs after readings: a normal belief with mean `m` and precision `K K^T`.
///
/// A draw of it is `m + K^-T s` with standard normal `s`. It is the linear update of the ensemble smoother (Evensen, *Data
/// Assimilation*, 2009, ch. 9; from memory), with the slopes by least squares over the draws; repeated about the last
/// belief it is the Gauss-Newton step of a maximum a posteriori search. What is not linear is left to the weights.
#[derive(Debug, Clone, PartialEq)]
pub struct ReadInputs {
    mean: Vec<f64>,
    precision: Cholesky,
    /// Of `K`: the sum of the logarithms of its diagonal.
    log_diagonal: f64,
}

/// A reading that disagrees with the others.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Doubt {
    /// Its place in the list of readings.
    pub reading: usize,
    /// How far it is from what the others predict, in standard deviations.
    pub deviations: f64,
}

impl ReadInputs {
    /// Nothing was read: `inputs` independent standard normal numbers.
    #[must_use]
    pub fn unread(inputs: usize) -> Self {
        Self::of(vec![0.0; inputs], Cholesky::identity(inputs))
    }

    fn of(mean: Vec<f64>, precision: Cholesky) -> Self {
        Self {
            mean,
            log_diagonal: precision.log_diagonal(),
            precision,
        }
    }

    /// The inputs where a standard normal draw is `standard`; both as long as the belief.
    pub fn place(&self, standard: &[f64], inputs: &mut [f64]) {
        inputs.copy_from_slice(standard);
        self.precision.solve_transposed(inputs);
        for (input, mean) in inputs.iter_mut().zip(&self.mean) {
            *input += mean;
        }
    }

    /// The middle of the belief.
    #[must_use]
    pub fn mean(&self) -> &[f64] {
        &self.mean
    }

    /// Standard deviation of an input.
    #[must_use]
    pub fn deviation(&self, input: usize) -> f64 {
        let mut one = vec![0.0; self.mean.len()];
        if let Some(at) = one.get_mut(input) {
            *at = 1.0;
        }
        self.precision.inverse_form(&one).sqrt()
    }

    /// Logarithm of the density before the readings over that of this belief, at a placed draw.
    #[must_use]
    pub fn log_ratio(&self, standard: &[f64], inputs: &[f64]) -> f64 {
        let square = |numbers: &[f64]| numbers.iter().map(|x| x * x).sum::<f64>();
        0.5 * (square(standard) - square(inputs)) - self.log_diagonal
    }

    /// The belief after readings, from draws that this belief placed; with the readings that were doubted and left out.
    ///
    /// Doubt falls on the reading that is farthest from what all others predict, if that is more than
    /// [`DOUBTED_DEVIATIONS`], and then on the next: the order of the readings does not matter.
    /// `None` when there are no more draws than inputs, or the numbers are not finite.
    #[must_use]
    pub fn after(
        &self,
        predicted: Predicted<'_>,
        readings: &[Reading],
    ) -> Option<(Self, Vec<Doubt>)> {
        let inputs = predicted.inputs;
        let (means, slopes) = slopes(predicted, readings.len())?;
        // Slopes over the inputs themselves: H = G K^T, and the reading less what the linear model gives at zero inputs.
        let rows: Vec<Vec<f64>> = slopes
            .chunks(inputs.max(1))
            .map(|slope| self.precision.times_lower(slope))
            .collect();
        let away: Vec<f64> = readings
            .iter()
            .zip(&means)
            .zip(&rows)
            .map(|((reading, mean), row)| reading.value - mean + dot(row, &self.mean))
            .collect();
        let mut kept: Vec<usize> = (0..readings.len()).collect();
        let mut doubts = Vec::new();
        loop {
            let belief = Self::of_linear(inputs, &kept, &rows, &away, readings)?;
            let worst = kept
                .iter()
                .map(|&place| {
                    let error = readings[place].deviation.powi(2);
                    let spread = belief.precision.inverse_form(&rows[place]);
                    let residual = away[place] - dot(&rows[place], &belief.mean);
                    // A reading's own share taken out: the residual over its deviation is that of leaving it out.
                    let deviations = residual.abs() / (error - spread).max(1e-12 * error).sqrt();
                    (place, deviations)
                })
                .max_by(|a, b| a.1.total_cmp(&b.1));
            match worst {
                Some((reading, deviations)) if deviations > DOUBTED_DEVIATIONS => {
                    kept.retain(|place| *place != reading);
                    doubts.push(Doubt {
                        reading,
                        deviations,
                    });
                }
                _ => return Some((belief, doubts)),
            }
        }
    }

    fn of_linear(
        inputs: usize,
        kept: &[usize],
        rows: &[Vec<f64>],
        away: &[f64],
        readings: &[Reading],
    ) -> Option<Self> {
        let mut precision = vec![0.0; inputs * inputs];
        let mut mean = vec![0.0; inputs];
        for place in 0..inputs {
            precision[place * inputs + place] = 1.0;
        }
        for &place in kept {
            let weight = readings[place].deviation.powi(-2);
            for (i, a) in rows[place].iter().enumerate() {
                mean[i] += weight * a * away[place];
                for (j, b) in rows[place].iter().enumerate().take(i + 1) {
                    precision[i * inputs + j] += weight * a * b;
                }
            }
        }
        let precision = Cholesky::of(precision, inputs)?;
        precision.solve(&mut mean);
        Some(Self::of(mean, precision))
    }
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

/// Means of the predictions and their slopes over the standard numbers, by least squares over the draws.
fn slopes(predicted: Predicted<'_>, readings: usize) -> Option<(Vec<f64>, Vec<f64>)> {
    let inputs = predicted.inputs;
    if readings == 0 {
        return Some((Vec::new(), Vec::new()));
    }
    let draws = predicted.values.len() / readings;
    if draws <= inputs + 1 || predicted.values.iter().any(|value| !value.is_finite()) {
        return None;
    }
    // Columns: 1, then the inputs. The normal equations of least squares.
    let size = inputs + 1;
    let mut normal = vec![0.0; size * size];
    let mut right = vec![0.0; readings * size];
    let mut row = vec![1.0; size];
    for (draw, values) in predicted.values.chunks(readings).enumerate() {
        row[1..].copy_from_slice(&predicted.standard[draw * inputs..(draw + 1) * inputs]);
        for (i, a) in row.iter().enumerate() {
            for (j, b) in row.iter().enumerate().take(i + 1) {
                normal[i * size + j] += a * b;
            }
        }
        for (reading, value) in values.iter().enumerate() {
            for (sum, a) in right[reading * size..].iter_mut().zip(&row) {
                *sum += a * value;
            }
        }
    }
    let normal = Cholesky::of(normal, size)?;
    let mut means = Vec::with_capacity(readings);
    let mut slopes = Vec::with_capacity(readings * inputs);
    for line in right.chunks_mut(size) {
        normal.solve(line);
        means.push(line[0]);
        slopes.extend_from_slice(&line[1..]);
    }
    Some((means, slopes))
}

/// Weights of draws, from their logarithms.
#[derive(Debug, Clone, PartialEq)]
pub struct Weights {
    shares: Vec<f64>,
}

impl Weights {
    /// Weights that sum to 1; equal ones where no logarithm is finite.
    #[must_use]
    pub fn of_logs(logs: &[f64]) -> Self {
        let most = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let mut shares: Vec<f64> = if most.is_finite() {
            logs.iter().map(|log| libm::exp(log - most)).collect()
        } else {
            vec![1.0; logs.len()]
        };
        let sum: f64 = shares.iter().sum();
        for share in &mut shares {
            *share /= sum;
        }
        Self { shares }
    }

    /// The effective number of draws, `1 / sum w^2` (Kong 1992; from memory).
    #[must_use]
    pub fn effective(&self) -> f64 {
        1.0 / self.shares.iter().map(|w| w * w).sum::<f64>()
    }

    /// So many draws of equal weight: the places of the draws taken, in order, each as often as its weight asks, within one
    /// (systematic resampling; Kitagawa 1996, from memory).
    #[must_use]
    pub fn resampled(&self, count: usize) -> Vec<u32> {
        let step = 1.0 / count.max(1) as f64;
        let mut places = Vec::with_capacity(count);
        let (mut place, mut reached) = (0, self.shares.first().copied().unwrap_or(0.0));
        for draw in 0..count {
            let at = (draw as f64 + 0.5) * step;
            while reached < at && place + 1 < self.shares.len() {
                place += 1;
                reached += self.shares[place];
            }
            places.push(place as u32);
        }
        places
    }
}
