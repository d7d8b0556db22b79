//! All draws of a job, kept small: each answer is a few single-precision numbers, each given by how far it lies off the
//! first draw's, so that what hardly spreads loses nothing.

use super::evaluate::{BondOutcome, FitOutcome, Outcome, PartOutcome};
use super::kept::Changed;
use crate::units::Strain;
use std::marker::PhantomData;
use std::ops::Range;
use std::sync::Arc;

/// Draws of one block: worked on by one thread, stored as it was found.
pub(super) const BLOCK: usize = 64;

/// One kind of answer as a row of numbers.
trait Row: Sized {
    /// How many numbers.
    const WIDTH: usize;
    fn write(&self, numbers: &mut Vec<f64>);
    /// From its numbers, each by its place.
    fn read(number: impl Fn(usize) -> f64) -> Self;
}

impl Row for PartOutcome {
    const WIDTH: usize = 8;
    fn write(&self, numbers: &mut Vec<f64>) {
        numbers.extend([
            self.driest_at as f64,
            self.wettest_at as f64,
            self.driest_percent,
            self.wettest_percent,
            self.min_width_mm,
            self.max_width_mm,
            self.cup_driest_mm,
            self.cup_wettest_mm,
        ]);
    }
    #[inline(always)]
    fn read(number: impl Fn(usize) -> f64) -> Self {
        Self {
            driest_at: number(0) as usize,
            wettest_at: number(1) as usize,
            driest_percent: number(2),
            wettest_percent: number(3),
            min_width_mm: number(4),
            max_width_mm: number(5),
            cup_driest_mm: number(6),
            cup_wettest_mm: number(7),
        }
    }
}

impl Row for FitOutcome {
    const WIDTH: usize = 9;
    fn write(&self, numbers: &mut Vec<f64>) {
        numbers.extend([
            self.cut_mm,
            self.min_mm,
            self.min_at as f64,
            self.max_mm,
            self.max_at as f64,
            self.spare_tight_mm,
            self.spare_loose_mm,
            self.gap_per_cut,
            self.loose_per_cut,
        ]);
    }
    #[inline(always)]
    fn read(number: impl Fn(usize) -> f64) -> Self {
        Self {
            cut_mm: number(0),
            min_mm: number(1),
            min_at: number(2) as usize,
            max_mm: number(3),
            max_at: number(4) as usize,
            spare_tight_mm: number(5),
            spare_loose_mm: number(6),
            gap_per_cut: number(7),
            loose_per_cut: number(8),
        }
    }
}

impl Row for BondOutcome {
    const WIDTH: usize = 6;
    fn write(&self, numbers: &mut Vec<f64>) {
        numbers.extend([
            self.driest.ratio(),
            self.driest_at as f64,
            self.wettest.ratio(),
            self.wettest_at as f64,
            self.stiffness[0],
            self.stiffness[1],
        ]);
    }
    #[inline(always)]
    fn read(number: impl Fn(usize) -> f64) -> Self {
        Self {
            driest: Strain::computed_ratio(number(0)),
            driest_at: number(1) as usize,
            wettest: Strain::computed_ratio(number(2)),
            wettest_at: number(3) as usize,
            stiffness: [number(4), number(5)],
        }
    }
}

/// Some draws: answer by answer, and of each answer draw by draw.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Block {
    draws: usize,
    off: Vec<f32>,
}

impl Block {
    /// How many draws it has.
    pub(super) const fn draws(&self) -> usize {
        self.draws
    }
}

/// Some blocks of a cloud, by their numbers, with the first draw's answers that they are given by.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Made {
    about: Vec<f64>,
    blocks: Vec<(usize, Block)>,
}

impl Made {
    /// As bytes for another program: how many numbers a draw has, and those of the first; then of each block its number, its draws and
    /// how far they are off. All of it little-endian.
    pub(super) fn to_bytes(&self) -> Vec<u8> {
        let numbers: usize = self.blocks.iter().map(|(_, block)| block.off.len()).sum();
        let mut bytes =
            Vec::with_capacity(4 + 8 * self.about.len() + 8 * self.blocks.len() + 4 * numbers);
        let count = |number: usize| (number as u32).to_le_bytes();
        bytes.extend(count(self.about.len()));
        bytes.extend(self.about.iter().flat_map(|value| value.to_le_bytes()));
        for (number, block) in &self.blocks {
            bytes.extend(count(*number));
            bytes.extend(count(block.draws));
            bytes.extend(block.off.iter().flat_map(|value| value.to_le_bytes()));
        }
        bytes
    }

