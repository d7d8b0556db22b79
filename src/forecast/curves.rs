//! Day-by-day answers for the figures: 365 days from 1 January each.

use super::draw::Draw;
use super::evaluate::{DaySet, Workspace, days_of, move_parts};
use super::kept::Known;
use super::prepare::Prepared;
use super::sampling::Inputs;
use super::study::Study;
use super::timeline::YEAR;
use crate::chance::{Band, Draws};
use crate::joint::{Fit, MaxGap};
use crate::moisture::day_of_year;
use jiff::civil::Date;
use rayon::prelude::*;

/// Draws behind the bands of the figures.
const BAND_DRAWS: usize = 128;
/// Draws of the bands whose answers are kept side by side.
const SIDE_BY_SIDE: usize = 16;
/// Days between two of a figure's band.
const BAND_STEP: usize = 5;

/// A part through its years.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct PartCurve {
    /// Moisture in the settled year, percent.
    pub settled_percent: Vec<f64>,
    /// 5 % end of its band.
    pub low_percent: Vec<f64>,
    /// 95 % end of its band.
    pub high_percent: Vec<f64>,
    /// Moisture in the first year at home, from the day of delivery on.
    pub first_year_percent: Vec<f64>,
    /// Day of the year of delivery.
    pub delivered_day: usize,
    /// Slope through the thickness in the settled year, percent per mm.
    pub settled_slope: Vec<f64>,
}

/// A fit through its years.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct FitCurve {
    /// Gap in the settled year, mm.
    pub gap_mm: Vec<f64>,
    /// The same from the day of the cut to the end of the settled year.
    pub from_cut: GapFromCut,
    /// Minimum gap allowed.
    pub min_mm: f64,
    /// Whether only the day of assembly counts.
    pub assembly_only: bool,
}

/// The gap of a fit on every day from its cut on.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct GapFromCut {
    /// The day of the cut.
    pub first: Date,
    /// Days from the cut to the delivery.
    pub delivered: usize,
    /// The gap, mm.
    pub gap_mm: Vec<f64>,
    /// 5 % end of its band.
    pub low_mm: Vec<f64>,
    /// 95 % end of its band.
    pub high_mm: Vec<f64>,
    /// Maximum gap allowed; empty where any is.
    pub upper_mm: Vec<f64>,
    /// Share of the draws that are too tight, percent.
    pub tight_percent: Vec<f64>,
    /// Share of the draws that are too loose, percent.
    pub loose_percent: Vec<f64>,
}

/// All curves of a job.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Curves {
    /// By part.
    pub parts: Vec<PartCurve>,
    /// By fit.
    pub fits: Vec<FitCurve>,
}

impl Curves {
    /// Memory that the curves of fits take, nearly all of it; bytes.
    pub(super) fn bytes(&self) -> usize {
        let numbers = |fit: &FitCurve| {
            let cut = &fit.from_cut;
            let ends = [&cut.low_mm, &cut.high_mm, &cut.upper_mm];
            let shares = [&cut.tight_percent, &cut.loose_percent];
            let lists = [&fit.gap_mm, &cut.gap_mm]
                .into_iter()
                .chain(ends)
                .chain(shares);
            lists.map(Vec::len).sum::<usize>()
        };
        self.fits.iter().map(numbers).sum::<usize>() * size_of::<f64>()
    }
}

/// Turns a run of days that begins at some day of the year into one from 1 January.
fn from_january(days: &[f64], first_day_of_year: usize) -> Vec<f64> {
    (0..YEAR)
        .map(|day| days[(day + YEAR - first_day_of_year) % YEAR])
        .collect()
}

/// The curves of a job for the cuts made; those that are known stay.
#[must_use]
pub(super) fn curves(study: &Study<'_>, seed: u64, known: Option<&Known<'_>>) -> Curves {
    let Some(Known { found, changed }) = known else {
        return again(study, study.prepared, &study.cuts_mm, seed);
    };
    if changed.parts.is_empty() && changed.fits.is_empty() {
        return found.curves.clone();
    }
    let cuts_mm: Vec<f64> = changed.fits.iter().map(|at| study.cuts_mm[*at]).collect();
    let again = again(study, &changed.of(study.prepared), &cuts_mm, seed);
    let mut all = found.curves.clone();
    for (at, part) in changed.parts.iter().zip(again.parts) {
        all.parts[*at] = part;
    }
    for (at, fit) in changed.fits.iter().zip(again.fits) {
        all.fits[*at] = fit;
    }
    all
}

