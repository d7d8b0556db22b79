//! How far the forces, stresses and sags of a standing piece spread: its beams solved again with the stiffness that each of the
//! first draws gives its parts, the draws that all other answers rest on.

use super::findings::InputShare;
use super::prepare::Prepared;
use super::sampling::Inputs;
use crate::carcass::keys::{
    HeldPart, PartWood, ShelfFinding, StraightenFinding, answer_shelves, hold_parts, load_parts,
    tied_panels, tied_shelves,
};
use crate::carcass::{DividerForce, HeldPanel, JointLoad, LASTING_STRENGTH, LoadedShelf, keeps_to};
use crate::chance::{
    Band, Contribution, HOLDS_PERCENT, InputBins, Verdict, chance_percent, normal_chance, quantile,
};
use crate::job::Job;
use crate::joint::bond::{SPLIT_FAILS, SPLIT_HOLDS};
use crate::joint::{PartFacts, PartId};
use crate::numerics::Deadline;
use crate::units::{Chance, Force, Length, Stress};
use rayon::prelude::*;
use serde::Serialize;

/// Draws behind the bands: the answers are smooth in a few stiffnesses, so that so many evenly filling draws do.
const DRAWS: usize = 512;

/// How the force at one support spreads.
#[derive(Debug, Clone, PartialEq)]
pub struct SupportSpread {
    /// The force of the support on the panel, pressing against the crown positive.
    pub force: Band<Force>,
    /// The same after months.
    pub after_months: Band<Force>,
    /// Chance that its joint breaks, none where no joint is given or nothing pulls on it.
    pub breaks: Option<Chance>,
}

/// How the force of one divider spreads.
#[derive(Debug, Clone, PartialEq)]
pub struct DividerSpread {
    /// The force along it, pressed positive.
    pub push: Band<Force>,
    /// Chances that its joints above and below break.
    pub breaks: [Option<Chance>; 2],
}

/// How the answers for a cup that is flattened spread.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct AcrossSpread {
    /// The residual bow left over.
    pub leftover: Band<Length>,
    /// The maximum bending stress.
    pub stress: Band<Stress>,
    /// The forces of its fastenings.
    pub forces: Vec<Band<Force>>,
}

/// How the answers for one panel that is held straight spread.
#[derive(Debug, Clone, PartialEq)]
pub struct StraightenSpread {
    /// The supports, in their order.
    pub supports: Vec<SupportSpread>,
    /// The dividers, in their order.
    pub dividers: Vec<DividerSpread>,
    /// The residual bow left over.
    pub leftover: Band<Length>,
    /// The maximum bending stress.
    pub stress: Band<Stress>,
    /// The bow if freed after months.
    pub bow_if_freed: Band<Length>,
    /// How much stiffer it is than its wood in the middle; every clamp's force goes with it.
    pub stiffness: Band,
    /// Residual bow, stress and forces of its cup flattened, where given.
    pub across: Option<AcrossSpread>,
    /// Chance that bending breaks it.
    pub breaks: Chance,
    /// The verdict of the worst of its joints and of the wood itself.
    pub verdict: Verdict,
    /// Which stiffness matters most to its stress.
    pub matters_most: Vec<InputShare>,
}

/// How the answers for one shelf spread.
#[derive(Debug, Clone, PartialEq)]
pub struct ShelfSpread {
    /// The sag at once.
    pub sag: Band<Length>,
    /// In the long run.
    pub sag_long_term: Band<Length>,
    /// The maximum bending stress.
    pub stress: Band<Stress>,
    /// The thickness at which it keeps to the sag allowed in [`HOLDS_PERCENT`] of 100 draws; none for a shelf tied to another
    /// or lipped.
    pub thickness_that_holds: Option<Length>,
    /// Chance that it keeps to the sag allowed.
    pub keeps: Chance,
    /// Chance that it breaks under a load of years.
    pub breaks: Chance,
    /// The verdict.
    pub verdict: Verdict,
    /// Which stiffness matters most to its sag.
    pub matters_most: Vec<InputShare>,
}

