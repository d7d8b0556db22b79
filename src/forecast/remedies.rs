//! What would fix a fit: each way is forecast again, never guessed.

use super::airs::Airs;
use super::belief::ShrinkageSpread;
use super::bonds;
use super::draw::Draw;
use super::draw_conditions::MoistureHistory;
use super::evaluate::{BondOutcome, DaySet, Outcome, Workspace, days_of, evaluate, move_parts};
use super::findings::{GapsThen, PartChange, PartChangeTo, Remedy, RemedyKind};
use super::fits::{self, FitJudgement, allowed_max, choose_cut, judge};
use super::memory::Memory;
use super::prepare::{Prepared, stock_key};
use super::sampling::Inputs;
use crate::air::equilibrium_moisture;
use crate::joint::{Aim, BondPlan, Fit, JointPlan, MaxGap, PartId, Size, Term};
use crate::moisture::{FaceExchange, Finish, GridRange};
use crate::movement::{Rings, Sawn, Section, Shrinkage};
use crate::species::SpeciesTable;
use crate::units::notation::{percent_shown, shown, the};
use crate::units::{Chance, Curvature, Length, MoistureContent};
use std::sync::{Arc, Mutex, PoisonError};

/// Draws behind a remedy's chance.
pub(super) const DRAWS: usize = 256;
/// Draws that a remedy is tried with first, and how much chance it may then miss of what it must gain: five standard
/// deviations of a chance of so many draws where it is one half, less than that where they fill evenly.
const FIRST_DRAWS: usize = 64;
const MAY_MISS: Chance = Chance::computed_percent(30.0);
/// A remedy must gain at least so much chance to be given.
const WORTH_TELLING: Chance = Chance::computed_percent(5.0);
/// A finish that slows moisture well and that any shop has.
const FINISH: (&str, u32) = ("urethane varnish", 3);
/// How much narrower the part is tried.
const NARROWER: f64 = 0.75;

/// What a remedy is forecast with.
pub(super) struct WhatIf<'a> {
    /// The job on the days looked at.
    pub prepared: &'a Prepared,
    /// Its inputs.
    pub inputs: &'a Inputs,
    /// The airs.
    pub airs: &'a Airs,
    /// The woods.
    pub species: &'a SpeciesTable,
    /// The days looked at.
    pub set: &'a DaySet,
    /// Whether another wood is out of the question.
    pub wood_fixed: bool,
    /// Whether another finish is out of the question.
    pub finish_fixed: bool,
    /// What was solved before.
    pub memory: &'a Memory,
    /// Its middle draw.
    pub middle: &'a Draw,
    /// The draws of a trial, the first [`DRAWS`] of the job. Made before the fits are looked at side by side: made by the first of
    /// them that asks, with all threads, they would wait for one another.
    pub draws: Vec<Draw>,
    /// Histories solved for a trial.
    pub solved: Mutex<Vec<Arc<MoistureHistory>>>,
}

/// A fit made another way.
struct Tried {
    judged: FitJudgement,
    allowed_max: Option<Length>,
}

