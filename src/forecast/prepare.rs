//! A job made ready to be forecast many times: woods found, sections laid,
//! moisture solved over a grid, so that one draw is only arithmetic.

use super::airs::Airs;
use super::belief::{self, Narrowed, ShrinkageSpread};
use super::curve::{crown, section_for_sizes};
use super::draw_conditions::{MoistureHistory, StockKey, StockStay};
use super::memory::Memory;
use super::part_model::{PartModel, model};
use super::timeline::Timeline;
use crate::chance::Instrument;
use crate::job::{Job, JobErrors, MadeOf};
use crate::joint::{JointPlan, SplitSpread};
use crate::moisture::{GridRange, Slab};
use crate::numerics::Deadline;
use crate::species::SpeciesTable;
use crate::units::spanned::Problems;
use crate::units::{Length, UnitSystem};
use jiff::civil::Date;
use rayon::prelude::*;
use std::collections::HashMap;
use std::sync::Arc;

/// A job, ready.
#[derive(Debug, Clone)]
pub struct Prepared {
    /// Its days.
    pub timeline: Timeline,
    /// Its parts.
    pub parts: Vec<Arc<PartModel>>,
    /// The parts that are looked at: all, or those of one joint in a trial.
    pub looked_at: Vec<usize>,
    /// The parts whose own sizes are asked for: all, or none in a trial of one joint.
    pub asked: Vec<usize>,
    /// The kinds of stock of its parts, each solved.
    pub stocks: Vec<Arc<MoistureHistory>>,
    /// Its joints.
    pub joints: Vec<JointPlan>,
    /// The day of gluing up.
    pub assembled: usize,
    /// The moisture meter.
    pub meter: Instrument,
    /// How strength across the grain spreads.
    pub split_spread: SplitSpread,
    /// What was measured to narrow the answers.
    pub narrowed: Narrowed,
    /// Which way lengths are shown first in what is said of it.
    pub units: UnitSystem,
}

impl Prepared {
    /// Makes a job ready.
    ///
    /// # Errors
    /// [`JobErrors`] at the places of unknown woods and finishes.
    pub fn new(job: &Job, species: &SpeciesTable, airs: &Airs) -> Result<Self, JobErrors> {
        Self::recalling(job, species, airs, &Memory::new(0), Deadline::NEVER)
    }

    /// The same, with what a memory holds not solved again.
    ///
    /// # Errors
    /// As [`Prepared::new`], and when the deadline came first.
    pub(super) fn recalling(
        job: &Job,
        species: &SpeciesTable,
        airs: &Airs,
        memory: &Memory,
        deadline: Deadline<'_>,
    ) -> Result<Self, JobErrors> {
        let base: Date = job
            .parts
            .iter()
            .map(|part| part.measured)
            .min()
            .unwrap_or(job.schedule.assembled);
        let timeline = Timeline::new(base, job.schedule.delivered);
        let mut problems = Problems::default();
        let species = &species.in_region(job.region);
        let mut models: Vec<_> = job
            .parts
            .iter()
            .map(|part| model(part, species, &mut problems))
            .collect();
        if !problems.is_empty() {
            return Err(job.error(problems.into_sorted()));
        }
        for (part, made) in job.parts.iter().zip(&mut models) {
            if let (Some(made_of), Some((model, _))) = (&part.made_of, made) {
                match made_of {
                    MadeOf::Boards {
                        boards, cup_known, ..
                    } => {
                        model.glue_up(boards.clone(), *cup_known);
                    }
                    MadeOf::Panel { name, span } => {
                        match super::panels::boards_of(job, name, part, species, deadline) {
                            Some(boards) => model.glue_up(boards, true),
                            None => problems.push(
                                span.clone(),
                                format!("the leaves of the panel `{name}` do not say where their rings are"),
                                "add pith_depth to each of its leaves, or give the boards with their rings",
                            ),
                        }
                    }
                }
            }
        }
        // A search that was stopped is no fault of its panel.
        deadline
            .check()
            .map_err(|stopped| super::stopped_early(job, stopped))?;
        if !problems.is_empty() {
            return Err(job.error(problems.into_sorted()));
        }
        let mut prepared = Self {
            timeline,
            parts: Vec::new(),
            looked_at: (0..job.parts.len()).collect(),
            asked: (0..job.parts.len()).collect(),
            stocks: Vec::new(),
            joints: job.joints.clone(),
            assembled: timeline.day(job.schedule.assembled),
            meter: belief::meter(job),
            split_spread: SplitSpread::new(
                job.chance.spreads.strength_cov,
                job.chance.spreads.stiffness_cov,
            ),
            narrowed: Narrowed::default(),
            units: job.units,
        };
        belief::tell_meter(job, &prepared.meter, &mut prepared.narrowed);
        let mut slabs = Vec::with_capacity(job.parts.len());
        for (part, (mut model, slab)) in job.parts.iter().zip(models.into_iter().flatten()) {
            model.measured = timeline.day(part.measured);
            model.measured_percent = (model.measured_percent - prepared.meter.bias).max(0.0);
            model.finished = timeline.day(
                part.finish
                    .as_ref()
                    .and_then(|finish| finish.on)
                    .unwrap_or(job.schedule.assembled),
            );
            prepared.parts.push(Arc::new(model));
            slabs.push(slab);
        }
        prepared.solve_stocks(&slabs, airs, memory, &|| {
            deadline
                .check()
                .map_err(|stopped| super::stopped_early(job, stopped))
        })?;
        prepared.believe(job);
        Ok(prepared)
    }

