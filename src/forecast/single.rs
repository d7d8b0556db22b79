//! One fit or one bond without a job: moistures today, at the driest and at the
//! wettest, and the spread of shrinkage between boards of one wood.

use super::belief::ShrinkageSpread;
use super::bonds::{AskedBond, JudgedBond, judge as judge_bond};
use super::curve::Curve;
use super::evaluate::BondOutcome;
use super::fits::{self, FitJudgement};
use crate::air::AirState;
use crate::chance::Draws;
use crate::job::Spreads;
use crate::joint::{Axis, Days, Fit, Motion, PartId};
use crate::movement::{Section, Shrinkage};
use crate::units::{Length, MoistureContent, RelativeHumidity, Strain, Temperature};

/// Draws behind a single answer.
const DRAWS: usize = 1024;
/// Seed of those draws.
const SEED: u64 = 1;

/// Moisture today and at both ends of the year.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ThreeMoistures {
    /// Today.
    pub today: MoistureContent,
    /// At the driest.
    pub dry: MoistureContent,
    /// At the wettest.
    pub wet: MoistureContent,
}

/// A part of a single answer.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SinglePart {
    /// Its section.
    pub section: Section,
    /// What its wood shrinks.
    pub shrinkage: Shrinkage,
    /// How far the sources of that disagree: [`Species::source_spread`](crate::species::Species::source_spread).
    pub source_spread: [f64; 2],
    /// Its moistures.
    pub moistures: ThreeMoistures,
}

impl SinglePart {
    /// Sizes over today's on the three days: today, driest, wettest.
    fn fill(&self, part: PartId, tangential: f64, radial: f64, meter: f64, motion: &mut Motion) {
        let shrinkage = Shrinkage {
            radial_percent: self.shrinkage.radial_percent * radial,
            tangential_percent: self.shrinkage.tangential_percent * tangential,
            ..self.shrinkage
        };
        let today = (self.moistures.today.percent() + meter).max(0.0);
        let curve = Curve::new(
            self.section,
            &shrinkage,
            MoistureContent::computed_percent(today),
        );
        for axis in Axis::ALL {
            let ratios = motion.ratios_mut(part, axis);
            ratios[0] = curve.ratio(axis, today);
            ratios[1] = curve.ratio(axis, self.moistures.dry.percent());
            ratios[2] = curve.ratio(axis, self.moistures.wet.percent());
        }
    }
}

/// Calls `each` with the motion of every draw and the stiffness of every part over its middle; the middle draw first.
fn for_each_draw(parts: &[SinglePart], spreads: &Spreads, mut each: impl FnMut(&Motion, &[f64])) {
    let mut motion = Motion::still(parts.len(), 3);
    for (index, part) in parts.iter().enumerate() {
        part.fill(PartId(index), 1.0, 1.0, 0.0, &mut motion);
    }
    let mut stiffness = vec![1.0; parts.len()];
    each(&motion, &stiffness);
    // The meter, then for each part: tangential, radial apart, its own reading, its stiffness.
    let source = Draws::sobol(SEED, 1 + 4 * parts.len());
    let mut numbers = vec![0.0; source.dimensions()];
    let boards: Vec<ShrinkageSpread> = parts
        .iter()
        .map(|part| ShrinkageSpread::of_wood(spreads, part.source_spread))
        .collect();
    for draw in 0..DRAWS {
        source.fill_normals(draw, &mut numbers);
        let meter = spreads.meter_bias_percent * numbers[0];
        for (index, part) in parts.iter().enumerate() {
            let own = &numbers[1 + 4 * index..];
            let [tangential, radial] = boards[index].at([own[0], own[1]]);
            let off = meter + spreads.meter_scatter_percent * own[2];
            part.fill(PartId(index), tangential, radial, off, &mut motion);
            stiffness[index] = libm::exp(spreads.stiffness_cov * own[3]);
        }
        each(&motion, &stiffness);
    }
}

/// The answer on one fit.
#[derive(Debug, Clone, PartialEq)]
pub struct SingleFit {
    /// The cut, its chances, and its gaps about those of the middle draw.
    pub judged: FitJudgement,
    /// Minimum that stays held where a depth holds the part.
    pub held: Option<Length>,
    /// Gap today, at the driest and at the wettest.
    pub gaps: [Length; 3],
    /// Steady humidity that it survives at a temperature.
    pub survives_humidity: Option<[RelativeHumidity; 2]>,
}

