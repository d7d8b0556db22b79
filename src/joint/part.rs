//! What a joint knows of the parts it joins, and how they move.

use crate::units::Length;
use crate::units::notation::Names;
use crate::units::spanned::Problems;
use std::ops::{Deref, Range};

/// The place of a part in its job.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct PartId(pub usize);

/// An axis of a board.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Axis {
    /// Along the grain.
    Length,
    /// Across the face.
    Width,
    /// From face to face.
    Thickness,
}

impl Axis {
    /// The three, in the order a [`Motion`] keeps them.
    pub const ALL: [Axis; 3] = [Axis::Length, Axis::Width, Axis::Thickness];

    /// What a maker calls it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Axis::Length => "length",
            Axis::Width => "width",
            Axis::Thickness => "thickness",
        }
    }
}

/// The sizes of a part today.
#[derive(Debug, Clone, PartialEq)]
pub struct PartFacts {
    /// Its name, unique in the job.
    pub name: String,
    /// Along the grain.
    pub length: Length,
    /// Across the face.
    pub width: Length,
    /// Face to face.
    pub thickness: Length,
}

impl PartFacts {
    /// The size along an axis.
    #[must_use]
    pub const fn size(&self, axis: Axis) -> Length {
        match axis {
            Axis::Length => self.length,
            Axis::Width => self.width,
            Axis::Thickness => self.thickness,
        }
    }
}

/// The parts that a section of a job may name.
#[derive(Debug, Clone)]
pub struct Parts<'a> {
    facts: &'a [PartFacts],
    names: Names<'a>,
}

impl<'a> Parts<'a> {
    /// The parts of a job, in the order of their ids.
    #[must_use]
    pub fn new(facts: &'a [PartFacts]) -> Self {
        Self {
            facts,
            names: Names::new(facts.iter().map(|part| part.name.as_str())),
        }
    }

    /// The part of a name.
    #[must_use]
    pub fn find(&self, name: &str) -> Option<PartId> {
        self.names.find(name).map(PartId)
    }

    /// The part of a name, or `None` after noting that there is none, with the nearest name.
    pub fn named(
        &self,
        wanted: &str,
        span: Range<usize>,
        problems: &mut Problems,
    ) -> Option<PartId> {
        let found = self.find(wanted);
        if found.is_none() {
            let remedy = self.names.remedy("part", wanted, "[[parts]]");
            problems.push(span, format!("no part is named `{wanted}`"), remedy);
        }
        found
    }

    /// The names of the parts.
    #[must_use]
    pub const fn names(&self) -> &Names<'a> {
        &self.names
    }
}

impl Deref for Parts<'_> {
    type Target = [PartFacts];
    fn deref(&self) -> &[PartFacts] {
        self.facts
    }
}

/// How every part of a job moves: for each part, axis and day the size over
/// the size on the part's day of measuring.
#[derive(Debug, Clone, PartialEq)]
pub struct Motion {
    days: usize,
    ratios: Vec<f64>,
}

impl Motion {
    /// All parts still, over so many days.
    #[must_use]
    pub fn still(parts: usize, days: usize) -> Self {
        Self {
            days,
            ratios: vec![1.0; parts * 3 * days],
        }
    }

    /// The same motion with `part` as many times its size today along `axis` on each day as `ratios` tells.
    ///
    /// # Panics
    /// When there are not as many ratios as days.
    #[must_use]
    pub fn with(mut self, part: PartId, axis: Axis, ratios: &[f64]) -> Self {
        self.ratios_mut(part, axis).copy_from_slice(ratios);
        self
    }

    const fn start(&self, part: PartId, axis: Axis) -> usize {
        (part.0 * 3 + axis as usize) * self.days
    }

    /// Size on a day over size when measured.
    ///
    /// # Panics
    /// When the part or the day is not of this motion: an error in the program.
    #[must_use]
    pub fn ratio(&self, part: PartId, axis: Axis, day: usize) -> f64 {
        self.ratios[self.start(part, axis) + day]
    }

    /// All days of one part's axis.
    #[must_use]
    pub fn ratios(&self, part: PartId, axis: Axis) -> &[f64] {
        let start = self.start(part, axis);
        &self.ratios[start..start + self.days]
    }

    /// All days of one part's axis, to be filled.
    pub fn ratios_mut(&mut self, part: PartId, axis: Axis) -> &mut [f64] {
        let start = self.start(part, axis);
        &mut self.ratios[start..start + self.days]
    }
}