    /// Sets what is believed of every board, narrowed by its off-cuts.
    fn believe(&mut self, job: &Job) {
        let mut first_of_board: HashMap<&str, usize> = HashMap::new();
        for index in 0..self.parts.len() {
            let part = Arc::make_mut(&mut self.parts[index]);
            part.board = match &job.parts[index].board {
                Some(board) => *first_of_board.entry(board).or_insert(index),
                None => index,
            };
            part.spread = ShrinkageSpread::of_wood(&job.chance.spreads, part.species.source_spread);
        }
        for offcut in &job.chance.offcuts {
            let part = &self.parts[offcut.part];
            let name = match &job.parts[offcut.part].board {
                Some(board) => format!("board {board} (through {})", part.facts.name),
                None => part.facts.name.clone(),
            };
            let board = part.board;
            let spread = belief::narrow(
                self.parts[board].spread,
                offcut,
                part.section,
                &part.shrinkage,
                &name,
                &mut self.narrowed,
            );
            Arc::make_mut(&mut self.parts[board]).spread = spread;
        }
        for index in 0..self.parts.len() {
            let spread = self.parts[self.parts[index].board].spread;
            let part = Arc::make_mut(&mut self.parts[index]);
            part.spread = spread;
            part.shrinkage.tangential_percent *= spread.middle[0];
            part.shrinkage.radial_percent *= spread.middle[1];
            part.crown = crown(part.section, &part.shrinkage);
            for (board, rises_at) in &mut part.boards {
                *rises_at = crown(board.section, &part.shrinkage);
            }
            part.width_coefficient =
                section_for_sizes(part.section).width_coefficient(&part.shrinkage);
        }
    }

    /// Solves the histories that the parts live through as these slabs, each once.
    fn solve_stocks(
        &mut self,
        slabs: &[Slab],
        airs: &Airs,
        memory: &Memory,
        on: &(dyn Fn() -> Result<(), JobErrors> + Sync),
    ) -> Result<(), JobErrors> {
        let mut firsts: Vec<(StockKey, usize)> = Vec::new();
        for (index, (part, slab)) in self.parts.iter_mut().zip(slabs).enumerate() {
            let key = stock_key(slab, part);
            let known = firsts.iter().position(|(first, _)| *first == key);
            Arc::make_mut(part).stock = known.unwrap_or(firsts.len());
            if known.is_none() {
                firsts.push((key, index));
            }
        }
        self.stocks = firsts
            .into_par_iter()
            .map(|(key, part)| {
                on()?;
                let (slab, part) = (&slabs[part], &self.parts[part]);
                Ok(Arc::new(self.solved(
                    slab,
                    part,
                    airs,
                    (key, GridRange::OF_DRAWS),
                    memory,
                )))
            })
            .collect::<Result<_, JobErrors>>()?;
        Ok(())
    }