impl WhatIf<'_> {
    /// What the draws of a trial make of a changed job; nothing where the first of them are hopeless.
    fn drawn<T>(
        &self,
        changed: &Prepared,
        cuts_mm: &[f64],
        workspace: &mut Workspace,
        answer: impl Fn(&Outcome) -> Option<T>,
        hopeless: impl FnOnce(&[T]) -> bool,
    ) -> Option<Vec<T>> {
        let mut outcome = Outcome::default();
        let mut answers = Vec::with_capacity(self.draws.len());
        let (first, rest) = self.draws.split_at(FIRST_DRAWS.min(self.draws.len()));
        let mut draw = |some: &[Draw], answers: &mut Vec<T>| {
            answers.extend(some.iter().filter_map(|draw| {
                evaluate(changed, draw, self.set, cuts_mm, workspace, &mut outcome);
                answer(&outcome)
            }));
        };
        draw(first, &mut answers);
        if hopeless(&answers) {
            return None;
        }
        draw(rest, &mut answers);
        Some(answers)
    }

    /// The fit of a changed job, judged; nothing where it does not come to hold with so much chance.
    fn try_out(
        &self,
        changed: &Prepared,
        workspace: &mut Workspace,
        at_least: Chance,
    ) -> Option<Tried> {
        let fit = &changed.joints[0].fits[0];
        let near = self.near(changed, workspace);
        let outcomes = self.drawn(
            changed,
            &[near],
            workspace,
            |outcome| outcome.fits.first().copied(),
            |first| {
                let cut = choose_cut(fit, first.iter().copied());
                fits::holds(first.iter().copied(), cut) + MAY_MISS < at_least
            },
        )?;
        let cut = choose_cut(fit, outcomes.iter().copied());
        let judged = judge(outcomes, cut);
        (judged.holds >= at_least).then(|| Tried {
            allowed_max: allowed_max(fit, judged.cut),
            judged,
        })
    }

    /// The cut of the one fit at the middle draw: where the draws are looked at from.
    fn near(&self, changed: &Prepared, workspace: &mut Workspace) -> f64 {
        let joint = &changed.joints[0];
        move_parts(changed, self.middle, self.set, workspace);
        let fit = Fit {
            given: None,
            ..joint.fits[0].clone()
        };
        let days = days_of(changed, joint, &fit, self.set);
        fit.cut_interval(&workspace.motion, &days)
            .choose(fit.aim)
            .or(joint.fits[0].given.map(Length::mm))
            .unwrap_or(0.0)
    }

    /// The job with this fit alone.
    fn alone(&self, joint: &JointPlan, fit: &Fit) -> Prepared {
        let only = JointPlan {
            fits: vec![fit.clone()],
            bonds: Vec::new(),
            ..joint.clone()
        };
        self.prepared.alone(joint, only)
    }

    /// Everything that would fix a fit, in the order in which a maker would take it up. `cut_mm` is its cut and `holds` its chance as it is.
    #[must_use]
    pub(super) fn remedies(
        &self,
        joint: &JointPlan,
        fit: &Fit,
        cut_mm: f64,
        holds: Chance,
    ) -> Vec<Remedy> {
        let base = self.alone(joint, fit);
        let workspace = &mut Workspace::new(&base, self.set);
        let mut found = Vec::new();
        let mut offer =
            |kind: RemedyKind, what: String, change: Option<PartChange>, tried: Tried| {
                let judged = tried.judged;
                found.push(Remedy {
                    kind,
                    what,
                    holds_chance: judged.holds,
                    cut_mm: Some(judged.cut),
                    change,
                    gaps: Some(GapsThen {
                        min: judged.min,
                        max: judged.max,
                        allowed_max: tried.allowed_max,
                    }),
                });
            };
        let enough = holds + WORTH_TELLING;
        if fit.given.is_some()
            && let Some(tried) = self.try_out(&base, workspace, enough)
        {
            offer(
                RemedyKind::Cut,
                format!(
                    "cut the {} {} {} instead",
                    fit.words.cut,
                    self.length(tried.judged.cut),
                    fit.words.dimension
                ),
                None,
                tried,
            );
        }
        if let Some((changed, wood)) = resized(&base, cut_mm)
            && let Some(tried) = self.try_out(&changed, workspace, enough)
        {
            let name = the(&self.prepared.parts[wood.0].facts.name);
            offer(
                RemedyKind::Cut,
                format!(
                    "make {name} {} instead, the {} as it is",
                    self.length(tried.judged.cut),
                    fit.words.cut
                ),
                None,
                tried,
            );
        }
        let Some(mover) = fit.part.first().map(|term| term.part) else {
            return found;
        };
        let name = the(&self.prepared.parts[mover.0].facts.name);
        let (wait, rested) = self.rested(&base, mover);
        let (wood, calmer) = self.calmer(&base, mover);
        let rest = [
            (
                RemedyKind::Wait,
                wait,
                Some(PartChangeTo::Moisture(self.home_moisture(&base, mover))),
                rested,
            ),
            (
                RemedyKind::Finish,
                format!(
                    "finish {name} on both faces with {} coats of {} right after milling",
                    FINISH.1, FINISH.0
                ),
                Some(PartChangeTo::Finish(FINISH.0, FINISH.1)),
                self.finished(&base, mover),
            ),
            (
                RemedyKind::Sawing,
                format!("quartersawn wood for {name}"),
                Some(PartChangeTo::Quartersawn),
                self.quartersawn(&base, mover),
            ),
            (
                RemedyKind::Design,
                format!("make {name} and its opening narrower by a quarter"),
                None,
                narrower(&base, mover),
            ),
            (
                RemedyKind::Wood,
                wood.0,
                wood.1.map(PartChangeTo::Species),
                calmer,
            ),
        ];
        for (kind, what, to, changed) in rest {
            let tried = changed.and_then(|changed| self.try_out(&changed, workspace, enough));
            if let Some(tried) = tried {
                let change = to.map(|to| PartChange { part: mover, to });
                offer(kind, what, change, tried);
            }
        }
        Remedy::by_what_a_maker_would_do(&mut found);
        found
    }

    /// Woods and stock that would let a bond hold as it is designed, forecast again.
    #[must_use]
    pub(super) fn bond_remedies(
        &self,
        joint: &JointPlan,
        bond: &BondPlan,
        split: Chance,
        driest_percent: [f64; 2],
    ) -> Vec<Remedy> {
        let only = JointPlan {
            fits: Vec::new(),
            bonds: vec![bond.clone()],
            ..joint.clone()
        };
        let base = self.prepared.alone(joint, only);
        let workspace = &mut Workspace::new(&base, self.set);
        let mover = bond.moves.part;
        let name = the(&self.prepared.parts[mover.0].facts.name);
        let (wait, rested) = self.rested(&base, mover);
        let (wood, calmer) = self.calmer(&base, mover);
        let ways = [
            (
                RemedyKind::Wait,
                wait,
                Some(PartChangeTo::Moisture(self.home_moisture(&base, mover))),
                rested,
            ),
            (
                RemedyKind::Sawing,
                format!("quartersawn wood for {name}"),
                Some(PartChangeTo::Quartersawn),
                self.quartersawn(&base, mover),
            ),
            (
                RemedyKind::Wood,
                wood.0,
                wood.1.map(PartChangeTo::Species),
                calmer,
            ),
        ];
        let mut found = Vec::new();
        for (kind, what, to, changed) in ways {
            let Some(changed) = changed else { continue };
            let asked = bonds::asked(&changed, bond, driest_percent, [Curvature::ZERO; 2]);
            let splits = |outcomes: &[BondOutcome]| {
                bonds::split_chance(&asked.line, asked.glued(), outcomes).chance()
            };
            let enough = split - WORTH_TELLING;
            let outcomes = self.drawn(
                &changed,
                &[],
                workspace,
                |outcome| outcome.bonds.first().copied(),
                |first| splits(first) - MAY_MISS > enough,
            );
            let Some(then) = outcomes.map(|outcomes| splits(&outcomes)) else {
                continue;
            };
            if then <= enough {
                found.push(Remedy {
                    kind,
                    what,
                    holds_chance: then.otherwise(),
                    cut_mm: None,
                    change: to.map(|to| PartChange { part: mover, to }),
                    gaps: None,
                });
            }
        }
        found
    }

    fn length(&self, length: Length) -> String {
        shown(length, self.prepared.units)
    }

    fn quartersawn(&self, base: &Prepared, part: PartId) -> Option<Prepared> {
        let rings = Sawn::Quarter.rings();
        let mut changed = base.clone();
        let model = Arc::make_mut(&mut changed.parts[part.0]);
        if matches!(model.section.rings, Rings::Straight { angle } if angle.degrees() > 60.0) {
            return None;
        }
        model.section = Section {
            rings,
            ..model.section
        };
        model.boards.clear();
        Some(changed)
    }

    fn finished(&self, base: &Prepared, part: PartId) -> Option<Prepared> {
        if self.finish_fixed {
            return None;
        }
        let finish = Finish::find(FINISH.0, FINISH.1).ok()?;
        let open = FaceExchange::Open(finish);
        let model = &base.parts[part.0];
        let slab = model.slab.with_faces(open, open);
        if slab.key() == model.slab.key() {
            return None;
        }
        // What another fit was tried with is not solved again. Only from the same start: the answer must not hang on which fit came first.
        let key = stock_key(&slab, model);
        let same = |stock: &&Arc<MoistureHistory>| {
            stock.key == key && stock.starts_at(model.measured_percent)
        };
        let solved = || self.solved.lock().unwrap_or_else(PoisonError::into_inner);
        let known = base.stocks.iter().find(same).cloned();
        let known = known.or_else(|| solved().iter().find(same).cloned());
        let history = known.unwrap_or_else(|| {
            let asked = (key.clone(), GridRange::OF_TRIALS);
            let history = base.solved(&slab, model, self.airs, asked, self.memory);
            let history = Arc::new(history.on(self.set.days(), &base.timeline));
            solved().push(Arc::clone(&history));
            history
        });
        let mut changed = base.clone();
        let model = Arc::make_mut(&mut changed.parts[part.0]);
        model.slab = slab;
        model.stock = changed.stocks.len();
        changed.stocks.push(history);
        Some(changed)
    }

    /// The mean EMC of the air that a part goes to.
    fn home_moisture(&self, base: &Prepared, part: PartId) -> MoistureContent {
        equilibrium_moisture(self.airs.year(base.parts[part.0].home).mean())
    }

    fn rested(&self, base: &Prepared, part: PartId) -> (String, Option<Prepared>) {
        let model = &base.parts[part.0];
        let home = self.home_moisture(base, part);
        let words = format!(
            "wait until {} is at {} moisture before it is cut",
            the(&model.facts.name),
            percent_shown(home.percent())
        );
        if (home.percent() - model.measured_percent).abs() < 0.5 {
            return (words, None);
        }
        let mut changed = base.clone();
        Arc::make_mut(&mut changed.parts[part.0]).measured_percent = home.percent();
        (words, Some(changed))
    }

    /// The calmest wood of the cabinet maker's usual ones that moves at most four fifths as much.
    fn calmer(
        &self,
        base: &Prepared,
        part: PartId,
    ) -> ((String, Option<String>), Option<Prepared>) {
        if self.wood_fixed {
            return ((String::new(), None), None);
        }
        const CALM: [&str; 4] = ["Cherry, black", "Mahogany, true", "Teak", "Walnut, black"];
        let model = &base.parts[part.0];
        let limit = 0.8 * model.shrinkage.tangential_percent;
        let calm = CALM
            .iter()
            .filter_map(|name| self.species.find(name).ok())
            .find(|wood| wood.tangential_percent() < limit);
        let Some(wood) = calm else {
            return ((String::new(), None), None);
        };
        let mut changed = base.clone();
        let model = Arc::make_mut(&mut changed.parts[part.0]);
        model.shrinkage = Shrinkage::of(wood);
        model.spread = ShrinkageSpread::of_wood(self.inputs.spreads(), wood.source_spread);
        let words = format!(
            "make {} of a more stable wood, such as {}",
            the(&model.facts.name),
            wood.name
        );
        ((words, Some(wood.name.clone())), Some(changed))
    }
}

