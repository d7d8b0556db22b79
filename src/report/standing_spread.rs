//! How the answers on held panels and shelves spread, in words.

use crate::chance::{Band, in_hundred};
use crate::chart::capital;
use crate::forecast::{InputShare, StraightenSpread};
use crate::units::notation::force_shown;
use crate::units::{Chance, Force, UnitSystem};

/// The two ends of a force that keeps its direction, as sizes; with their signs where it may turn.
fn sizes(band: Band<Force>) -> (Force, Force) {
    if band.low.newtons().signum() == band.high.newtons().signum() {
        let (a, b) = (band.low.abs(), band.high.abs());
        (a.min(b), a.max(b))
    } else {
        (band.low, band.high)
    }
}

/// `, 40 to 71 N (90 in 100)`, in both systems.
pub(super) fn force_band(band: Band<Force>, units: UnitSystem) -> String {
    let shown = |force| force_shown(force, units);
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
