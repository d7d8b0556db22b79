//! One belief for a whole job: its uncertain inputs after every reading of its log.

use super::predict::Predictor;
use crate::chance::{Band, Doubt, Draws, Predicted, ReadInputs, Reading, Weights};
use crate::forecast::sampling::Inputs;
use crate::numerics::{Deadline, Stopped};
use rayon::prelude::*;
use std::collections::HashMap;

/// Updates of the belief, each about the last: the forecast is not quite linear in its inputs.
const ROUNDS: usize = 3;
/// Further updates while too few draws count; the first weighs half as many draws as the job has, each twice as many as the last, up
/// to a number that keeps memory small.
const FURTHER: usize = 3;
const MOST_WEIGHED: usize = 16_384;
/// As many draws must count, or it is said.
pub(super) const ENOUGH: f64 = 500.0;
/// Draws behind the bands of what is expected.
const EXPECTED: usize = 256;
/// Draws of one block of work.
const BLOCK: usize = 64;

/// The inputs of a job after its log, and which draws stand for it.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Posterior {
    active: Vec<usize>,
    belief: ReadInputs,
    drawn: Vec<u32>,
    /// How many draws count, of as many as were drawn.
    pub(super) effective: f64,
    /// Whether the draws were made again around the update because too few counted.
    pub(super) drawn_again: bool,
    /// Readings left out, by their places in the log as the predictor has it.
    pub(super) doubts: Vec<Doubt>,
}

impl Posterior {
    /// The belief after some readings; `kept` says which are looked at, `near` is a belief that is nearly the one sought, such as that
    /// after one more reading, `enough` of how many draws must count, if so many can. `None` where the numbers are not finite.
    ///
    /// # Errors
    /// [`Stopped`] at the deadline.
    pub(super) fn of(
        predictor: &Predictor<'_>,
        kept: &[usize],
        inputs: &Inputs,
        near: Option<&Self>,
        (seed, draws, enough): (u64, usize, f64),
        deadline: Deadline<'_>,
    ) -> Result<Option<Self>, Stopped> {
        let readings: Vec<Reading> = kept.iter().map(|one| predictor.readings()[*one]).collect();
        let source = Draws::sobol(seed, inputs.list().len());
        let mut found = near.cloned().unwrap_or_else(|| Self::unread(predictor));
        let rounds = if near.is_some() { 1 } else { ROUNDS };
        for round in 0..rounds + FURTHER {
            let [standard, values] = found.about_middle(predictor, kept, inputs, deadline)?;
            let Some((belief, doubts)) = found.belief.after(
                Predicted {
                    standard: &standard,
                    values: &values,
                    inputs: found.active.len(),
                },
                &readings,
            ) else {
                return Ok(None);
            };
            found.belief = belief;
            found.doubts = doubts;
            if round + 1 < rounds {
                continue;
            }
            found.drawn_again = round >= rounds;
            let weighed = (draws.div_ceil(2) << (round + 1 - rounds)).min(draws.max(MOST_WEIGHED));
            found.weigh(
                predictor,
                (kept, &readings),
                &source,
                (weighed, draws),
                deadline,
            )?;
            if found.effective >= enough {
                break;
            }
        }
        for doubt in &mut found.doubts {
            doubt.reading = kept[doubt.reading];
        }
        Ok(Some(found))
    }