    /// Reads them; `None` where the sizes do not fit one another.
    pub(super) fn read(bytes: &[u8]) -> Option<Self> {
        fn count(bytes: &[u8]) -> Option<(usize, &[u8])> {
            let (number, rest) = bytes.split_first_chunk()?;
            Some((u32::from_le_bytes(*number) as usize, rest))
        }
        let (numbers, rest) = count(bytes)?;
        let (about, mut rest) = rest.split_at_checked(numbers.checked_mul(8)?)?;
        let about = about.as_chunks().0.iter();
        let about: Vec<f64> = about.map(|value| f64::from_le_bytes(*value)).collect();
        let mut blocks = Vec::new();
        while !rest.is_empty() {
            let (number, after) = count(rest)?;
            let (draws, after) = count(after)?;
            let length = draws.checked_mul(numbers)?.checked_mul(4)?;
            let (off, after) = after.split_at_checked(length)?;
            if draws == 0 || draws > BLOCK {
                return None;
            }
            let off = off.as_chunks().0.iter();
            let off = off.map(|value| f32::from_le_bytes(*value)).collect();
            blocks.push((number, Block { draws, off }));
            rest = after;
        }
        Some(Self { about, blocks })
    }

    /// Memory that they take, bytes.
    pub(super) fn bytes(&self) -> usize {
        let numbers: usize = self.blocks.iter().map(|(_, block)| block.off.len()).sum();
        numbers * size_of::<f32>()
    }

    /// The blocks, if they are of a cloud: if its first draw is theirs, to the bit.
    pub(super) fn of(self, begun: &Begun) -> Vec<(usize, Block)> {
        let bits = |about: &[f64]| {
            about
                .iter()
                .map(|value| value.to_bits())
                .collect::<Vec<_>>()
        };
        if bits(&self.about) == bits(&begun.about) {
            self.blocks
        } else {
            Vec::new()
        }
    }
}

/// Answers drawn together.
#[derive(Debug, Clone, PartialEq)]
struct Drawn {
    /// The first draw's answers, which all are given by.
    about: Vec<f64>,
    blocks: Vec<Block>,
}

/// Where the numbers of an answer are.
#[derive(Debug, Clone, PartialEq)]
struct Answer {
    drawn: Arc<Drawn>,
    first: usize,
}

/// All draws of a job.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Samples {
    draws: usize,
    parts: Vec<Answer>,
    fits: Vec<Answer>,
    bonds: Vec<Answer>,
    /// Which of what the blocks hold each draw is; empty where that is its own.
    order: Vec<u32>,
}

/// A cloud of draws of which the first is known, to be filled.
pub(super) struct Begun {
    parts: usize,
    fits: usize,
    bonds: usize,
    about: Vec<f64>,
}

/// The answers of a draw in one row.
fn row(outcome: &Outcome, numbers: &mut Vec<f64>) {
    numbers.clear();
    outcome.parts.iter().for_each(|part| part.write(numbers));
    outcome.fits.iter().for_each(|fit| fit.write(numbers));
    outcome.bonds.iter().for_each(|bond| bond.write(numbers));
}

/// Memory that one draw of so many parts, fits and bonds takes in the columns, bytes.
pub(super) const fn bytes_of_a_draw(parts: usize, fits: usize, bonds: usize) -> usize {
    let numbers =
        parts * PartOutcome::WIDTH + fits * FitOutcome::WIDTH + bonds * BondOutcome::WIDTH;
    numbers * size_of::<f32>()
}

impl Begun {
    /// A cloud whose first draw is known.
    pub(super) fn about(first: &Outcome) -> Self {
        let mut about = Vec::new();
        row(first, &mut about);
        // What is no number or has no limit is given as it is.
        about
            .iter_mut()
            .filter(|value| !value.is_finite())
            .for_each(|value| *value = 0.0);
        Self {
            parts: first.parts.len(),
            fits: first.fits.len(),
            bonds: first.bonds.len(),
            about,
        }
    }

    /// The answers of a draw: where the numbers of each begin, and how many they are.
    fn answers(&self) -> impl Iterator<Item = (usize, usize)> {
        let widths = [
            (self.parts, PartOutcome::WIDTH),
            (self.fits, FitOutcome::WIDTH),
            (self.bonds, BondOutcome::WIDTH),
        ];
        let each = widths
            .into_iter()
            .flat_map(|(count, width)| std::iter::repeat_n(width, count));
        each.scan(0, |next, width| {
            let first = *next;
            *next += width;
            Some((first, width))
        })
    }

    /// A block of draws, each put in by `next` in its turn.
    pub(super) fn block(&self, draws: usize, mut next: impl FnMut(usize, &mut Outcome)) -> Block {
        let mut off = vec![0.0_f32; draws * self.about.len()];
        let (mut outcome, mut numbers) = (Outcome::default(), Vec::with_capacity(self.about.len()));
        for draw in 0..draws {
            next(draw, &mut outcome);
            row(&outcome, &mut numbers);
            for (first, width) in self.answers() {
                let place = first * draws + draw * width;
                let numbers = numbers[first..].iter().zip(&self.about[first..]);
                for (off, (value, about)) in off[place..place + width].iter_mut().zip(numbers) {
                    *off = (value - about) as f32;
                }
            }
        }
        Block { draws, off }
    }

