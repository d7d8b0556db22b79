//! Which inputs matter most, and which measurement is worth taking next.

use super::evaluate::FitOutcome;
use super::findings::{FitFinding, GIVEN_SHARE, InputShare};
use super::fit_findings::FitView;
use super::study::Study;
use crate::units::Share;

impl Study<'_> {
    pub(super) fn matters_most(&self, view: &FitView<'_>, cut_mm: f64) -> Vec<InputShare> {
        let FitView {
            fit, index, bins, ..
        } = *view;
        let outcomes = self.samples.fit(index);
        let judged = &self.judged[index];
        let binding: fn(&FitOutcome, f64) -> f64 =
            if judged.loose > judged.tight && fit.max != crate::joint::MaxGap::Any {
                FitOutcome::loose_for
            } else {
                FitOutcome::tight_for
            };
        let answers: Vec<f64> = outcomes
            .iter()
            .map(|outcome| binding(outcome, cut_mm))
            .collect();
        if answers.iter().any(|answer| !answer.is_finite()) {
            return Vec::new();
        }
        let parts: Vec<usize> = fit.parts().map(|part| part.0).collect();
        let mut ranked = bins.rank_of(self.inputs.behind(self.prepared, &parts), &answers);
        ranked.truncate(3);
        InputShare::given(ranked, self.inputs)
    }
}

/// A measurement that leaves more of a band than this is not worth taking, percent.
const WORTH_MEASURING: f64 = 98.0;

/// The measurements worth taking next: each input by what it contributes to the fits that are not sure, and how far
/// measuring it would narrow their bands on the whole. What no measurement narrows is not among them.
pub(super) fn measure_next(fits: &[FitFinding]) -> Vec<InputShare> {
    let mut shares: Vec<InputShare> = Vec::new();
    let unsure = |fit: &FitFinding| (100.0 - fit.holds_chance.percent()).max(0.0) / 100.0;
    let whole: f64 = fits.iter().map(unsure).sum();
    if whole <= 0.0 {
        return shares;
    }
    for fit in fits {
        let weight = unsure(fit) / whole;
        for share in &fit.matters_most {
            // A fit that does not hang on an input keeps its band.
            let (adds, narrows) = (
                weight * share.share,
                weight * (share.narrows_to - Share::WHOLE),
            );
            match shares.iter_mut().find(|known| known.input == share.input) {
                Some(known) => {
                    known.share += adds;
                    known.narrows_to += narrows;
                }
                None => shares.push(InputShare {
                    share: adds,
                    narrows_to: Share::WHOLE + narrows,
                    ..share.clone()
                }),
            }
        }
    }
    shares.retain(|share| {
        share.share.percent() >= GIVEN_SHARE && share.narrows_to.percent() <= WORTH_MEASURING
    });
    shares.sort_by(|a, b| a.narrows_to.total_cmp(&b.narrows_to));
    shares.truncate(5);
    shares
}
