//! What to measure next before which cut, by what it is worth to the cut: how much more often the joint holds when the cut may
//! follow the reading.

use super::changes::DRAWS;
use crate::chance::Draws;
use crate::forecast::findings::{FitFinding, InputShare};
use crate::forecast::fits::{choose_cut, judge};
use crate::forecast::study::Study;
use crate::job::Job;
use crate::joint::Fit;
use crate::numerics::Stopped;
use crate::units::Chance;
use jiff::civil::Date;
use rayon::prelude::*;
use serde::Serialize;

/// Joints looked at: those that are least sure.
const MOST_JOINTS: usize = 6;
/// Groups of draws in which a reading comes out alike.
const GROUPS: usize = 8;
/// A measurement that adds less to the chance is not worth taking (judgement).
const WORTH: Chance = Chance::computed_percent(1.0);
/// Most measurements given.
const MOST: usize = 5;

/// A measurement worth taking before a cut.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct NextMeasurement {
    /// What to do.
    pub measure: String,
    /// The input that it narrows.
    pub input: String,
    /// The joint that it helps.
    pub joint: String,
    /// The day of the cut.
    pub before: Date,
    /// Chance that the joint holds with the cut now advised.
    pub holds_chance: Chance,
    /// The same on average when the cut follows the reading.
    pub holds_measured_chance: Chance,
}

/// The measurements that are worth most to the cuts that are not sure.
///
/// # Errors
/// [`Stopped`] at the deadline.
pub(super) fn measure_next(
    study: &Study<'_>,
    job: &Job,
    fits: &[FitFinding],
) -> Result<Vec<NextMeasurement>, Stopped> {
    let draws = study.samples.draws().min(DRAWS as usize);
    let all: Vec<&Fit> = study
        .prepared
        .joints
        .iter()
        .flat_map(|joint| &joint.fits)
        .collect();
    let mut unsure: Vec<usize> = (0..fits.len())
        .filter(|fit| (1.0..99.0).contains(&fits[*fit].holds_chance.percent()))
        .collect();
    unsure.sort_by(|a, b| fits[*a].holds_chance.total_cmp(&fits[*b].holds_chance));
    unsure.truncate(MOST_JOINTS);
    if unsure.is_empty() {
        return Ok(Vec::new());
    }
    let drawn = Drawn::of(study, job, draws);
    let mut list: Vec<NextMeasurement> = unsure
        .into_par_iter()
        .map(|index| {
            study.deadline.check()?;
            Ok(drawn.worth_measuring(study, (all[index], &fits[index]), index))
        })
        .collect::<Result<Vec<_>, _>>()?
        .into_iter()
        .flatten()
        .collect();
    let worth = |one: &NextMeasurement| one.holds_measured_chance - one.holds_chance;
    list.sort_by(|a, b| worth(b).total_cmp(&worth(a)));
    list.truncate(MOST);
    Ok(list)
}

/// The inputs of the draws looked at, and the error of the reading of each.
struct Drawn {
    numbers: Vec<f64>,
    errors: Vec<f64>,
}

impl Drawn {
    fn of(study: &Study<'_>, job: &Job, draws: usize) -> Self {
        let inputs = study.inputs;
        let count = inputs.list().len();
        let source = Draws::sobol(job.seed, count);
        let noise = Draws::plain(job.seed ^ 0x5eed, 1);
        let mut numbers = vec![0.0; count * draws];
        numbers
            .par_chunks_mut(count.max(1))
            .enumerate()
            .for_each(|(draw, row)| inputs.numbers(&source, draw, row));
        let errors = (0..draws)
            .map(|draw| {
                let mut error = [0.0];
                noise.fill_normals(draw, &mut error);
                error[0]
            })
            .collect();
        Self { numbers, errors }
    }

    /// What is worth measuring for one fit.
    fn worth_measuring(
        &self,
        study: &Study<'_>,
        (fit, finding): (&Fit, &FitFinding),
        index: usize,
    ) -> Vec<NextMeasurement> {
        let list = study.inputs.list();
        let draws = self.errors.len();
        let outcomes: Vec<_> = study.samples.fit(index).into_iter().take(draws).collect();
        let advised = choose_cut(fit, &outcomes);
        let now = judge(&outcomes, advised).holds;
        let of_share = |share: &InputShare| {
            let place = list.iter().position(|input| input.words == share.input)?;
            let left = list[place].left;
            if !(0.0..0.98).contains(&left) {
                return None;
            }
            // The instrument's deviation in those of the input, by what it leaves of one.
            let off = left / (1.0 - left * left).sqrt();
            let mut read: Vec<(f64, usize)> = (0..draws)
                .map(|draw| {
                    let number = self.numbers[draw * list.len() + place];
                    (number + off * self.errors[draw], draw)
                })
                .collect();
            read.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
            let size = draws.div_ceil(GROUPS).max(1);
            let held: f64 = read
                .chunks(size)
                .map(|group| {
                    let some: Vec<_> = group.iter().map(|(_, draw)| outcomes[*draw]).collect();
                    // A reading need not change the cut.
                    let holds = [choose_cut(fit, &some), advised]
                        .map(|cut_mm| judge(&some, cut_mm).holds.percent());
                    holds[0].max(holds[1]) * some.len() as f64
                })
                .sum();
            let measured = Chance::computed_percent(held / draws.max(1) as f64);
            (measured - now >= WORTH).then(|| NextMeasurement {
                measure: share.measure.clone(),
                input: share.input.clone(),
                joint: fit.name.clone(),
                before: finding.cut_on,
                holds_chance: now,
                holds_measured_chance: measured,
            })
        };
        finding.matters_most.iter().filter_map(of_share).collect()
    }
}
