//! All draws of a job in parallel, in blocks: each is the same whoever makes it, so that several programs may share them out.

use super::draw::Draw;
use super::evaluate::{DaySet, Outcome, Workspace, evaluate};
use super::prepare::Prepared;
use super::samples::{BLOCK, Begun, Block, Made, Samples};
use super::sampling::Inputs;
use crate::chance::Draws;
use rayon::prelude::*;

/// Most programs that share out the draws of one forecast.
pub const MOST_SHARES: usize = 64;

/// Blocks that a thread takes at once at most: with more, the last to end would let the others wait.
const AT_ONCE: usize = 4;

/// One of so many shares of the draws of a forecast.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Share {
    number: usize,
    of: usize,
}

impl Share {
    /// Share `number`, from 0, of `of`; `None` where there is none such.
    #[must_use]
    pub fn new(number: usize, of: usize) -> Option<Self> {
        (number < of && of <= MOST_SHARES).then_some(Self { number, of })
    }

    const fn has(self, block: usize) -> bool {
        block % self.of == self.number
    }
}

/// What is drawn: some answers of a job, for some cuts.
#[derive(Clone, Copy)]
pub(super) struct Cloud<'a> {
    pub(super) inputs: &'a Inputs,
    pub(super) prepared: &'a Prepared,
    pub(super) set: &'a DaySet,
    pub(super) cuts_mm: &'a [f64],
    pub(super) seed: u64,
    pub(super) draws: u32,
}

/// A cloud of which the first draw is known.
struct Drawing<'a> {
    cloud: Cloud<'a>,
    /// What each thread begins with.
    worker: Worker<'a>,
    source: Draws,
    begun: Begun,
    /// After a log a draw stands for several: those that are evaluated; empty where that is each.
    firsts: Vec<usize>,
    order: Vec<u32>,
}

impl<'a> Cloud<'a> {
    /// All draws, in the order of their numbers; those that are made already and are of this cloud are not made again. `tick` hears how
    /// many were done since it last did, and may end them.
    ///
    /// # Errors
    /// What `tick` ended them with.
    pub(super) fn all<E: Send>(
        self,
        made: Vec<Made>,
        tick: &(dyn Fn(u64) -> Result<(), E> + Sync),
    ) -> Result<Samples, E> {
        let drawing = self.begun();
        let mut known: Vec<Option<Block>> = vec![None; drawing.blocks()];
        for made in made {
            for (number, block) in made.of(&drawing.begun) {
                if number < known.len() && block.draws() == drawing.draws_of(number) {
                    known[number] = Some(block);
                }
            }
        }
        let blocks = known
            .into_par_iter()
            .enumerate()
            .with_max_len(AT_ONCE)
            .map_init(
                || drawing.worker.clone(),
                |worker, (number, known)| {
                    let block = known.unwrap_or_else(|| drawing.block(worker, number));
                    tick(block.draws() as u64)?;
                    Ok(block)
                },
            )
            .collect::<Result<_, E>>()?;
        tick((self.draws as usize - drawing.evaluated()) as u64)?;
        Ok(drawing.begun.filled(blocks, drawing.order))
    }

    /// The draws of one share.
    ///
    /// # Errors
    /// What `tick` ended them with.
    pub(super) fn share<E: Send>(
        self,
        share: Share,
        tick: &(dyn Fn(u64) -> Result<(), E> + Sync),
    ) -> Result<Made, E> {
        let drawing = self.begun();
        let blocks = (0..drawing.blocks())
            .into_par_iter()
            .filter(|number| share.has(*number))
            .map_init(
                || drawing.worker.clone(),
                |worker, number| {
                    let block = drawing.block(worker, number);
                    tick(block.draws() as u64)?;
                    Ok((number, block))
                },
            )
            .collect::<Result<_, E>>()?;
        Ok(drawing.begun.made(blocks))
    }

    fn begun(self) -> Drawing<'a> {
        let source = Draws::sobol(self.seed, self.inputs.list().len());
        let (mut worker, mut first) = (Worker::new(self), Outcome::default());
        worker.evaluate(&source, 0, &mut first);
        let (firsts, order) = self
            .inputs
            .posterior()
            .map(|posterior| posterior.distinct(self.draws as usize))
            .unwrap_or_default();
        Drawing {
            cloud: self,
            worker,
            source,
            begun: Begun::about(&first),
            firsts,
            order,
        }
    }
}

impl<'a> Drawing<'a> {
    fn evaluated(&self) -> usize {
        if self.order.is_empty() {
            self.cloud.draws as usize
        } else {
            self.firsts.len()
        }
    }

    fn blocks(&self) -> usize {
        self.evaluated().div_ceil(BLOCK)
    }

    fn draws_of(&self, block: usize) -> usize {
        BLOCK.min(self.evaluated() - block * BLOCK)
    }

    fn block(&self, worker: &mut Worker<'_>, number: usize) -> Block {
        self.begun.block(self.draws_of(number), |draw, outcome| {
            let draw = number * BLOCK + draw;
            let draw = self.firsts.get(draw).copied().unwrap_or(draw);
            worker.evaluate(&self.source, draw, outcome);
        })
    }
}

/// One thread's memory while it draws.
#[derive(Clone)]
struct Worker<'a> {
    cloud: Cloud<'a>,
    workspace: Workspace,
    draw: Draw,
    numbers: Vec<f64>,
}

impl<'a> Worker<'a> {
    fn new(cloud: Cloud<'a>) -> Self {
        Self {
            cloud,
            workspace: Workspace::judging(cloud.prepared, cloud.set),
            draw: cloud.inputs.blank(),
            numbers: vec![0.0; cloud.inputs.list().len()],
        }
    }

    fn evaluate(&mut self, source: &Draws, index: usize, outcome: &mut Outcome) {
        let Cloud {
            inputs,
            prepared,
            set,
            cuts_mm,
            ..
        } = self.cloud;
        inputs.numbers(source, index, &mut self.numbers);
        inputs.fill(&self.numbers, &mut self.draw);
        evaluate(
            prepared,
            &self.draw,
            set,
            cuts_mm,
            &mut self.workspace,
            outcome,
        );
    }
}
