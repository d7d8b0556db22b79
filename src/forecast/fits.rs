//! Findings on the fits: the size to cut, the gap through the year, the
//! chance, the humidity it survives, and how to fix it.

use super::evaluate::FitOutcome;
use crate::chance::Band;
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

/// Where a quantile stands in a sorted list of `n`.
fn place(n: usize, share: f64) -> usize {
    ((n as f64 * share) as usize).min(n.saturating_sub(1))
}

/// The cut that holds in the most draws.
///
/// Each draw allows an interval of cuts. The cut is no smaller than 95 in 100 draws ask and no greater
/// than 95 in 100 allow; inside that the aim decides, and where the two cross the
/// cut stands between them.
#[must_use]
pub fn choose_cut(fit: &Fit, outcomes: &[FitOutcome]) -> f64 {
    let near = outcomes.first().map_or(0.0, |outcome| outcome.cut_mm);
    let mut lows = Vec::with_capacity(outcomes.len());
    let mut highs = Vec::with_capacity(outcomes.len());
    for outcome in outcomes {
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
    lows.sort_unstable_by(f64::total_cmp);
    highs.sort_unstable_by(f64::total_cmp);
    let n = outcomes.len();
    if n == 0 {
        return near;
    }
    let interval = CutInterval {
        min_mm: lows[place(n, 0.95)],
        max_mm: highs[place(n, 0.05)],
    };
    let aim = if fit.given.is_some() {
        Aim::Middle
    } else {
        fit.aim
    };
    interval.choose(aim).unwrap_or(near)
}

/// Judges a cut over the draws.
#[must_use]
pub fn judge(outcomes: &[FitOutcome], cut_mm: f64) -> FitJudgement {
    let n = outcomes.len().max(1) as f64;
    let (mut tight, mut loose, mut holds) = (0_u32, 0_u32, 0_u32);
    for outcome in outcomes {
        let too_tight = outcome.tight_for(cut_mm) < -1e-9;
        let too_loose = outcome.loose_for(cut_mm) < -1e-9;
        tight += u32::from(too_tight);
        loose += u32::from(too_loose);
        holds += u32::from(!too_tight && !too_loose);
    }
    let chance = |count: u32| Chance::computed_percent(100.0 * f64::from(count) / n);
    let band = |value: fn(&FitOutcome, f64) -> f64| {
        let mut answers: Vec<f64> = outcomes
            .iter()
            .map(|outcome| value(outcome, cut_mm))
            .collect();
        Band::of(&mut answers)
            .unwrap_or(Band::exactly(f64::NAN))
            .map(Length::from_mm_unchecked)
    };
    FitJudgement {
        cut: Length::from_mm_unchecked(cut_mm),
        min: band(FitOutcome::min_for),
        max: band(FitOutcome::max_for),
        holds: chance(holds),
        tight: chance(tight),
        loose: chance(loose),
    }
}

/// Minimum that stays held where a depth holds the part: reach less the maximum gap; zero where it slips out.
#[must_use]
pub fn held_min(fit: &Fit, outcome: &FitOutcome, cut_mm: f64) -> Option<Length> {
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
pub fn allowed_max(fit: &Fit, cut: Length) -> Option<Length> {
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