/// What the spreads are worked out from.
pub(super) struct Bending<'a> {
    job: &'a Job,
    prepared: &'a Prepared,
    inputs: &'a Inputs,
    facts: &'a [PartFacts],
    bins: InputBins,
    draws: usize,
    deadline: Deadline<'a>,
}

/// Chance that a demand exceeds a strength that spreads log-normally about 1 with a coefficient of variation, percent.
fn breaks(demand: f64, cov: f64) -> f64 {
    if demand <= 0.0 {
        return 0.0;
    }
    // A strength that is known for sure is a spread of next to nothing.
    let sigma = libm::log1p(cov * cov).sqrt().max(1e-6);
    100.0 * normal_chance(libm::log(demand) / sigma)
}

/// The mean of chances in percent.
fn mean(values: impl ExactSizeIterator<Item = f64>) -> Chance {
    let count = values.len().max(1) as f64;
    Chance::computed_percent(values.sum::<f64>() / count)
}

impl<'a> Bending<'a> {
    pub(super) fn new(
        job: &'a Job,
        prepared: &'a Prepared,
        inputs: &'a Inputs,
        facts: &'a [PartFacts],
        deadline: Deadline<'a>,
    ) -> Self {
        let draws = DRAWS.min(job.draws as usize);
        Self {
            job,
            prepared,
            inputs,
            facts,
            bins: inputs.bins(job.seed, draws),
            draws,
            deadline,
        }
    }

    /// Solves every draw; draws in which some beam cannot be solved are left out, and all that come after the deadline.
    fn solved<T: Send>(
        &self,
        solve: impl Fn(&dyn Fn(PartId) -> PartWood) -> Option<T> + Sync,
    ) -> Vec<(f64, Vec<f64>, T)> {
        self.inputs
            .first_draws(self.job.seed, self.draws)
            .into_par_iter()
            .filter_map(|draw| {
                self.deadline.check().ok()?;
                let wood = |part: PartId| {
                    PartWood::of(&self.prepared.parts[part.0].species)
                        .stiffer(draw.parts[part.0].stiffness)
                };
                let found = solve(&wood)?;
                let stiffness = draw.parts.iter().map(|part| part.stiffness).collect();
                Some((draw.remains, stiffness, found))
            })
            .collect()
    }

    fn ranked(&self, parts: &[usize], answers: &[f64]) -> Vec<InputShare> {
        if answers.len() != self.draws {
            return Vec::new();
        }
        let behind = self.inputs.stiffness_of(parts);
        // What hangs on one stiffness alone hangs on it wholly.
        let ranked = match behind[..] {
            [input] => vec![Contribution { input, share: 1.0 }],
            _ => self.bins.rank_of(behind, answers),
        };
        InputShare::given(ranked, self.inputs)
    }

    /// The spreads of all panels held straight, in their order.
    pub(super) fn straighten(&self, found: &[StraightenFinding]) -> Vec<StraightenSpread> {
        if found.is_empty() {
            return Vec::new();
        }
        let plans = &self.job.straighten;
        let draws = self.solved(|wood| hold_parts(plans, self.facts, wood));
        let tied = tied_panels(plans);
        (0..found.len())
            .map(|index| {
                let with = (0..plans.len()).filter(|other| tied[*other] == tied[index]);
                let loose = with.filter(|other| plans[*other].stiffness.is_none());
                let parts: Vec<usize> = loose.map(|other| plans[other].part.0).collect();
                let of: Vec<(f64, f64, &HeldPart)> = draws
                    .iter()
                    .map(|(remains, stiffness, all)| {
                        let own = match plans[index].stiffness {
                            Some(_) => 1.0,
                            None => stiffness[plans[index].part.0],
                        };
                        (*remains, own, &all[index])
                    })
                    .collect();
                self.panel(&found[index], &of, &parts)
            })
            .collect()
    }

