//! What the last entry of a log changed.

use super::LogRead;
use crate::chance::in_hundred;
use crate::forecast::fits::{choose_cut, judge};
use crate::forecast::study::Study;
use crate::job::Job;
use crate::joint::Fit;
use crate::units::notation::shown;
use crate::units::{Length, UnitSystem};
use rayon::prelude::*;
use serde::Serialize;
use std::convert::Infallible;

/// Draws of the forecast without the last entry.
pub(super) const DRAWS: u32 = 2_048;
/// A chance that changed less is not spoken of, percent.
const CHANCE_PERCENT: f64 = 1.0;
/// Nor a cut that changed less, mm.
const CUT_MM: f64 = 0.1;
/// Most joints spoken of.
const MOST: usize = 8;

/// What the last entry changed.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LogChange {
    /// Its day.
    pub date: String,
    /// What was measured.
    pub measured: String,
    /// The joints whose chance or cut changed, those that changed most first.
    pub joints: Vec<JointChange>,
}

/// What it changed of one joint.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct JointChange {
    /// The joint.
    pub joint: String,
    /// The cut before the entry, or the one given.
    pub cut_before_mm: f64,
    /// The cut now advised.
    pub cut_mm: f64,
    /// Chance that it holds with the cut before, as it was known before.
    pub holds_before_chance_percent: f64,
    /// Chance that it holds with the same cut, as it is known now.
    pub holds_kept_chance_percent: f64,
    /// Chance that it holds with the cut now advised.
    pub holds_chance_percent: f64,
    /// The same in words.
    pub words: String,
}

/// The joints that the last entry changed.
pub(super) fn changes(study: &Study<'_>, job: &Job, read: &LogRead) -> Vec<JointChange> {
    let prepared = study.prepared;
    let Ok(before) = read.before.samples::<Infallible>(
        &prepared.on(&study.set),
        &study.set,
        &study.nominal_mm,
        job.seed,
        job.draws.min(DRAWS),
        &|_| Ok(()),
    );
    let fits: Vec<&Fit> = prepared
        .joints
        .iter()
        .flat_map(|joint| &joint.fits)
        .collect();
    let mut list: Vec<JointChange> = fits
        .into_par_iter()
        .enumerate()
        .filter_map(|(index, fit)| {
            let (was, is) = (before.fit(index), study.samples.fit(index));
            let cut_before_mm = fit.given.map_or_else(|| choose_cut(fit, &was), Length::mm);
            let cut_mm = choose_cut(fit, &is);
            let first = judge(&was, cut_before_mm).holds_percent;
            let kept = judge(&is, cut_before_mm).holds_percent;
            let now = judge(&is, cut_mm).holds_percent;
            // A cut that was given is only to be changed where that helps.
            let cut_mm = if fit.given.is_some() && now < kept + CHANCE_PERCENT {
                cut_before_mm
            } else {
                cut_mm
            };
            let other_cut = (cut_mm - cut_before_mm).abs() >= CUT_MM;
            let changed = (kept - first).abs() >= CHANCE_PERCENT;
            (changed || (other_cut && fit.given.is_none())).then(|| JointChange {
                joint: fit.name.clone(),
                cut_before_mm,
                cut_mm,
                holds_before_chance_percent: first,
                holds_kept_chance_percent: kept,
                holds_chance_percent: if other_cut { now } else { kept },
                words: words(fit, [cut_before_mm, cut_mm], [first, kept, now], job.units),
            })
        })
        .collect();
    let size =
        |one: &JointChange| (one.holds_kept_chance_percent - one.holds_before_chance_percent).abs();
    list.sort_by(|a, b| size(b).total_cmp(&size(a)));
    list.truncate(MOST);
    list
}

fn words(fit: &Fit, cuts_mm: [f64; 2], percents: [f64; 3], units: UnitSystem) -> String {
    let [before_mm, now_mm] = cuts_mm;
    let [first, kept, now] = percents;
    let length = |mm: f64| shown(Length::from_mm_unchecked(mm), units);
    let chance = if (kept - first).abs() < CHANCE_PERCENT {
        format!("the chance of {} stays at {}", fit.name, in_hundred(kept))
    } else {
        format!(
            "the chance of {} went from {} to {}",
            fit.name,
            in_hundred(first),
            in_hundred(kept)
        )
    };
    let off = now_mm - before_mm;
    if off.abs() < CUT_MM {
        return chance;
    }
    let way = if off > 0.0 { "more" } else { "less" };
    format!(
        "{chance}: cut the {} {} {way}, {} {}, and it holds in {}",
        fit.words.cut,
        length(off.abs()),
        length(now_mm),
        fit.words.dimension,
        in_hundred(now)
    )
}
