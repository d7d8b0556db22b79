//! How the answers on held panels and shelves spread: keys for machines, words for makers.

use super::keyed;
use crate::carcass::keys::StraightenFinding;
use crate::chance::{Band, in_hundred};
use crate::chart::capital;
use crate::forecast::{InputShare, StraightenSpread};
use crate::units::notation::force_shown;
use crate::units::{Chance, Force, UnitSystem};
use serde_json::{Value, json};

/// Puts the two ends of a band beside a key that ends in its unit, about the value that is there.
fn ends(object: &mut Value, stem: &str, unit: &str, band: Band) {
    let middle = object[format!("{stem}_{unit}")].as_f64();
    let band = middle.map_or(band, |middle| band.about(middle));
    object[format!("{stem}_low_{unit}")] = json!(band.low);
    object[format!("{stem}_high_{unit}")] = json!(band.high);
}

fn list(object: &mut Value, stem: &str, unit: &str, bands: &[Band]) {
    let middles = object[format!("{stem}_{unit}")].as_array().cloned();
    let middle = |at: usize| middles.as_ref()?.get(at)?.as_f64();
    let bands: Vec<Band> = bands
        .iter()
        .enumerate()
        .map(|(at, band)| middle(at).map_or(*band, |middle| band.about(middle)))
        .collect();
    let of = |end: fn(&Band) -> f64| json!(bands.iter().map(end).collect::<Vec<_>>());
    object[format!("{stem}_low_{unit}")] = of(|band| band.low);
    object[format!("{stem}_high_{unit}")] = of(|band| band.high);
}

/// Adds the spreads to a held panel.
pub(super) fn straighten(object: &mut Value, found: &StraightenFinding, spread: &StraightenSpread) {
    let forces: Vec<Band> = spread.supports.iter().map(|one| one.force_n).collect();
    list(object, "forces", "n", &forces);
    ends(object, "leftover", "mm", spread.leftover_mm);
    ends(object, "stress", "mpa", spread.stress_mpa);
    ends(
        object,
        "bow_if_freed_after_months",
        "mm",
        spread.bow_if_freed_mm,
    );
    object["breaks_chance_percent"] = json!(spread.breaks);
    object["verdict"] = json!(spread.verdict);
    object["matters_most"] = keyed(&spread.matters_most).unwrap_or_default();
    for (at, one) in spread.supports.iter().enumerate() {
        let support = &mut object["supports"][at];
        ends(support, "force", "n", one.force_n);
        ends(support, "force_after_months", "n", one.after_months_n);
        if let Some(chance) = one.breaks {
            support["joint"]["breaks_chance_percent"] = json!(chance);
        }
    }
    for (at, one) in spread.dividers.iter().enumerate() {
        let divider = &mut object["dividers"][at];
        ends(divider, "push", "n", one.push_n);
        divider["joints_break_chance_percent"] = json!(one.breaks);
    }
    // A panel by itself asks of every clamp as many times more as it is stiffer.
    for (at, one) in found.closing.iter().enumerate() {
        let closing = &mut object["closing"][at];
        for (stem, force) in [("together", one.together), ("alone", one.alone)] {
            let band = spread.stiffness.map(|factor| factor * force.newtons());
            ends(closing, stem, "n", band);
        }
    }
    if let Some((leftover, stress, forces)) = &spread.across {
        let across = &mut object["across"];
        ends(across, "leftover", "mm", *leftover);
        ends(across, "stress", "mpa", *stress);
        list(across, "forces", "n", forces);
    }
}

/// The two ends of a force that keeps its direction, as sizes; with their signs where it may turn.
fn sizes(band: Band) -> (f64, f64) {
    if band.low.signum() == band.high.signum() {
        let (a, b) = (band.low.abs(), band.high.abs());
        (a.min(b), a.max(b))
    } else {
        (band.low, band.high)
    }
}

/// `, 40 to 71 N (90 in 100)`, in both systems.
pub(super) fn force_band(band: Band, units: UnitSystem) -> String {
    let shown = |newtons: f64| force_shown(Force::computed_newtons(newtons), units);
    let (low, high) = sizes(band);
    format!(", {} to {} (90 in 100)", shown(low), shown(high))
}

/// The verdict of a held panel, and what it comes from.
pub(super) fn verdict_words(spread: &StraightenSpread) -> String {
    let joint = spread
        .supports
        .iter()
        .filter_map(|one| one.breaks)
        .chain(spread.dividers.iter().flat_map(|one| one.breaks).flatten())
        .reduce(Chance::max);
    let joint = joint.map_or_else(String::new, |chance| {
        format!(
            "; that the worst of its joints breaks {}",
            in_hundred(chance)
        )
    });
    format!(
        "{}: chance that bending breaks it {}{joint}",
        spread.verdict.word(),
        in_hundred(spread.breaks)
    )
}

/// What measuring would tell, in words; empty where nothing is worth it.
pub(super) fn measure_words(shares: &[InputShare]) -> Option<String> {
    let share = shares.first()?;
    Some(format!(
        "{}: that narrows these figures to {:.0} % of their spread.",
        capital(&share.measure),
        share.narrows_to.percent()
    ))
}