    fn panel(
        &self,
        middle: &StraightenFinding,
        draws: &[(f64, f64, &HeldPart)],
        parts: &[usize],
    ) -> StraightenSpread {
        let spreads = &self.job.chance.spreads;
        let band = |value: &dyn Fn(f64, f64, &HeldPart) -> f64| {
            let mut answers: Vec<f64> = draws
                .iter()
                .map(|(remains, stiffness, held)| value(*remains, *stiffness, held))
                .collect();
            Band::of(&mut answers).unwrap_or(Band::exactly(f64::NAN))
        };
        // The pull relaxes about as fast as wood under a lasting load loses strength, both to some six or seven tenths
        // (Wood Handbook ch. 5, from memory): the pull of the first day is held against the strength of a short test.
        let joint = |load: Option<&JointLoad>, of: &dyn Fn(&HeldPart) -> Option<JointLoad>| {
            load.map(|_| {
                mean(draws.iter().map(|(_, _, held)| {
                    of(held).map_or(0.0, |load| breaks(load.share, spreads.strength_cov))
                }))
            })
        };
        let supports: Vec<SupportSpread> = (0..middle.held.supports.len())
            .map(|at| {
                let force = |held: &HeldPart| held.held.supports[at].against_crown.newtons();
                SupportSpread {
                    force: band(&|_, _, held| force(held)).map(Force::computed_newtons),
                    after_months: band(&|remains, _, held| remains * force(held))
                        .map(Force::computed_newtons),
                    breaks: joint(middle.held.supports[at].joint.as_ref(), &|held| {
                        held.held.supports[at].joint
                    }),
                }
            })
            .collect();
        let dividers: Vec<DividerSpread> = (0..middle.dividers.len())
            .map(|at| {
                let of = |held: &HeldPart| -> DividerForce { held.dividers[at].clone() };
                DividerSpread {
                    push: band(&|_, _, held| of(held).push.newtons()).map(Force::computed_newtons),
                    breaks: [0, 1].map(|end| {
                        joint(middle.dividers[at].joints[end].as_ref(), &|held| {
                            held.dividers[at].joints[end]
                        })
                    }),
                }
            })
            .collect();
        let strength = middle.strength.mpa().max(1e-9);
        let stress = |held: &HeldPanel| held.stress.mpa();
        let bending = mean(draws.iter().map(|(_, _, held)| {
            breaks(stress(&held.held) / strength, spreads.bending_strength_cov)
        }));
        let mut verdict = by_breaking(bending);
        let loads = middle
            .held
            .supports
            .iter()
            .filter_map(|support| support.joint.as_ref())
            .chain(
                middle
                    .dividers
                    .iter()
                    .flat_map(|one| one.joints.iter().flatten()),
            );
        // The share at the middle draw is held against its limits too: they also stand for what the draws do not know.
        for load in loads {
            verdict = verdict.and(load.verdict);
        }
        for chance in supports
            .iter()
            .filter_map(|support| support.breaks)
            .chain(dividers.iter().flat_map(|one| one.breaks).flatten())
        {
            verdict = verdict.and(by_breaking(chance));
        }
        let stresses: Vec<f64> = draws
            .iter()
            .map(|(_, _, held)| stress(&held.held))
            .collect();
        StraightenSpread {
            supports,
            dividers,
            leftover: band(&|_, _, held| held.held.leftover.mm()).map(Length::from_mm_unchecked),
            stress: band(&|_, _, held| stress(&held.held)).map(Stress::computed_mpa),
            bow_if_freed: band(&|remains, _, held| remains * held.held.panel.bow().mm())
                .map(Length::from_mm_unchecked),
            stiffness: band(&|_, stiffness, _| stiffness),
            across: middle.across.as_ref().map(|across| {
                let of = |value: &dyn Fn(&HeldPanel) -> f64| {
                    band(&|_, _, held| held.across.as_ref().map_or(0.0, value))
                };
                let forces = (0..across.supports.len())
                    .map(|at| {
                        of(&|held| held.supports[at].against_crown.newtons())
                            .map(Force::computed_newtons)
                    })
                    .collect();
                AcrossSpread {
                    leftover: of(&|held| held.leftover.mm()).map(Length::from_mm_unchecked),
                    stress: of(&stress).map(Stress::computed_mpa),
                    forces,
                }
            }),
            breaks: bending,
            verdict,
            matters_most: self.ranked(parts, &stresses),
        }
    }