    /// The history of a slab as a part lives it, over a grid.
    pub(super) fn solved(
        &self,
        slab: &Slab,
        part: &PartModel,
        airs: &Airs,
        (key, over): (StockKey, [GridRange; 2]),
        memory: &Memory,
    ) -> MoistureHistory {
        let stay = StockStay {
            slab,
            measured: part.measured,
            measured_percent: part.measured_percent,
            finished: part.finished,
            made_in: part.shop,
            stands_in: part.home,
        };
        MoistureHistory::solve(&stay, airs, &self.timeline, (key, over), memory)
    }

    /// The same job on the days of a set only: what a cloud of draws works on.
    #[must_use]
    pub fn on(&self, set: &super::evaluate::DaySet) -> Self {
        let used: Vec<usize> = self
            .looked_at
            .iter()
            .map(|part| self.parts[*part].stock)
            .collect();
        let thin = |(place, stock): (usize, &Arc<MoistureHistory>)| {
            if used.contains(&place) {
                Arc::new(stock.on(set.days(), &self.timeline))
            } else {
                Arc::clone(stock)
            }
        };
        // Parts of one stock one after another: what they read of its moisture is then near at hand.
        let mut looked_at = self.looked_at.clone();
        looked_at.sort_by_key(|part| self.parts[*part].stock);
        Self {
            stocks: self.stocks.par_iter().enumerate().map(thin).collect(),
            looked_at,
            ..self.clone()
        }
    }

    /// The same job without its joints: there may be thousands, and copies are made for each of them.
    fn without_joints(&self) -> Self {
        Self {
            timeline: self.timeline,
            parts: self.parts.clone(),
            looked_at: self.looked_at.clone(),
            asked: self.asked.clone(),
            stocks: self.stocks.clone(),
            joints: Vec::new(),
            assembled: self.assembled,
            meter: self.meter,
            split_spread: self.split_spread,
            narrowed: self.narrowed.clone(),
            units: self.units,
        }
    }

    /// The same job with one joint alone, its cut on the day it has in the job, and only its parts looked at.
    #[must_use]
    pub fn alone(&self, joint: &JointPlan, only: JointPlan) -> Self {
        let mut looked_at: Vec<usize> = only
            .fits
            .iter()
            .flat_map(|fit| fit.parts())
            .chain(
                only.bonds
                    .iter()
                    .flat_map(|bond| [bond.moves.part, bond.holds.part]),
            )
            .map(|part| part.0)
            .collect();
        looked_at.sort_unstable();
        looked_at.dedup();
        Self {
            looked_at,
            asked: Vec::new(),
            joints: vec![JointPlan {
                housings: Vec::new(),
                cut_on: Some(self.timeline.date(self.cut_day(joint))),
                ..only
            }],
            ..self.without_joints()
        }
    }

    /// Day of the cut of a joint: the day given, else the latest day of measuring of its parts.
    #[must_use]
    pub fn cut_day(&self, joint: &JointPlan) -> usize {
        let parts = joint.fits.iter().flat_map(|fit| fit.parts()).chain(
            joint
                .bonds
                .iter()
                .flat_map(|bond| [bond.moves.part, bond.holds.part]),
        );
        let measured = parts
            .map(|part| self.parts[part.0].measured)
            .max()
            .unwrap_or(0);
        joint
            .cut_on
            .map_or(measured, |date| self.timeline.day(date))
    }

    /// Size of a part along its grain.
    #[must_use]
    pub fn length(&self, part: usize) -> Length {
        self.parts[part].facts.length
    }
}

/// What makes the history of a slab that of this part.
/// What makes the history of a slab, as a part lives it, the same as another.
pub(super) fn stock_key(slab: &Slab, part: &PartModel) -> StockKey {
    (
        slab.key(),
        part.shop,
        part.home,
        part.measured,
        part.finished,
    )
}
