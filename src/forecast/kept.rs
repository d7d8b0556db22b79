//! The draws and findings of a forecast, kept for one that asks about nearly the same job: what hangs on nothing that was changed
//! is not drawn, judged or worked out again.

use super::airs::Airs;
use super::curves::Curves;
use super::draw_conditions::MoistureHistory;
use super::evaluate::DaySet;
use super::findings::{BondFinding, FitFinding, PartFinding};
use super::fits::FitJudgement;
use super::grid_check::GridError;
use super::part_model::PartModel;
use super::prepare::Prepared;
use super::samples::Samples;
use super::sampling::Inputs;
use crate::job::{Job, Part};
use crate::joint::{BondPlan, Fit, JointPlan};
use crate::species::SpeciesTable;
use std::sync::{Arc, OnceLock};

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
    /// Each fit judged over them.
    pub(super) judged: Vec<FitJudgement>,
    /// What the forecast found, once it came to its end.
    pub(super) found: OnceLock<Found>,
}

/// What a forecast found of its parts and joints, and what that hangs on beside the draws.
#[derive(Debug)]
pub(super) struct Found {
    premises: Premises,
    parts: Vec<PartFinding>,
    fits: Vec<FitFinding>,
    bonds: Vec<BondFinding>,
    pub(super) curves: Curves,
    pub(super) grid_error: Option<GridError>,
}

/// What every finding may hang on, beside what is in the job made ready.
#[derive(Debug, Clone)]
pub(super) struct Premises {
    airs: Airs,
    species: SpeciesTable,
    wood_fixed: bool,
    finish_fixed: bool,
}

impl Premises {
    pub(super) fn of(job: &Job, species: &SpeciesTable, airs: &Airs) -> Self {
        Self {
            airs: airs.clone(),
            species: species.clone(),
            wood_fixed: job.wood_fixed,
            finish_fixed: job.finish_fixed,
        }
    }

    fn are_those_of(&self, other: &Self) -> bool {
        self.wood_fixed == other.wood_fixed
            && self.finish_fixed == other.finish_fixed
            && self.species.is_that_of(&other.species)
            && self.airs == other.airs
    }
}

impl Found {
    pub(super) fn new(
        premises: Premises,
        (parts, fits, bonds): (&[PartFinding], &[FitFinding], &[BondFinding]),
        curves: &Curves,
        grid_error: Option<GridError>,
    ) -> Self {
        Self {
            premises,
            parts: parts.to_vec(),
            fits: fits.to_vec(),
            bonds: bonds.to_vec(),
            curves: curves.clone(),
            grid_error,
        }
    }
}

/// What was found before and still holds.
pub(super) struct Known<'a> {
    pub(super) found: &'a Found,
    /// What is to be found again.
    pub(super) changed: Changed,
}

impl Known<'_> {
    /// The finding on a part, if it still holds.
    pub(super) fn part(&self, at: usize, given: &Part) -> Option<&PartFinding> {
        let found = kept(&self.found.parts, &self.changed.parts, at)?;
        let alike = found.name == given.name
            && found.count == given.count
            && found.moisture == given.moisture
            && found.measured_on == given.measured;
        alike.then_some(found)
    }

    /// The finding on a fit, if it still holds.
    pub(super) fn fit(&self, at: usize) -> Option<&FitFinding> {
        kept(&self.found.fits, &self.changed.fits, at)
    }

    /// The finding on a bond, if it still holds.
    pub(super) fn bond(&self, at: usize) -> Option<&BondFinding> {
        kept(&self.found.bonds, &self.changed.bonds, at)
    }
}

/// What was found at a place, unless that is among the changed ones, which are in their order.
pub(super) fn kept<'a, T>(found: &'a [T], changed: &[usize], at: usize) -> Option<&'a T> {
    changed.binary_search(&at).is_err().then(|| found.get(at))?
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

impl KeptDraws {
    /// What was found then and holds for another forecast too, of which it is known what was drawn again; `None` where what all findings
    /// hang on is another.
    pub(super) fn known<'a>(
        &'a self,
        now: &Self,
        drawn_again: &Changed,
        premises: &Premises,
    ) -> Option<Known<'a>> {
        let found = self.found.get()?;
        let (old, new) = (&self.prepared, &now.prepared);
        let alike = found.premises.are_those_of(premises)
            && old.split_spread == new.split_spread
            && old.narrowed == new.narrowed
            && old.units == new.units
            && old.stocks.len() == new.stocks.len()
            && (old.stocks.iter().zip(&new.stocks)).all(|(old, new)| old.is_that_of(new))
            && (old.parts.iter().zip(&new.parts)).all(|(old, new)| lives_as(old, new));
        if !alike {
            return None;
        }
        // What would narrow an input is in no draw, but is said of every fit that hangs on it.
        let said_otherwise = self.inputs.said_otherwise(&now.inputs);
        let hangs = |fit: &Fit| {
            let parts: Vec<usize> = fit.parts().map(|part| part.0).collect();
            let behind = now.inputs.behind(new, &parts);
            behind.iter().any(|input| said_otherwise.contains(input))
        };
        // A joint is found again as a whole.
        let mut changed = Changed {
            parts: drawn_again.parts.clone(),
            ..Changed::default()
        };
        let (mut fits, mut bonds) = (0, 0);
        for (old, new) in old.joints.iter().zip(&new.joints) {
            let (own_fits, own_bonds) =
                (fits..fits + new.fits.len(), bonds..bonds + new.bonds.len());
            (fits, bonds) = (own_fits.end, own_bonds.end);
            let again = drawn_again.fits.iter().any(|at| own_fits.contains(at))
                || drawn_again.bonds.iter().any(|at| own_bonds.contains(at))
                || !alike_but_its_place(old, new)
                || (!said_otherwise.is_empty() && new.fits.iter().any(hangs));
            if again {
                changed.fits.extend(own_fits);
                changed.bonds.extend(own_bonds);
            }
        }
        Some(Known { found, changed })
    }
}

/// Whether two parts live through the very same moisture.
fn lives_as(one: &PartModel, other: &PartModel) -> bool {
    one.stock == other.stock
        && one.measured == other.measured
        && one.finished == other.finished
        && one.measured_percent.to_bits() == other.measured_percent.to_bits()
}

/// Whether two joints differ at most in where the file tells them.
fn alike_but_its_place(one: &JointPlan, other: &JointPlan) -> bool {
    let other = JointPlan {
        span: one.span.clone(),
        ..other.clone()
    };
    *one == other
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