/// The curves of the parts and fits that are asked for.
fn again(study: &Study<'_>, prepared: &Prepared, cuts_mm: &[f64], seed: u64) -> Curves {
    let Study {
        inputs, workspace, ..
    } = study;
    let timeline = prepared.timeline;
    let (delivered, settled) = (timeline.delivered(), timeline.settled());
    let all = DaySet::new((0..timeline.days()).collect());
    let first_day = day_of_year(timeline.date(settled));
    let mut curves = Curves::default();
    for track in prepared.asked.iter().map(|part| &workspace.tracks[*part]) {
        curves.parts.push(PartCurve {
            settled_percent: from_january(&track.mean_percent[settled..], first_day),
            first_year_percent: track.mean_percent[delivered..settled].to_vec(),
            delivered_day: day_of_year(timeline.date(delivered)),
            settled_slope: from_january(&track.slope_percent_per_mm[settled..], first_day),
            ..PartCurve::default()
        });
    }
    let mut cuts = cuts_mm.iter();
    for joint in &prepared.joints {
        for fit in &joint.fits {
            let cut_mm = cuts.next().copied().unwrap_or(0.0);
            let days = days_of(prepared, joint, fit, &all);
            let gap = |day: usize| fit.gap_mm(&workspace.motion, day, days.cut, cut_mm);
            let gaps: Vec<f64> = (settled..timeline.days()).map(gap).collect();
            let from_cut = days.cut..timeline.days();
            curves.fits.push(FitCurve {
                gap_mm: from_january(&gaps, first_day),
                from_cut: GapFromCut {
                    first: timeline.date(days.cut),
                    delivered: delivered.saturating_sub(days.cut),
                    gap_mm: from_cut.clone().map(gap).collect(),
                    upper_mm: from_cut
                        .filter_map(|day| fit.upper_mm(&workspace.motion, day, days.cut, cut_mm))
                        .collect(),
                    ..GapFromCut::default()
                },
                min_mm: fit.min.mm(),
                assembly_only: fit.when == crate::joint::When::Assembly,
            });
        }
    }
    bands(prepared, inputs, cuts_mm, seed, &mut curves);
    curves
}

