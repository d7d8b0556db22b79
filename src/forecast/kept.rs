//! The draws of a forecast, kept for one that asks about nearly the same job: what hangs on nothing that was changed is not drawn
//! again.

use super::draw_conditions::MoistureHistory;
use super::evaluate::DaySet;
use super::prepare::Prepared;
use super::samples::Samples;
use super::sampling::Inputs;
use crate::joint::{BondPlan, Fit, JointPlan};
use std::sync::Arc;

/// Answers that are kept from so many forecasts at most; then all are drawn again.
const MOST_DRAWN: usize = 12;

/// What the draws of a forecast were made of, and what they gave.
#[derive(Debug)]
pub(super) struct KeptDraws {
    pub(super) seed: u64,
    pub(super) draws: u32,
    pub(super) inputs: Inputs,
    pub(super) set: DaySet,
    pub(super) prepared: Prepared,
    /// The cuts that the draws were made about, mm.
    pub(super) nominal_mm: Vec<f64>,
    pub(super) samples: Samples,
}

/// What is to be drawn again, by places.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(super) struct Changed {
    pub(super) parts: Vec<usize>,
    pub(super) fits: Vec<usize>,
    pub(super) bonds: Vec<usize>,
}

impl KeptDraws {
    /// What another forecast is to draw again; `None` where that is everything.
    pub(super) fn changed(&self, now: &Self) -> Option<Changed> {
        let (old, new) = (&self.prepared, &now.prepared);
        let alike = self.seed == now.seed
            && self.draws == now.draws
            && self.set == now.set
            && old.timeline == new.timeline
            && old.assembled == new.assembled
            && old.parts.len() == new.parts.len()
            && shape(old).eq(shape(new))
            && self.samples.drawn_times() < MOST_DRAWN
            && self.inputs.draws_as(&now.inputs);
        if !alike {
            return None;
        }
        let stock = |prepared: &Prepared, part: usize| -> Arc<MoistureHistory> {
            Arc::clone(&prepared.stocks[prepared.parts[part].stock])
        };
        let other: Vec<bool> = (0..old.parts.len())
            .map(|part| {
                old.parts[part] != new.parts[part]
                    || !stock(old, part).is_that_of(&stock(new, part))
            })
            .collect();
        let pairs = || old.joints.iter().zip(&new.joints);
        let days = |(a, b): (&JointPlan, &JointPlan)| old.cut_day(a) == new.cut_day(b);
        let fits = pairs().flat_map(|(a, b)| {
            let same_day = days((a, b));
            a.fits
                .iter()
                .zip(&b.fits)
                .map(move |(a, b)| (a, b, same_day))
        });
        let same_cut = |at: usize| self.nominal_mm[at].to_bits() == now.nominal_mm[at].to_bits();
        let fit_changed = |(at, (a, b, same_day)): (usize, (&Fit, &Fit, bool))| {
            let moved = !same_day || a != b || !same_cut(at) || b.parts().any(|part| other[part.0]);
            moved.then_some(at)
        };
        let bonds = pairs().flat_map(|(a, b)| {
            let same_day = days((a, b));
            a.bonds
                .iter()
                .zip(&b.bonds)
                .map(move |(a, b)| (a, b, same_day))
        });
        let bond_changed = |(at, (a, b, same_day)): (usize, (&BondPlan, &BondPlan, bool))| {
            let parts = [b.moves.part.0, b.holds.part.0];
            let moved = !same_day || a != b || parts.iter().any(|part| other[*part]);
            moved.then_some(at)
        };
        Some(Changed {
            fits: fits.enumerate().filter_map(fit_changed).collect(),
            bonds: bonds.enumerate().filter_map(bond_changed).collect(),
            parts: (0..other.len()).filter(|part| other[*part]).collect(),
        })
    }
}

/// How many fits and bonds each joint has.
fn shape(prepared: &Prepared) -> impl Iterator<Item = (usize, usize)> + '_ {
    let count = |joint: &JointPlan| (joint.fits.len(), joint.bonds.len());
    prepared.joints.iter().map(count)
}

impl Changed {
    /// Whether nothing is.
    pub(super) const fn is_nothing(&self) -> bool {
        self.parts.is_empty() && self.fits.is_empty() && self.bonds.is_empty()
    }

    /// The job with only what is to be drawn again.
    pub(super) fn of(&self, prepared: &Prepared) -> Prepared {
        let (mut fits, mut bonds) = (0.., 0..);
        let mut joints = Vec::new();
        let mut looked_at = self.parts.clone();
        for joint in &prepared.joints {
            let mut asked = JointPlan {
                housings: Vec::new(),
                fits: Vec::new(),
                bonds: Vec::new(),
                cut_on: Some(prepared.timeline.date(prepared.cut_day(joint))),
                ..joint.clone()
            };
            for (fit, place) in joint.fits.iter().zip(&mut fits) {
                if self.fits.binary_search(&place).is_ok() {
                    looked_at.extend(fit.parts().map(|part| part.0));
                    asked.fits.push(fit.clone());
                }
            }
            for (bond, place) in joint.bonds.iter().zip(&mut bonds) {
                if self.bonds.binary_search(&place).is_ok() {
                    looked_at.extend([bond.moves.part.0, bond.holds.part.0]);
                    asked.bonds.push(bond.clone());
                }
            }
            joints.push(asked);
        }
        looked_at.sort_unstable();
        looked_at.dedup();
        Prepared {
            looked_at,
            asked: self.parts.clone(),
            joints,
            ..prepared.clone()
        }
    }
}
