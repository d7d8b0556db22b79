//! What no draw holds, each with the size it may have in this job.

use super::airs::Airs;
use super::findings::FitFinding;
use super::panels::PanelStudy;
use super::prepare::Prepared;
use crate::joint::bond::SET_STRAIN;
use crate::joint::{Axis, Fit, Size, Term};
use crate::moisture::{MoistureTrack, settled_year};
use crate::units::notation::{percent_shown, shown};
use crate::units::{Length, UnitSystem};

/// What the coupled strips of a panel miss against plate finite elements, as a share of a leaf's bow: the most of 400 panels (derived,
/// see [`crate::panel::coupled_leaves`]).
const PLATE_MISSES: f64 = 0.021;

/// One line for each effect that is left out and could be seen; `fits` with the size each is cut to, mm.
pub(super) fn not_modeled<'a>(
    prepared: &Prepared,
    airs: &Airs,
    fits: impl Iterator<Item = (&'a Fit, f64, &'a FitFinding)>,
    panels: &[PanelStudy],
) -> Vec<String> {
    let units = prepared.units;
    compression_set(fits, units)
        .into_iter()
        .chain(aged_finish(prepared, airs, units))
        .chain(plate_effects(panels, units))
        .collect()
}

/// Wood that a fit presses beyond what springs back, in the one case of twenty that presses most.
fn compression_set<'a>(
    fits: impl Iterator<Item = (&'a Fit, f64, &'a FitFinding)>,
    units: UnitSystem,
) -> Option<String> {
    let pressed = |(fit, cut_mm, found): (&Fit, f64, &'a FitFinding)| {
        let across: f64 = fit
            .part
            .iter()
            .filter(|term| term.axis != Axis::Length)
            .map(|term: &Term| match term.size {
                Size::Known(size) => size.mm(),
                Size::Cut => cut_mm,
            })
            .sum();
        // A part held at its middle meets both sides of its opening.
        let by = -found.gap_min.low.mm() / fit.share;
        (across > 0.0 && by > 0.0).then_some((found, by, across))
    };
    let beyond = |by: f64, across: f64| by - SET_STRAIN * across;
    let (found, by, across) = fits.filter_map(pressed).max_by(|a, b| {
        // What stays counts first; where nothing does, what is pressed.
        let stays = [a, b].map(|one| beyond(one.1, one.2).max(0.0));
        stays[0].total_cmp(&stays[1]).then(a.1.total_cmp(&b.1))
    })?;
    let mm = |mm: f64| shown(Length::from_mm_unchecked(mm), units);
    let stays = beyond(by, across);
    let size = if stays > 0.0 {
        format!(
            "{} of it may stay as a set and be missing in the next dry season",
            mm(stays)
        )
    } else {
        "all of it springs back".to_owned()
    };
    Some(format!(
        "Not modeled, compression set in fits that bind: wood pressed by more than {:.1} % of its size keeps the rest. Worst here is {}: pressed by up to {} over {} (1 in 20), {size}.",
        100.0 * SET_STRAIN,
        found.joint,
        mm(by),
        mm(across)
    ))
}

/// How much more the part would move whose finish does most, were that worn to bare wood.
fn aged_finish(prepared: &Prepared, airs: &Airs, units: UnitSystem) -> Option<String> {
    let swing = |track: &MoistureTrack| {
        let ends = track
            .mean_percent
            .iter()
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), &mean| {
                (low.min(mean), high.max(mean))
            });
        ends.1 - ends.0
    };
    let mut known: Vec<(crate::moisture::SlabKey, usize, [f64; 2])> = Vec::new();
    let mut worst: Option<(&str, [f64; 2], f64)> = None;
    for part in &prepared.parts {
        let bare = part.slab.unfinished();
        if bare == part.slab {
            continue;
        }
        let (key, home) = (part.slab.key(), part.home.0);
        let swings = match known.iter().find(|one| one.0 == key && one.1 == home) {
            Some(&(_, _, swings)) => swings,
            None => {
                let air = airs.year(part.home);
                let swings = [&part.slab, &bare].map(|slab| swing(&settled_year(slab, air)));
                known.push((key, home, swings));
                swings
            }
        };
        let more = (swings[1] - swings[0]) * part.width_coefficient * part.facts.width.mm();
        if worst.is_none_or(|(_, _, most)| more > most) {
            worst = Some((&part.facts.name, swings, more));
        }
    }
    let (name, [new, bare], more) = worst?;
    Some(format!(
        "Not modeled, aging of finishes: each is taken as new, within a factor of 2.5. Worn to bare wood, the {name} would swing by {} of moisture through the year instead of {}, and by {} more in width.",
        percent_shown(bare),
        percent_shown(new),
        shown(Length::from_mm_unchecked(more), units)
    ))
}

/// What coupled strips leave out of a plate, for the panel whose leaves bow most.
fn plate_effects(panels: &[PanelStudy], units: UnitSystem) -> Option<String> {
    let most = |study: &PanelStudy| {
        study
            .panel
            .leaves()
            .iter()
            .map(|leaf| leaf.bow.abs())
            .fold(Length::ZERO, Length::max)
    };
    let study = panels
        .iter()
        .max_by(|a, b| most(a).mm().total_cmp(&most(b).mm()))?;
    Some(format!(
        "Not modeled, plate effects beyond coupled strips: within {:.0} % of a leaf's bow, up to {} in {}; a cup beyond a third of the thickness stiffens the panel, which is left out.",
        100.0 * PLATE_MISSES,
        shown(most(study) * PLATE_MISSES, units),
        study.name
    ))
}