/// Answers one fit. Its parts are those of the fit's ids, in their order.
#[must_use]
pub fn single_fit(fit: &Fit, parts: &[SinglePart], temperature: Temperature) -> SingleFit {
    let days = Days {
        cut: 0,
        judged: 0..3,
    };
    let mut outcomes = Vec::with_capacity(DRAWS);
    let mut first: Option<Motion> = None;
    let mut near = fit.given.map_or(0.0, Length::mm);
    for_each_draw(parts, &Spreads::default(), |motion, _| {
        if first.is_none() {
            if fit.given.is_none() {
                near = fit
                    .cut_interval(motion, &days)
                    .choose(fit.aim)
                    .unwrap_or(0.0);
            }
            first = Some(motion.clone());
        } else {
            outcomes.push(super::evaluate::fit_outcome(fit, motion, &days, near));
        }
    });
    let middle_motion = first.unwrap_or_else(|| Motion::still(parts.len(), 3));
    let cut = fit
        .given
        .map_or_else(|| fits::choose_cut(fit, &outcomes), Length::mm);
    let gap = |day| Length::from_mm_unchecked(fit.gap_mm(&middle_motion, day, 0, cut));
    let dry = parts
        .first()
        .map_or(8.0, |part| part.moistures.dry.percent());
    let wet = parts
        .first()
        .map_or(8.0, |part| part.moistures.wet.percent());
    let curves: Vec<Curve> = parts
        .iter()
        .map(|part| Curve::new(part.section, &part.shrinkage, part.moistures.today))
        .collect();
    let humidity = crate::air::humidity_for(
        MoistureContent::computed_percent((dry + wet) / 2.0),
        temperature,
    )
    .unwrap_or(RelativeHumidity::computed_percent(45.0));
    let at_cut = |part: PartId, axis: Axis| middle_motion.ratio(part, axis, 0);
    let steady = super::humidity::Steady::new(
        &curves,
        fit,
        cut,
        &at_cut,
        AirState::new(temperature, humidity),
    );
    let middle = super::evaluate::fit_outcome(fit, &middle_motion, &days, cut);
    let judged = fits::judge(&outcomes, cut);
    SingleFit {
        held: fits::held_min(fit, &middle, cut),
        judged: FitJudgement {
            min: judged.min.about(Length::from_mm_unchecked(middle.min_mm)),
            max: judged.max.about(Length::from_mm_unchecked(middle.max_mm)),
            ..judged
        },
        gaps: [0, 1, 2].map(gap),
        survives_humidity: steady.survives(),
    }
}

/// Answers one bond: part 0 moves along `axes.0`, part 1 holds along `axes.1`. Of `spreads` count those of shrinkage, stiffness and
/// the meter: with a meter that does not err the moistures are known.
#[must_use]
pub fn single_bond(
    asked: &AskedBond,
    parts: &[SinglePart; 2],
    axes: (Axis, Axis),
    spreads: &Spreads,
) -> (BondOutcome, JudgedBond) {
    let mut middle = None;
    let mut samples = Vec::with_capacity(DRAWS);
    for_each_draw(parts, spreads, |motion, stiffness| {
        let wanted = |day: usize| {
            let ratio = |part, axis| {
                motion.ratio(PartId(part), axis, day) / motion.ratio(PartId(part), axis, 0)
            };
            ratio(0, axes.0) / ratio(1, axes.1) - 1.0
        };
        let (dry, wet) = (wanted(1), wanted(2));
        let outcome = BondOutcome {
            driest: Strain::computed_ratio(dry.min(wet).min(0.0)),
            driest_at: if dry <= wet { 1 } else { 2 },
            wettest: Strain::computed_ratio(dry.max(wet).max(0.0)),
            wettest_at: if dry <= wet { 2 } else { 1 },
            stiffness: [stiffness[0], stiffness[1]],
        };
        if middle.is_none() {
            middle = Some(outcome);
        } else {
            samples.push(outcome);
        }
    });
    let middle = middle.unwrap_or(BondOutcome {
        driest: Strain::ZERO,
        driest_at: 0,
        wettest: Strain::ZERO,
        wettest_at: 0,
        stiffness: [1.0; 2],
    });
    let judged = judge_bond(asked, &middle, &samples);
    (middle, judged)
}
