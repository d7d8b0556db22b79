//! Findings on the parts.

use super::evaluate::{PartOutcome, Workspace, slope_cup};
use super::findings::PartFinding;
use super::part_model::PartModel;
use super::prepare::Prepared;
use super::samples::Samples;
use super::timeline::YEAR;
use crate::chance::Band;
use crate::job::Part;
use crate::joint::{Axis, PartId};
use crate::units::{Length, MoistureContent};

/// What a part's finding is made of.
pub(super) struct PartView<'a> {
    /// The part as given.
    pub given: &'a Part,
    /// The job.
    pub prepared: &'a Prepared,
    /// The middle draw over every day.
    pub workspace: &'a Workspace,
    /// Its outcome.
    pub middle: &'a PartOutcome,
    /// All draws.
    pub samples: &'a Samples,
    /// Its place among the parts.
    pub index: usize,
}

/// The numbers of the draws: width and moisture at the driest and at the wettest, and the cup at the driest.
fn columns(samples: impl Iterator<Item = PartOutcome>, draws: usize) -> [Vec<f64>; 5] {
    let mut columns = [(); 5].map(|()| Vec::with_capacity(draws));
    for part in samples {
        let numbers = [
            part.min_width_mm,
            part.max_width_mm,
            part.driest_percent,
            part.wettest_percent,
            part.cup_driest_mm,
        ];
        for (column, number) in columns.iter_mut().zip(numbers) {
            column.push(number);
        }
    }
    columns
}

/// First day of the driest or wettest seven days in a row of the settled year.
fn week(settled: &[f64], sign: f64) -> usize {
    let sum = |first: usize| -> f64 { (0..7).map(|day| settled[(first + day) % YEAR]).sum() };
    (0..YEAR)
        .min_by(|a, b| (sign * sum(*a)).total_cmp(&(sign * sum(*b))))
        .unwrap_or(0)
}

/// The finding on one part.
#[must_use]
pub(super) fn finding(view: &PartView<'_>) -> PartFinding {
    let PartView {
        given,
        prepared,
        workspace,
        middle,
        index,
        ..
    } = *view;
    let model: &PartModel = &prepared.parts[index];
    let timeline = &prepared.timeline;
    let date = |day: usize| timeline.date(day);
    let thickness = workspace.motion.ratios(PartId(index), Axis::Thickness);
    let track = &workspace.tracks[index];
    let cup_known = model.cup_known;
    let known = |cup_mm: f64| {
        (cup_known && cup_mm.is_finite()).then_some(Length::from_mm_unchecked(cup_mm))
    };
    let [min_width, max_width, driest, wettest, mut cups] =
        columns(view.samples.part(index), view.samples.draws());
    let about = |mut answers: Vec<f64>, middle: f64| {
        Band::of(&mut answers)
            .unwrap_or(Band::exactly(middle))
            .about(middle)
    };
    let length = |answers, middle| about(answers, middle).map(Length::from_mm_unchecked);
    let percent = MoistureContent::computed_percent;
    let moisture = |answers, middle| about(answers, middle).map(percent);
    let cup = Band::of(&mut cups).filter(|_| cup_known).map(|band| {
        band.about(middle.cup_driest_mm)
            .map(Length::from_mm_unchecked)
    });
    let (delivered, settled) = (timeline.delivered(), timeline.settled());
    let first_driest = (delivered..settled)
        .min_by(|a, b| track.mean_percent[*a].total_cmp(&track.mean_percent[*b]))
        .unwrap_or(delivered);
    let passing = track.slope_percent_per_mm[delivered..settled]
        .iter()
        .map(|slope| slope_cup(model, *slope))
        .fold(Length::ZERO, |worst, cup| {
            if cup.abs() > worst.abs() { cup } else { worst }
        });
    let passes = passing.abs().mm() > 1e-6;
    PartFinding {
        name: model.facts.name.clone(),
        species: model.species.name.clone(),
        count: given.count,
        width: given.width,
        thickness: given.thickness,
        length: given.length,
        moisture: given.moisture,
        measured_on: given.measured,
        width_driest: length(min_width, middle.min_width_mm),
        driest_on: date(middle.driest_at),
        moisture_driest: moisture(driest, middle.driest_percent),
        width_wettest: length(max_width, middle.max_width_mm),
        wettest_on: date(middle.wettest_at),
        moisture_wettest: moisture(wettest, middle.wettest_percent),
        thickness_driest: thickness[middle.driest_at] * given.thickness,
        thickness_wettest: thickness[middle.wettest_at] * given.thickness,
        cup_driest_mm: known(middle.cup_driest_mm),
        cup_driest_low_mm: cup.map(|band| band.low),
        cup_driest_high_mm: cup.map(|band| band.high),
        cup_wettest_mm: known(middle.cup_wettest_mm),
        // kappa > 0 turns the heart face hollow; the bark face is given
        cup_passing_mm: passes.then(|| -passing),
        driest_week_from: date(settled + week(&track.mean_percent[settled..], 1.0)),
        wettest_week_from: date(settled + week(&track.mean_percent[settled..], -1.0)),
        first_year_driest: percent(track.mean_percent[first_driest]),
        first_year_driest_on: date(first_driest),
        pith_inside: model.section.contains_pith(),
        cup_known,
        notes: model.notes.clone(),
    }
}