    /// Standard numbers of the active inputs and predictions of the readings kept, row by row: at the middle of the belief, and one
    /// standard deviation to either side of it along each of its axes.
    fn about_middle(
        &self,
        predictor: &Predictor<'_>,
        kept: &[usize],
        inputs: &Inputs,
        deadline: Deadline<'_>,
    ) -> Result<[Vec<f64>; 2], Stopped> {
        let count = self.active.len();
        let rows: Vec<[Vec<f64>; 2]> = (0..=2 * count)
            .into_par_iter()
            .map_init(
                || (predictor.worker(), vec![0.0; inputs.list().len()]),
                |(worker, numbers), row| {
                    deadline.check()?;
                    let mut standard = vec![0.0; count];
                    if row > 0 {
                        standard[(row - 1) / 2] = if row % 2 == 0 { 1.0 } else { -1.0 };
                    }
                    numbers.fill(0.0);
                    for (input, number) in self.active.iter().zip(&standard) {
                        numbers[*input] = *number;
                    }
                    self.place(numbers);
                    let mut values = Vec::with_capacity(kept.len());
                    worker.predict(numbers, kept, &mut values);
                    Ok([standard, values])
                },
            )
            .collect::<Result<_, _>>()?;
        let mut all = [Vec::new(), Vec::new()];
        for row in rows {
            for (all, some) in all.iter_mut().zip(row) {
                all.extend(some);
            }
        }
        Ok(all)
    }

    /// Standard numbers of the active inputs, the same where the belief has them, and predictions of the readings kept, row by row.
    fn predicted(
        &self,
        predictor: &Predictor<'_>,
        kept: &[usize],
        source: &Draws,
        draws: usize,
        deadline: Deadline<'_>,
    ) -> Result<[Vec<f64>; 3], Stopped> {
        let (inputs, readings) = (self.active.len(), kept.len());
        let room =
            |draws: usize| [inputs, inputs, readings].map(|of| Vec::with_capacity(of * draws));
        let blocks: Vec<[Vec<f64>; 3]> = (0..draws.div_ceil(BLOCK))
            .into_par_iter()
            .map_init(
                || predictor.worker(),
                |worker, block| {
                    deadline.check()?;
                    let [mut standard, mut placed, mut values] = room(BLOCK);
                    let mut numbers = vec![0.0; source.dimensions()];
                    for draw in block * BLOCK..draws.min((block + 1) * BLOCK) {
                        source.fill_normals(draw, &mut numbers);
                        standard.extend(self.active.iter().map(|input| numbers[*input]));
                        self.place(&mut numbers);
                        placed.extend(self.active.iter().map(|input| numbers[*input]));
                        worker.predict(&numbers, kept, &mut values);
                    }
                    Ok([standard, placed, values])
                },
            )
            .collect::<Result<_, _>>()?;
        let mut all = room(draws);
        for block in blocks {
            for (all, some) in all.iter_mut().zip(block) {
                all.extend(some);
            }
        }
        Ok(all)
    }

    /// Weighs draws by how well they meet the readings that are not doubted, and chooses some of equal weight.
    fn weigh(
        &mut self,
        predictor: &Predictor<'_>,
        (kept, readings): (&[usize], &[Reading]),
        source: &Draws,
        (weighed, chosen): (usize, usize),
        deadline: Deadline<'_>,
    ) -> Result<(), Stopped> {
        let [standard, placed, values] =
            self.predicted(predictor, kept, source, weighed, deadline)?;
        let believed: Vec<usize> = (0..readings.len())
            .filter(|place| !self.doubts.iter().any(|doubt| doubt.reading == *place))
            .collect();
        let inputs = self.active.len().max(1);
        let logs: Vec<f64> = standard
            .chunks(inputs)
            .zip(placed.chunks(inputs))
            .zip(values.chunks(readings.len().max(1)))
            .map(|((standard, placed), values)| {
                let misfit: f64 = believed
                    .iter()
                    .map(|&place| {
                        let reading = readings[place];
                        ((reading.value - values[place]) / reading.deviation).powi(2)
                    })
                    .sum();
                self.belief.log_ratio(standard, placed) - 0.5 * misfit
            })
            .collect();
        let weights = Weights::of_logs(&logs);
        self.effective = weights.effective();
        self.drawn = spread_out(weights.resampled(chosen));
        Ok(())
    }