/// Fills the bands: every few days over some draws, straight between.
fn bands(prepared: &Prepared, inputs: &Inputs, cuts_mm: &[f64], seed: u64, curves: &mut Curves) {
    let timeline = prepared.timeline;
    let settled = timeline.settled();
    // The cut days are looked at too: a cut's size is that of its day.
    let cut_days: Vec<usize> = prepared
        .joints
        .iter()
        .map(|joint| prepared.cut_day(joint))
        .collect();
    let year: Vec<usize> = (settled..timeline.days()).step_by(BAND_STEP).collect();
    let early = (0..settled).step_by(BAND_STEP);
    let set = DaySet::new(
        early
            .chain(year.iter().copied())
            .chain(cut_days.clone())
            .collect(),
    );
    let thin = prepared.on(&set);
    let source = Draws::sobol(seed, inputs.list().len());
    let places: Vec<usize> = year.iter().map(|day| set.place(*day)).collect();
    let all = set.days().len();
    // By draw: each part's moistures on the days of the settled year looked at; then each fit's gaps on all days looked at, and
    // where its upper limit moves, how far each is from that.
    let moving = |fit: &Fit| matches!(fit.max, MaxGap::Holding { .. });
    let mut cells = curves.parts.len() * year.len();
    let mut firsts = Vec::with_capacity(curves.fits.len());
    for fit in prepared.joints.iter().flat_map(|joint| &joint.fits) {
        firsts.push((cells, moving(fit)));
        cells += if moving(fit) { 2 * all } else { all };
    }
    // Some draws side by side, number by number.
    let blocks: Vec<Vec<f64>> = (0..BAND_DRAWS / SIDE_BY_SIDE)
        .into_par_iter()
        .map(|block| {
            let mut numbers = vec![0.0; inputs.list().len()];
            let mut draw: Draw = inputs.middle();
            let mut workspace = Workspace::new(&thin, &set);
            let mut block_cells = vec![0.0; cells * SIDE_BY_SIDE];
            for lane in 0..SIDE_BY_SIDE {
                inputs.numbers(&source, block * SIDE_BY_SIDE + lane, &mut numbers);
                inputs.fill(&numbers, &mut draw);
                move_parts(&thin, &draw, &set, &mut workspace);
                let mut next = block_cells[lane..].iter_mut().step_by(SIDE_BY_SIDE);
                let mut put = |value: f64| {
                    if let Some(cell) = next.next() {
                        *cell = value;
                    }
                };
                for part in &thin.asked {
                    let track = &workspace.tracks[*part];
                    places.iter().for_each(|at| put(track.mean_percent[*at]));
                }
                let mut cuts = cuts_mm.iter();
                for joint in &thin.joints {
                    for fit in &joint.fits {
                        let cut_mm = cuts.next().copied().unwrap_or(0.0);
                        let cut = days_of(&thin, joint, fit, &set).cut;
                        let gap = |at: usize| fit.gap_mm(&workspace.motion, at, cut, cut_mm);
                        (0..all).for_each(|at| put(gap(at)));
                        if moving(fit) {
                            let upper = |at| fit.upper_mm(&workspace.motion, at, cut, cut_mm);
                            (0..all).for_each(|at| {
                                put(upper(at).map_or(f64::INFINITY, |upper| upper - gap(at)));
                            });
                        }
                    }
                }
            }
            block_cells
        })
        .collect();
    let column_at = |cell: usize| -> Vec<f64> {
        let lanes = cell * SIDE_BY_SIDE..(cell + 1) * SIDE_BY_SIDE;
        let columns = blocks.iter().flat_map(|block| &block[lanes.clone()]);
        columns.copied().collect()
    };
    let count = year.len();
    let first_day = day_of_year(timeline.date(settled));
    curves
        .parts
        .par_iter_mut()
        .enumerate()
        .for_each(|(index, part)| {
            let (mut low, mut high) = (Vec::with_capacity(count), Vec::with_capacity(count));
            for at in 0..count {
                let band = Band::of(&mut column_at(index * count + at));
                let band = band.unwrap_or(Band::exactly(f64::NAN));
                low.push(band.low);
                high.push(band.high);
            }
            let daily = |values: &[f64]| from_january(&spread_out(values), first_day);
            (part.low_percent, part.high_percent) = (daily(&low), daily(&high));
        });
    let by_fit: Vec<(&Fit, usize, (usize, bool))> = prepared
        .joints
        .iter()
        .zip(&cut_days)
        .flat_map(|(joint, cut)| joint.fits.iter().map(move |fit| (fit, *cut)))
        .zip(firsts)
        .map(|((fit, cut), first)| (fit, cut, first))
        .collect();
    curves
        .fits
        .par_iter_mut()
        .zip(by_fit)
        .for_each(|(curve, (fit, cut, (first, moving)))| {
            let most = match fit.max {
                MaxGap::Gap(most) => most.mm(),
                MaxGap::Any | MaxGap::Holding { .. } => f64::INFINITY,
            };
            let mut looked: Vec<(usize, [f64; 4])> = Vec::with_capacity(all);
            for (at, day) in set.days().iter().enumerate() {
                if *day < cut {
                    continue;
                }
                let mut gaps = column_at(first + at);
                let beyond = |spare: &mut dyn Iterator<Item = f64>| {
                    100.0 * spare.filter(|spare| *spare < -1e-9).count() as f64 / BAND_DRAWS as f64
                };
                let tight = beyond(&mut gaps.iter().map(|gap| gap - curve.min_mm));
                let loose = if moving {
                    beyond(&mut column_at(first + all + at).into_iter())
                } else {
                    beyond(&mut gaps.iter().map(|gap| most - gap))
                };
                let band = Band::of(&mut gaps).unwrap_or(Band::exactly(f64::NAN));
                looked.push((*day, [band.low, band.high, tight, loose]));
            }
            let daily = |which: usize| between(&looked, which, cut..timeline.days());
            curve.from_cut.low_mm = daily(0);
            curve.from_cut.high_mm = daily(1);
            curve.from_cut.tight_percent = daily(2);
            curve.from_cut.loose_percent = daily(3);
        });
}

/// One of four values on every day, straight between the days looked at; the last one stays.
fn between(looked: &[(usize, [f64; 4])], which: usize, days: std::ops::Range<usize>) -> Vec<f64> {
    let mut next = 0;
    days.map(|day| {
        while next + 1 < looked.len() && looked[next + 1].0 <= day {
            next += 1;
        }
        let Some((from, here)) = looked.get(next) else {
            return f64::NAN;
        };
        let Some((to, there)) = looked.get(next + 1) else {
            return here[which];
        };
        let share = day.saturating_sub(*from) as f64 / (to - from) as f64;
        here[which] + share * (there[which] - here[which])
    })
    .collect()
}

/// From every few days of a year that repeats to every day, straight between.
fn spread_out(values: &[f64]) -> Vec<f64> {
    let count = values.len();
    (0..YEAR)
        .map(|day| {
            let at = (day / BAND_STEP).min(count - 1);
            let next = (at + 1) % count;
            let share = ((day - at * BAND_STEP) as f64 / BAND_STEP as f64).min(1.0);
            values[at] + share * (values[next] - values[at])
        })
        .collect()
}