    /// The spreads of all shelves, in their order.
    pub(super) fn shelves(&self, found: &[ShelfFinding]) -> Vec<ShelfSpread> {
        if found.is_empty() {
            return Vec::new();
        }
        let plans = &self.job.shelves;
        let draws = self.solved(|wood| load_parts(plans, self.facts, wood));
        let tied = tied_shelves(plans);
        let cov = self.job.chance.spreads.bending_strength_cov;
        found
            .iter()
            .enumerate()
            .map(|(index, middle)| {
                let loaded: Vec<&LoadedShelf> =
                    draws.iter().map(|(_, _, all)| &all[index]).collect();
                let band = |value: &dyn Fn(&LoadedShelf) -> f64| {
                    let mut answers: Vec<f64> = loaded.iter().map(|shelf| value(shelf)).collect();
                    Band::of(&mut answers).unwrap_or(Band::exactly(f64::NAN))
                };
                let keeps = |shelf: &&LoadedShelf| keeps_to(shelf, plans[index].allowed);
                let keeps = Chance::computed_percent(
                    chance_percent(loaded.iter().map(keeps)).unwrap_or(f64::NAN),
                );
                let lasting = LASTING_STRENGTH * middle.strength.mpa().max(1e-9);
                let breaking = mean(
                    loaded
                        .iter()
                        .map(|shelf| breaks(shelf.stress.mpa() / lasting, cov)),
                );
                let with = (0..plans.len()).filter(|other| tied[*other] == tied[index]);
                let loose = with.filter(|other| plans[*other].stiffness.is_none());
                let parts: Vec<usize> = loose.map(|other| plans[other].part.0).collect();
                let sags: Vec<f64> = loaded.iter().map(|shelf| shelf.sag.mm()).collect();
                // The sag falls as the stiffness rises: the limpest shelf that is still to hold decides.
                let limp = plans[index].stiffness.map_or_else(
                    || {
                        let mut own: Vec<f64> = draws
                            .iter()
                            .map(|(_, stiffness, _)| stiffness[plans[index].part.0])
                            .collect();
                        quantile(&mut own, 1.0 - HOLDS_PERCENT / 100.0)
                    },
                    |_| Some(1.0),
                );
                let thickness_that_holds = limp.and_then(|factor| {
                    let wood = |part: PartId| {
                        PartWood::of(&self.prepared.parts[part.0].species).stiffer(factor)
                    };
                    let one = std::slice::from_ref(&plans[index]);
                    middle.min_thickness?;
                    answer_shelves(one, self.facts, wood)
                        .pop()?
                        .ok()?
                        .min_thickness
                });
                ShelfSpread {
                    thickness_that_holds,
                    sag: band(&|shelf| shelf.sag.mm()).map(Length::from_mm_unchecked),
                    sag_long_term: band(&|shelf| shelf.sag_long_term.mm())
                        .map(Length::from_mm_unchecked),
                    stress: band(&|shelf| shelf.stress.mpa()).map(Stress::computed_mpa),
                    keeps,
                    breaks: breaking,
                    verdict: Verdict::of_chance(keeps).and(by_breaking(breaking)),
                    matters_most: self.ranked(&parts, &sags),
                }
            })
            .collect()
    }
}

/// What breaks is judged by the limits of what splits.
fn by_breaking(chance: Chance) -> Verdict {
    Verdict::of_demand(chance, SPLIT_HOLDS, SPLIT_FAILS)
}
