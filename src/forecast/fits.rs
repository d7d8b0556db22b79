//! Findings on the fits: the size to cut, the gap through the year, the
//! chance, the humidity it survives, and how to fix it.

use super::evaluate::FitOutcome;
use crate::chance::{Band, chance_percent};
use crate::joint::{Aim, CutInterval, Fit, MaxGap};
use crate::units::{Chance, Length};

/// A fit judged over the draws.
#[derive(Debug, Clone, PartialEq)]
pub struct FitJudgement {
    /// The cut.
    pub cut: Length,
    /// Band of the minimum gap.
    pub min: Band<Length>,
    /// Band of the maximum gap.
    pub max: Band<Length>,
    /// Chance that it holds.
    pub holds: Chance,
    /// Chance that it gets too tight.
    pub tight: Chance,
    /// Chance that it gets too loose.
    pub loose: Chance,
}

/// The value at a place of the order, which is a share of the whole.
fn at_share(values: &mut [f64], share: f64) -> Option<f64> {
    let last = values.len().checked_sub(1)?;
    let place = ((values.len() as f64 * share) as usize).min(last);
    let (_, value, _) = values.select_nth_unstable_by(place, f64::total_cmp);
    Some(*value)
}

/// The cut that holds in the most draws.
///
/// Each draw allows an interval of cuts. The cut is no smaller than 95 in 100 draws ask and no greater
/// than 95 in 100 allow; inside that the aim decides, and where the two cross the
/// cut stands between them.
#[must_use]
pub(super) fn choose_cut(fit: &Fit, outcomes: impl IntoIterator<Item = FitOutcome>) -> f64 {
    let mut near = None;
    let outcomes = outcomes.into_iter();
    let mut lows = Vec::with_capacity(outcomes.size_hint().0);
    let mut highs = Vec::with_capacity(outcomes.size_hint().0);
    for outcome in outcomes {
        near.get_or_insert(outcome.cut_mm);
        let mut interval = CutInterval {
            min_mm: f64::NEG_INFINITY,
            max_mm: f64::INFINITY,
        };
        let mut require = |per_cut: f64, spare: f64| {
            if per_cut > 1e-6 {
                interval.min_mm = interval.min_mm.max(outcome.cut_mm - spare / per_cut);
            } else if per_cut < -1e-6 {
                interval.max_mm = interval.max_mm.min(outcome.cut_mm - spare / per_cut);
            }
        };
        require(outcome.gap_per_cut, outcome.spare_tight_mm);
        if outcome.spare_loose_mm.is_finite() {
            require(outcome.loose_per_cut, outcome.spare_loose_mm);
        }
        lows.push(interval.min_mm);
        highs.push(interval.max_mm);
    }
    let near = near.unwrap_or(0.0);
    let ends = at_share(&mut lows, 0.95).zip(at_share(&mut highs, 0.05));
    let Some((min_mm, max_mm)) = ends else {
        return near;
    };
    let aim = if fit.given.is_some() {
        Aim::Middle
    } else {
        fit.aim
    };
    let interval = CutInterval { min_mm, max_mm };
    interval.choose(aim).unwrap_or(near)
}

/// Whether a cut gets too tight in a draw, and whether too loose.
#[inline]
fn fails(outcome: &FitOutcome, cut_mm: f64) -> [bool; 2] {
    let short = |spare_mm: f64| spare_mm < -1e-9;
    [
        short(outcome.tight_for(cut_mm)),
        short(outcome.loose_for(cut_mm)),
    ]
}

/// Chance that a cut holds.
#[must_use]
pub(super) fn holds(outcomes: impl IntoIterator<Item = FitOutcome>, cut_mm: f64) -> Chance {
    let held = outcomes
        .into_iter()
        .map(|outcome| fails(&outcome, cut_mm) == [false; 2]);
    Chance::computed_percent(chance_percent(held).unwrap_or(0.0))
}

/// Judges a cut over the draws.
#[must_use]
pub(super) fn judge(outcomes: impl IntoIterator<Item = FitOutcome>, cut_mm: f64) -> FitJudgement {
    let outcomes = outcomes.into_iter();
    let mut min = Vec::with_capacity(outcomes.size_hint().0);
    let mut max = Vec::with_capacity(outcomes.size_hint().0);
    let (mut tight, mut loose, mut holds) = (0_u32, 0_u32, 0_u32);
    for outcome in outcomes {
        let [too_tight, too_loose] = fails(&outcome, cut_mm);
        tight += u32::from(too_tight);
        loose += u32::from(too_loose);
        holds += u32::from(!too_tight && !too_loose);
        min.push(outcome.min_for(cut_mm));
        max.push(outcome.max_for(cut_mm));
    }
    let n = min.len().max(1) as f64;
    let chance = |count: u32| Chance::computed_percent(100.0 * f64::from(count) / n);
    let band = |answers: &mut Vec<f64>| {
        Band::of(answers)
            .unwrap_or(Band::exactly(f64::NAN))
            .map(Length::from_mm_unchecked)
    };
    FitJudgement {
        cut: Length::from_mm_unchecked(cut_mm),
        min: band(&mut min),
        max: band(&mut max),
        holds: chance(holds),
        tight: chance(tight),
        loose: chance(loose),
    }
}

/// Minimum that stays held where a depth holds the part: reach less the maximum gap; zero where it slips out.
#[must_use]
pub(super) fn held_min(fit: &Fit, outcome: &FitOutcome, cut_mm: f64) -> Option<Length> {
    match &fit.max {
        MaxGap::Holding { min, .. } => {
            let held_mm = (outcome.loose_for(cut_mm) + min.mm()).max(0.0);
            Some(Length::from_mm_unchecked(held_mm))
        }
        MaxGap::Any | MaxGap::Gap(_) => None,
    }
}

/// Maximum gap allowed, where it does not move with a reach.
#[must_use]
pub(super) fn allowed_max(fit: &Fit, cut: Length) -> Option<Length> {
    match &fit.max {
        MaxGap::Any => None,
        MaxGap::Gap(length) => Some(*length),
        MaxGap::Holding { reach, min } => {
            let reach = match reach.size {
                crate::joint::Size::Known(length) => length,
                crate::joint::Size::Cut => cut,
            };
            Some(reach - *min)
        }
    }
}