    /// Some blocks by their numbers.
    pub(super) fn made(self, blocks: Vec<(usize, Block)>) -> Made {
        Made {
            about: self.about,
            blocks,
        }
    }

    /// Takes in the blocks, in their order; `order` says which of what they hold each draw is, and is empty where that is its own.
    pub(super) fn filled(self, blocks: Vec<Block>, order: Vec<u32>) -> Samples {
        let draws = if order.is_empty() {
            blocks.iter().map(|block| block.draws).sum()
        } else {
            order.len()
        };
        let firsts: Vec<usize> = self.answers().map(|(first, _)| first).collect();
        let drawn = Arc::new(Drawn {
            about: self.about,
            blocks,
        });
        let mut answers = firsts.into_iter().map(|first| Answer {
            drawn: Arc::clone(&drawn),
            first,
        });
        Samples {
            draws,
            parts: answers.by_ref().take(self.parts).collect(),
            fits: answers.by_ref().take(self.fits).collect(),
            bonds: answers.collect(),
            order,
        }
    }
}

/// One answer draw by draw, put together as it is asked for.
#[derive(Clone)]
struct Reading<'a, R> {
    about: &'a [f64],
    blocks: &'a [Block],
    first: usize,
    order: &'a [u32],
    draws: Range<usize>,
    row: PhantomData<R>,
}

impl<R: Row> Iterator for Reading<'_, R> {
    type Item = R;

    // Inlined where one number of a row is asked for, so that the others are not put together.
    #[inline(always)]
    fn next(&mut self) -> Option<R> {
        let draw = self.draws.next()?;
        let draw = self.order.get(draw).map_or(draw, |place| *place as usize);
        // All blocks but the last have as many draws.
        let block = &self.blocks[draw / BLOCK];
        let place = self.first * block.draws + draw % BLOCK * R::WIDTH;
        let off = &block.off[place..place + R::WIDTH];
        let about = &self.about[..R::WIDTH];
        Some(R::read(|number| about[number] + f64::from(off[number])))
    }

    fn size_hint(&self) -> (usize, Option<usize>) {
        self.draws.size_hint()
    }
}

impl Samples {
    /// How many draws.
    #[must_use]
    pub const fn draws(&self) -> usize {
        self.draws
    }

    /// How many times was drawn for them.
    pub(super) fn drawn_times(&self) -> usize {
        let mut known: Vec<*const Drawn> = Vec::new();
        for answer in self.parts.iter().chain(&self.fits).chain(&self.bonds) {
            let drawn = Arc::as_ptr(&answer.drawn);
            if !known.contains(&drawn) {
                known.push(drawn);
            }
        }
        known.len()
    }

    /// Memory that they take, bytes.
    pub(super) fn bytes(&self) -> usize {
        bytes_of_a_draw(self.parts.len(), self.fits.len(), self.bonds.len()) * self.draws
    }

    /// The same with some answers drawn again, in the order of their places.
    pub(super) fn with(&self, again: &Self, changed: &Changed) -> Self {
        let mut all = self.clone();
        for (answers, (places, drawn)) in [&mut all.parts, &mut all.fits, &mut all.bonds]
            .into_iter()
            .zip([
                (&changed.parts, &again.parts),
                (&changed.fits, &again.fits),
                (&changed.bonds, &again.bonds),
            ])
        {
            for (place, answer) in places.iter().zip(drawn) {
                answers[*place] = answer.clone();
            }
        }
        all
    }

    /// One answer draw by draw; none where it is not known.
    fn read<'a, R: Row>(&'a self, answer: Option<&'a Answer>) -> Reading<'a, R> {
        let (about, blocks, first): (_, &[Block], _) = answer.map_or((&[][..], &[], 0), |answer| {
            let about = &answer.drawn.about[answer.first..answer.first + R::WIDTH];
            (about, &answer.drawn.blocks, answer.first)
        });
        Reading {
            about,
            blocks,
            first,
            order: &self.order,
            draws: 0..if answer.is_some() { self.draws } else { 0 },
            row: PhantomData,
        }
    }

    /// The outcomes of one part, in the order of the draws; none in a trial of one joint.
    pub fn part(&self, index: usize) -> impl Iterator<Item = PartOutcome> + Clone + '_ {
        self.read(self.parts.get(index))
    }

    /// The outcomes of one fit, in the order of the draws.
    pub fn fit(&self, index: usize) -> impl Iterator<Item = FitOutcome> + Clone + '_ {
        self.read(self.fits.get(index))
    }

    /// The outcomes of one bond, in the order of the draws.
    pub fn bond(&self, index: usize) -> impl Iterator<Item = BondOutcome> + Clone + '_ {
        self.read(self.bonds.get(index))
    }
}