    /// The draws that stand for the belief, each but once by the first that is like it; and for each of so many which of those it is.
    /// Nothing where each stands for itself.
    pub(in crate::forecast) fn distinct(&self, count: usize) -> (Vec<usize>, Vec<u32>) {
        if self.drawn.is_empty() {
            return (Vec::new(), Vec::new());
        }
        let mut known = HashMap::new();
        let mut firsts = Vec::new();
        let order = (0..count)
            .map(|draw| {
                *known.entry(self.drawn(draw)).or_insert_with(|| {
                    firsts.push(draw);
                    firsts.len() as u32 - 1
                })
            })
            .collect();
        (firsts, order)
    }

    /// The number, in the source, of a draw that stands for the belief.
    pub(in crate::forecast) fn drawn(&self, draw: usize) -> usize {
        match self.drawn.len() {
            0 => draw,
            count => self.drawn[draw % count] as usize,
        }
    }

    /// Puts the standard numbers of a draw where the belief has them.
    pub(in crate::forecast) fn place(&self, numbers: &mut [f64]) {
        let standard: Vec<f64> = self.active.iter().map(|input| numbers[*input]).collect();
        let mut placed = vec![0.0; standard.len()];
        self.belief.place(&standard, &mut placed);
        for (input, number) in self.active.iter().zip(placed) {
            numbers[*input] = number;
        }
    }

    /// The middle of the belief.
    pub(in crate::forecast) fn middle(&self, numbers: &mut [f64]) {
        for (input, mean) in self.active.iter().zip(self.belief.mean()) {
            numbers[*input] = *mean;
        }
    }

    /// The inputs that the log says something of, by their places in the list.
    pub(in crate::forecast) fn active(&self) -> &[usize] {
        &self.active
    }

    /// Mean and standard deviation of an input, which were 0 and 1.
    pub(super) fn input(&self, input: usize) -> (f64, f64) {
        self.active
            .iter()
            .position(|active| *active == input)
            .map_or((0.0, 1.0), |at| {
                (self.belief.mean()[at], self.belief.deviation(at))
            })
    }
}

/// The same draws in another order, in which the first so many of them are as mixed as all: they are taken with a stride.
fn spread_out(draws: Vec<u32>) -> Vec<u32> {
    let count = draws.len();
    // The golden section mixes most evenly; a stride that shares no divisor with the count comes to every place.
    let divisor = |mut a: usize, mut b: usize| {
        while b > 0 {
            (a, b) = (b, a % b);
        }
        a
    };
    let golden = (count as f64 * 0.618_033_988_749_895) as usize;
    let stride = (golden.max(1)..)
        .find(|stride| divisor(*stride, count) <= 1)
        .unwrap_or(1);
    (0..count)
        .map(|place| draws[place * stride % count])
        .collect()
}

impl Posterior {
    /// The belief before any reading.
    pub(super) fn unread(predictor: &Predictor<'_>) -> Self {
        let active = predictor.active().to_vec();
        Self {
            belief: ReadInputs::unread(active.len()),
            drawn: Vec::new(),
            effective: 0.0,
            drawn_again: false,
            doubts: Vec::new(),
            active,
        }
    }

    /// Bands of what this belief expects of every quantity that was read, the instrument's error aside.
    ///
    /// # Errors
    /// [`Stopped`] at the deadline.
    pub(super) fn bands(
        &self,
        predictor: &Predictor<'_>,
        inputs: &Inputs,
        seed: u64,
        deadline: Deadline<'_>,
    ) -> Result<Vec<Band>, Stopped> {
        let all: Vec<usize> = (0..predictor.readings().len()).collect();
        let source = Draws::sobol(seed, inputs.list().len());
        let [.., values] = self.predicted(predictor, &all, &source, EXPECTED, deadline)?;
        let bands = all
            .iter()
            .map(|&one| {
                let mut column: Vec<f64> = values
                    .iter()
                    .copied()
                    .skip(one)
                    .step_by(all.len())
                    .collect();
                Band::of(&mut column).unwrap_or(Band::exactly(f64::NAN))
            })
            .collect();
        Ok(bands)
    }
}
