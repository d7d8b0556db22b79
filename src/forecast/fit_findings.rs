//! The finding on one fit: its cut, its gaps, why it holds or fails, limiting season and how to fix it.

use super::curve::Curve;
use super::evaluate::FitOutcome;
use super::findings::FitFinding;
use super::fits::{self, FitJudgement};
use super::humidity::Steady;
use super::remedies::WhatIf;
use super::study::Study;
use super::timeline::Phase;
use crate::chance::{HOLDS_PERCENT, InputBins, Verdict, in_hundred};
use crate::joint::{Axis, Fit, JointPlan, PartId};
use crate::units::Length;
use crate::units::notation::shown;

/// What the finding of one fit is made of.
pub(super) struct FitView<'a> {
    pub(super) joint: &'a JointPlan,
    pub(super) fit: &'a Fit,
    pub(super) index: usize,
    pub(super) curves: &'a [Curve],
    pub(super) bins: &'a InputBins,
    pub(super) bench: &'a WhatIf<'a>,
}

impl Study<'_> {
    pub(super) fn fit(&self, view: &FitView<'_>) -> FitFinding {
        let FitView {
            joint, fit, index, ..
        } = *view;
        let prepared = self.prepared;
        let outcome = &self.middle.fits[index];
        let judged = &self.judged[index];
        let cut_mm = judged.cut.mm();
        let cut_day = prepared.cut_day(joint);
        let verdict = Verdict::of_chance(judged.holds);
        let min = judged.min.about(Length::from_mm_unchecked(outcome.min_mm));
        let max = judged.max.about(Length::from_mm_unchecked(outcome.max_mm));
        let always = fit.when == crate::joint::When::Always;
        let home = fit.part.first().map(|term| {
            view.bench
                .airs
                .year(prepared.parts[term.part.0].home)
                .mean()
        });
        let at_cut = |part: PartId, axis: Axis| self.workspace.motion.ratio(part, axis, cut_day);
        let steady = home
            .filter(|_| always)
            .map(|home| Steady::new(view.curves, fit, cut_mm, &at_cut, home));
        let survives = steady.as_ref().and_then(Steady::survives);
        let fails = |end: usize| {
            let (steady, range) = (steady.as_ref()?, survives?);
            steady
                .fails(range[end].percent(), end == 1)
                .map(str::to_owned)
        };
        let remedies = if verdict == Verdict::Holds {
            Vec::new()
        } else {
            view.bench.remedies(joint, fit, cut_mm, judged.holds)
        };
        FitFinding {
            joint: fit.name.clone(),
            kind: joint.kind,
            cut: fit.words.cut,
            dimension: fit.words.dimension,
            size: judged.cut,
            cut_given: fit.given.is_some(),
            cut_on: self.date(cut_day),
            gap: fit.words.gap.clone(),
            gap_today: Length::from_mm_unchecked(fit.gap_mm(
                &self.workspace.motion,
                cut_day,
                cut_day,
                cut_mm,
            )),
            gap_allowed_min: fit.min,
            gap_allowed_max_mm: fits::allowed_max(fit, judged.cut),
            gap_min: min,
            gap_min_on: self.date(outcome.min_at),
            gap_max: max,
            gap_max_on: self.date(outcome.max_at),
            held_min_mm: fits::held_min(fit, outcome, cut_mm),
            survives_humidity_percent: survives,
            too_tight: fit.words.too_tight.clone(),
            too_loose: fit.words.too_loose.clone(),
            fails_dry: fails(0),
            fails_wet: fails(1),
            holds_chance: judged.holds,
            too_tight_chance: judged.tight,
            too_loose_chance: judged.loose,
            verdict,
            reason: self.fit_reason(fit, judged, outcome),
            bound_by: self.bound_by(fit, judged, outcome),
            first_winter: self.first_winter(view, cut_mm),
            remedies,
            matters_most: self.matters_most(view, cut_mm),
        }
    }

    fn fit_reason(&self, fit: &Fit, judged: &FitJudgement, outcome: &FitOutcome) -> String {
        let words = &fit.words;
        let mut given = Vec::new();
        if judged.tight.percent() >= 100.0 - HOLDS_PERCENT {
            given.push(format!(
                "{} (chance {}), worst around {}",
                words.too_tight,
                in_hundred(judged.tight),
                self.date(outcome.min_at)
            ));
        }
        if judged.loose.percent() >= 100.0 - HOLDS_PERCENT && !words.too_loose.is_empty() {
            given.push(format!(
                "{} (chance {}), worst around {}",
                words.too_loose,
                in_hundred(judged.loose),
                self.date(outcome.max_at)
            ));
        }
        if given.is_empty() {
            format!(
                "it stays within its limits (chance {})",
                in_hundred(judged.holds)
            )
        } else {
            given.join("; ")
        }
    }

    /// The time that binds a fit: the day on which it is nearest to failing, named after the moisture of its part.
    fn bound_by(&self, fit: &Fit, judged: &FitJudgement, outcome: &FitOutcome) -> Option<String> {
        if fit.when == crate::joint::When::Assembly {
            return None;
        }
        let tight = match judged.tight.total_cmp(&judged.loose) {
            std::cmp::Ordering::Equal => outcome.spare_tight_mm <= outcome.spare_loose_mm,
            order => order.is_gt(),
        };
        let day = if tight {
            outcome.min_at
        } else {
            outcome.max_at
        };
        let track = &self.workspace.tracks[fit.part.first()?.part.0].mean_percent;
        let settled = &track[self.prepared.timeline.settled()..];
        let mean = settled.iter().sum::<f64>() / settled.len() as f64;
        let season = if track[day] < mean {
            "driest"
        } else {
            "wettest"
        };
        let phase = match self.prepared.timeline.phase(day) {
            Phase::Shop => "before delivery",
            Phase::FirstYear => "in the first year at home",
            Phase::Settled => "every year",
        };
        Some(format!(
            "the {season} time, {phase}, around {}",
            self.date(day)
        ))
    }

    /// What the first year at home does that later ones do not.
    fn first_winter(&self, view: &FitView<'_>, cut_mm: f64) -> Option<String> {
        const WORTH_MM: f64 = 0.1;
        let FitView { joint, fit, .. } = *view;
        if fit.when == crate::joint::When::Assembly {
            return None;
        }
        let timeline = &self.prepared.timeline;
        let cut = self.prepared.cut_day(joint);
        let extremes = |judged: std::ops::Range<usize>| {
            fit.extremes(
                &self.workspace.motion,
                &crate::joint::Days { cut, judged },
                cut_mm,
            )
        };
        let first = extremes(timeline.delivered().max(cut)..timeline.settled())?;
        let later = extremes(timeline.settled()..timeline.days())?;
        let wider = first.max.gap_mm - later.max.gap_mm;
        let tighter = later.min.gap_mm - first.min.gap_mm;
        if wider.max(tighter) < WORTH_MM {
            return None;
        }
        let (mm, day, how) = if wider > tighter {
            (wider, first.max.day, "wider")
        } else {
            (tighter, first.min.day, "tighter")
        };
        Some(format!(
            "in the first year the gap goes {} {how} than in any later one, around {}",
            shown(Length::from_mm_unchecked(mm), self.prepared.units),
            self.date(day)
        ))
    }
}