/// The part cut again in a opening whose own cut stays: only where the part's one size is given and the opening's is cut.
fn resized(base: &Prepared, opening_cut_mm: f64) -> Option<(Prepared, PartId)> {
    let mut changed = base.clone();
    let fit = &mut changed.joints[0].fits[0];
    let [part] = fit.part.as_mut_slice() else {
        return None;
    };
    if part.size == Size::Cut || !fit.opening.iter().any(|term| term.size == Size::Cut) {
        return None;
    }
    let opening_cut = Length::from_mm_unchecked(opening_cut_mm);
    for term in fit.opening.iter_mut().filter(|term| term.size == Size::Cut) {
        term.size = Size::Known(opening_cut);
    }
    if let MaxGap::Holding { reach, .. } = &mut fit.max
        && reach.size == Size::Cut
    {
        reach.size = Size::Known(opening_cut);
    }
    part.size = Size::Cut;
    let part = part.part;
    fit.given = None;
    fit.aim = Aim::Middle;
    Some((changed, part))
}

/// The part and its opening narrower by a quarter; only where the part's size is given.
fn narrower(base: &Prepared, part: PartId) -> Option<Prepared> {
    let mut changed = base.clone();
    let fit = &mut changed.joints[0].fits[0];
    let part = fit.part.iter().find_map(|term| match term.size {
        Size::Known(length) if term.part == part => Some(length),
        _ => None,
    })?;
    // What the joint itself takes, such as the two groove depths, stays; only the span shrinks.
    let less = part * (1.0 - NARROWER);
    let shrink = |terms: &mut Vec<Term>| {
        for term in terms {
            if let Size::Known(length) = term.size
                && length > less + less
            {
                term.size = Size::Known(length - less);
            }
        }
    };
    shrink(&mut fit.part);
    shrink(&mut fit.opening);
    Some(changed)
}
