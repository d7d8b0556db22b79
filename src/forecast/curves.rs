//! Day-by-day answers for the figures: 365 days from 1 January each.

use super::draw::Draw;
use super::evaluate::{DaySet, Workspace, days_of, move_parts};
use super::prepare::Prepared;
use super::sampling::Inputs;
use super::timeline::YEAR;
use crate::chance::{Band, Draws};
use crate::moisture::day_of_year;
use rayon::prelude::*;

/// Draws behind the bands of the figures.
const BAND_DRAWS: usize = 128;
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
    /// 5 % end of its band.
    pub low_mm: Vec<f64>,
    /// 95 % end of its band.
    pub high_mm: Vec<f64>,
    /// Gap in the first year at home, from the day of delivery on.
    pub first_year_mm: Vec<f64>,
    /// Maximum gap allowed in the settled year; empty where any is.
    pub upper_mm: Vec<f64>,
    /// Minimum gap allowed.
    pub min_mm: f64,
    /// Day of the year of the cut and the gap on it.
    pub cut: (usize, f64),
    /// Whether only the day of assembly counts.
    pub assembly_only: bool,
}

/// All curves of a job.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Curves {
    /// By part.
    pub parts: Vec<PartCurve>,
    /// By fit.
    pub fits: Vec<FitCurve>,
}

/// Turns a run of days that begins at some day of the year into one from 1 January.
fn from_january(days: &[f64], first_day_of_year: usize) -> Vec<f64> {
    (0..YEAR)
        .map(|day| days[(day + YEAR - first_day_of_year) % YEAR])
        .collect()
}

/// The curves of a job for the cuts made.
#[must_use]
pub fn curves(prepared: &Prepared, inputs: &Inputs, cuts_mm: &[f64], seed: u64) -> Curves {
    let timeline = prepared.timeline;
    let (delivered, settled) = (timeline.delivered(), timeline.settled());
    let all = DaySet::new((0..timeline.days()).collect());
    let mut workspace = Workspace::new(prepared, &all);
    move_parts(prepared, &inputs.middle(), &all, &mut workspace);
    let first_day = day_of_year(timeline.date(settled));
    let mut curves = Curves::default();
    for track in &workspace.tracks {
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
            let uppers: Vec<f64> = (settled..timeline.days())
                .filter_map(|day| fit.upper_mm(&workspace.motion, day, days.cut, cut_mm))
                .collect();
            curves.fits.push(FitCurve {
                gap_mm: from_january(&gaps, first_day),
                first_year_mm: (delivered..settled).map(gap).collect(),
                upper_mm: if uppers.is_empty() {
                    uppers
                } else {
                    from_january(&uppers, first_day)
                },
                min_mm: fit.min.mm(),
                cut: (day_of_year(timeline.date(days.cut)), gap(days.cut)),
                assembly_only: fit.when == crate::joint::When::Assembly,
                ..FitCurve::default()
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
    let cut_days = prepared.joints.iter().map(|joint| prepared.cut_day(joint));
    let year: Vec<usize> = (settled..timeline.days()).step_by(BAND_STEP).collect();
    let set = DaySet::new(year.iter().copied().chain(cut_days).collect());
    let thin = prepared.on(&set);
    let source = Draws::sobol(seed, inputs.list().len());
    let start = set.place(settled);
    // By draw: each part's moistures, then each fit's gaps, on the days of the year looked at.
    let rows: Vec<Vec<f64>> = (0..BAND_DRAWS)
        .into_par_iter()
        .map(|index| {
            let mut numbers = vec![0.0; inputs.list().len()];
            inputs.numbers(&source, index, &mut numbers);
            let mut draw: Draw = inputs.middle();
            inputs.fill(&numbers, &mut draw);
            let mut workspace = Workspace::new(&thin, &set);
            move_parts(&thin, &draw, &set, &mut workspace);
            let mut row: Vec<f64> = workspace
                .tracks
                .iter()
                .flat_map(|track| track.mean_percent[start..].iter().copied())
                .collect();
            let mut cuts = cuts_mm.iter();
            for joint in &thin.joints {
                for fit in &joint.fits {
                    let cut_mm = cuts.next().copied().unwrap_or(0.0);
                    let days = days_of(&thin, joint, fit, &set);
                    row.extend(
                        (start..set.days().len())
                            .map(|at| fit.gap_mm(&workspace.motion, at, days.cut, cut_mm)),
                    );
                }
            }
            row
        })
        .collect();
    let count = year.len();
    let first_day = day_of_year(timeline.date(settled));
    let mut column = vec![0.0; BAND_DRAWS];
    let mut band_of = |series: usize| -> (Vec<f64>, Vec<f64>) {
        let (mut low, mut high) = (Vec::with_capacity(count), Vec::with_capacity(count));
        for at in 0..count {
            for (cell, row) in column.iter_mut().zip(&rows) {
                *cell = row[series * count + at];
            }
            let band = Band::of(&mut column).unwrap_or(Band::exactly(f64::NAN));
            low.push(band.low);
            high.push(band.high);
        }
        let daily = |values: &[f64]| from_january(&spread_out(values), first_day);
        (daily(&low), daily(&high))
    };
    let parts = curves.parts.len();
    for (index, part) in curves.parts.iter_mut().enumerate() {
        (part.low_percent, part.high_percent) = band_of(index);
    }
    for (index, fit) in curves.fits.iter_mut().enumerate() {
        (fit.low_mm, fit.high_mm) = band_of(parts + index);
    }
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
