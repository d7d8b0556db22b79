//! Which input matters most.

use super::draws::Draws;
use rayon::prelude::*;
use serde::Serialize;

/// What one input contributes to the spread of an answer.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Contribution {
    /// Which input, by its place.
    pub input: usize,
    /// Share of the answer's variance that goes with this input alone, 0 to 1.
    pub share: f64,
}

/// The inputs of all draws, sorted into bins of equal count once, to rank them for any number of answers.
///
/// The share of an input is its first-order sensitivity (I. M. Sobol 1993),
/// `Var(E[y | x]) / Var(y)`, found from the draws at hand: the variance
/// between the bins over the whole, less what chance alone would put between
/// them (Kelley's epsilon squared, 1935). It sees bends and humps that a
/// correlation misses. Shares of independent inputs sum to at most about 1;
/// inputs that go together each count what they share.
#[derive(Debug, Clone, PartialEq)]
pub struct InputBins {
    bins: Vec<Vec<u8>>,
    count: usize,
    draws: usize,
}

/// Bins for a number of draws: enough to follow a bend, with enough draws in each.
fn bin_count(draws: usize) -> usize {
    ((draws as f64).sqrt() / 2.0).clamp(2.0, 64.0) as usize
}

impl InputBins {
    /// From the values of each input over all draws; every input as long as the first.
    #[must_use]
    pub fn new<'a>(inputs: impl IntoIterator<Item = &'a [f64]>) -> Self {
        let mut bins: Vec<Vec<u8>> = Vec::new();
        let mut draws = 0;
        let mut order: Vec<usize> = Vec::new();
        for values in inputs {
            if bins.is_empty() {
                draws = values.len();
            }
            let count = bin_count(draws);
            order.clear();
            order.extend(0..values.len().min(draws));
            order.sort_by(|&a, &b| values[a].total_cmp(&values[b]));
            let mut of_input = vec![0_u8; draws];
            for (place, &draw) in order.iter().enumerate() {
                of_input[draw] = (place * count / draws) as u8;
            }
            bins.push(of_input);
        }
        Self {
            bins,
            count: bin_count(draws),
            draws,
        }
    }

    /// From the first draws of a source: a bin is an equal share of all that an input may be, and draws that fill it evenly
    /// fill the bins alike.
    #[must_use]
    pub fn of_draws(source: &Draws, draws: usize) -> Self {
        Self::of_draws_at(source, draws, |draw| draw)
    }

    /// The same for draws that were chosen among those of the source: `number` gives each its number there.
    #[must_use]
    pub fn of_draws_at(
        source: &Draws,
        draws: usize,
        number: impl Fn(usize) -> usize + Sync,
    ) -> Self {
        let count = bin_count(draws);
        let mut bins = vec![vec![0_u8; draws]; source.dimensions()];
        bins.par_chunks_mut(4).enumerate().for_each(|(four, bins)| {
            for draw in 0..draws {
                let numbers = source.four(number(draw), four);
                for (bins, number) in bins.iter_mut().zip(numbers) {
                    bins[draw] = (number * count as f64) as u8;
                }
            }
        });
        Self { bins, count, draws }
    }

    /// Puts one input's values in bins of their own, as many as it has draws.
    pub fn set(&mut self, input: usize, values: &[f64]) {
        if let (Some(bins), Some(made)) = (
            self.bins.get_mut(input),
            Self::new([values]).bins.into_iter().next(),
        ) {
            *bins = made;
        }
    }

    /// Share of the answer's variance that goes with one input, 0 to 1; 0 when
    /// the answer does not vary, or for an input or an answer that does not belong.
    #[must_use]
    pub fn share(&self, input: usize, answers: &[f64]) -> f64 {
        let Some(bins) = self.bins.get(input) else {
            return 0.0;
        };
        if answers.len() != self.draws || self.draws <= 2 * self.count {
            return 0.0;
        }
        let draws = self.draws as f64;
        let mean = answers.iter().sum::<f64>() / draws;
        let mut sums = [0.0_f64; 64];
        let mut members = [0.0_f64; 64];
        let mut total = 0.0;
        for (answer, bin) in answers.iter().zip(bins) {
            let off = answer - mean;
            total += off * off;
            sums[usize::from(*bin)] += off;
            members[usize::from(*bin)] += 1.0;
        }
        // What spreads no more than it is rounded does not spread.
        if total.is_nan() || total <= draws * (1e-12 * mean).powi(2) {
            return 0.0;
        }
        let filled = members.iter().filter(|members| **members > 0.0).count() as f64;
        let between: f64 = sums
            .iter()
            .zip(&members)
            .filter(|(_, members)| **members > 0.0)
            .map(|(sum, members)| sum * sum / members)
            .sum();
        let within = (total - between) / (draws - filled);
        ((between - (filled - 1.0) * within) / total).clamp(0.0, 1.0)
    }

    /// Every input, the one that contributes most first.
    #[must_use]
    pub fn rank(&self, answers: &[f64]) -> Vec<Contribution> {
        self.rank_of(0..self.bins.len(), answers)
    }

    /// Some of the inputs, the one that contributes most first: those that the answer can hang on at all.
    #[must_use]
    pub fn rank_of(
        &self,
        inputs: impl IntoIterator<Item = usize>,
        answers: &[f64],
    ) -> Vec<Contribution> {
        let mut ranked: Vec<Contribution> = inputs
            .into_iter()
            .map(|input| Contribution {
                input,
                share: self.share(input, answers),
            })
            .collect();
        ranked.sort_by(|a, b| b.share.total_cmp(&a.share).then(a.input.cmp(&b.input)));
        ranked
    }
}

/// What is left of the answer's standard deviation, and in the linear case of
/// its band's width, once an input that contributes `share` is measured so
/// that only `left` of its own standard deviation remains (0: known exactly):
/// `sqrt(1 - share (1 - left^2))`.
#[must_use]
pub fn remaining_share(share: f64, left: f64) -> f64 {
    let left = left.clamp(0.0, 1.0);
    (1.0 - share.clamp(0.0, 1.0) * (1.0 - left * left)).sqrt()
}
