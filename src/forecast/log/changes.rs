//! What the last entry of a log changed.

use super::learned::cause;
use crate::chance::{Band, in_hundred};
use crate::forecast::cloud::Cloud;
use crate::forecast::fits::{choose_cut, holds};
use crate::forecast::sampling::Inputs;
use crate::forecast::study::Study;
use crate::job::Job;
use crate::joint::Fit;
use crate::numerics::Stopped;
use crate::units::notation::shown;
use crate::units::{Chance, Length, UnitSystem};
use jiff::civil::Date;
use rayon::prelude::*;
use serde::Serialize;

/// Draws of the forecast without the last entry.
pub(super) const DRAWS: u32 = 2_048;
/// A chance that changed less is not spoken of.
const CHANCE: Chance = Chance::computed_percent(2.0);
/// Nor a cut that changed less.
const CUT: Length = Length::from_mm_unchecked(0.1);
/// Most joints spoken of.
const MOST: usize = 8;

/// What the last entry changed.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LogChange {
    /// Its day.
    pub date: Date,
    /// What was measured.
    pub measured: String,
    /// The joints whose chance or cut changed, those that changed most first.
    pub joints: Vec<JointChange>,
    /// The leaves of boards to resaw whose bow changed, those that changed most first.
    pub leaves: Vec<LeafChange>,
    /// The panels whose best layout changed.
    pub panels: Vec<PanelChange>,
}

impl LogChange {
    /// Whether it changed anything.
    #[must_use]
    pub const fn is_empty(&self) -> bool {
        self.joints.is_empty() && self.leaves.is_empty() && self.panels.is_empty()
    }
}

/// What it changed of the rested bow of a leaf, positive when the sawn face is hollow.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LeafChange {
    /// The leaf and its board.
    pub leaf: String,
    /// The bow before the entry.
    pub bow_before: Band<Length>,
    /// The bow now.
    pub bow: Band<Length>,
    /// The same in words.
    pub words: String,
}

/// What it changed of the best layout of a panel.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PanelChange {
    /// The panel.
    pub panel: String,
    /// Its largest bow before the entry.
    pub bow_before: Length,
    /// Its largest bow now.
    pub bow: Length,
    /// Whether another layout is the best now.
    pub other_layout: bool,
    /// The same in words.
    pub words: String,
}

/// What it changed of one joint.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct JointChange {
    /// The joint.
    pub joint: String,
    /// The cut before the entry, or the one given.
    pub cut_before: Length,
    /// The cut now advised.
    pub cut: Length,
    /// Chance that it holds with the cut before, as it was known before.
    pub holds_before_chance: Chance,
    /// Chance that it holds with the same cut, as it is known now.
    pub holds_kept_chance: Chance,
    /// Chance that it holds with the cut now advised.
    pub holds_chance: Chance,
    /// The same in words.
    pub words: String,
}

/// The joints that the last entry changed; `before` are the inputs without it.
pub(super) fn changes(
    study: &Study<'_>,
    job: &Job,
    before: &Inputs,
) -> Result<Vec<JointChange>, Stopped> {
    let prepared = study.prepared;
    let cloud = Cloud {
        inputs: before,
        prepared: &study.looked_at,
        set: &study.set,
        cuts_mm: &study.nominal_mm,
        seed: job.seed,
        draws: job.draws.min(DRAWS),
    };
    let samples = cloud.all(Vec::new(), &|_| study.deadline.check())?;
    let fits: Vec<&Fit> = prepared
        .joints
        .iter()
        .flat_map(|joint| &joint.fits)
        .collect();
    let mut list: Vec<JointChange> = fits
        .into_par_iter()
        .enumerate()
        .filter_map(|(index, fit)| {
            let (was, is) = (samples.fit(index), study.samples.fit(index));
            let cut_before = fit
                .given
                .unwrap_or_else(|| Length::from_mm_unchecked(choose_cut(fit, was.clone())));
            let cut = Length::from_mm_unchecked(choose_cut(fit, is.clone()));
            let first = holds(was, cut_before.mm());
            let kept = holds(is.clone(), cut_before.mm());
            let now = holds(is, cut.mm());
            // A cut that was given is only to be changed where that helps.
            let cut = if fit.given.is_some() && now < kept + CHANCE {
                cut_before
            } else {
                cut
            };
            let other_cut = (cut - cut_before).abs() >= CUT;
            let changed = (kept - first).abs() >= CHANCE;
            // What never holds is not made to hold by another cut, and needs another remedy.
            let hopeless = first.max(kept).max(now) < CHANCE;
            if hopeless {
                return None;
            }
            (changed || (other_cut && fit.given.is_none())).then(|| JointChange {
                joint: fit.name.clone(),
                cut_before,
                cut,
                holds_before_chance: first,
                holds_kept_chance: kept,
                holds_chance: if other_cut { now } else { kept },
                words: words(
                    fit,
                    cause(study, job, before, fit),
                    [cut_before, cut],
                    [first, kept, now],
                    job.units,
                ),
            })
        })
        .collect();
    let size = |one: &JointChange| (one.holds_kept_chance - one.holds_before_chance).abs();
    list.sort_by(|a, b| size(b).total_cmp(&size(a)));
    list.truncate(MOST);
    Ok(list)
}

/// What more and less of a dimension are called.
fn smaller_and_larger(dimension: &str) -> [&'static str; 2] {
    match dimension.split(' ').next() {
        Some("wide") => ["narrower", "wider"],
        Some("deep") => ["shallower", "deeper"],
        Some("high") => ["lower", "higher"],
        Some("long") => ["shorter", "longer"],
        _ => ["less", "more"],
    }
}

fn words(
    fit: &Fit,
    cause: Option<String>,
    [before, after]: [Length; 2],
    [first, kept, now]: [Chance; 3],
    units: UnitSystem,
) -> String {
    let length = |length| shown(length, units);
    let cause = cause.map_or_else(String::new, |cause| format!("{cause}; "));
    let chance = if (kept - first).abs() < CHANCE {
        format!("its chance stays at {}", in_hundred(kept))
    } else {
        format!(
            "its chance went from {} to {}",
            in_hundred(first),
            in_hundred(kept)
        )
    };
    let start = format!("{}: {cause}{chance}", fit.name);
    let off = after - before;
    if off.abs() < CUT {
        return start;
    }
    let [smaller, larger] = smaller_and_larger(fit.words.dimension);
    let way = if off > Length::ZERO { larger } else { smaller };
    format!(
        "{start}: cut the {} {} {way}, {} {}, and it holds in {}",
        fit.words.cut,
        length(off.abs()),
        length(after),
        fit.words.dimension,
        in_hundred(now)
    )
}
