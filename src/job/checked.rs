//! A checked job.

use super::climate::{Climate, Place, PlaceId};
use super::errors::JobErrors;
use super::parts::Part;
use super::schedule::Schedule;
use crate::joint::PartFacts;
use crate::joint::plan::JointPlan;
use crate::units::UnitSystem;
use crate::units::told::Problem;
use std::ops::Range;

/// A checked job: everything the file tells, in plain typed fields.
#[derive(Debug, Clone, PartialEq)]
pub struct Job {
    /// The name of the piece.
    pub name: String,
    /// Which way lengths are shown first.
    pub show: UnitSystem,
    /// Seed of the draws.
    pub seed: u64,
    /// How many draws.
    pub draws: u32,
    /// The maker's own table of woods.
    pub species_table: Option<FileNeeded>,
    /// The places, in the order of their ids.
    pub places: Vec<Place>,
    /// Where parts are until delivery unless they say otherwise.
    pub shop: PlaceId,
    /// Where parts are after delivery unless they say otherwise.
    pub home: PlaceId,
    /// The dates.
    pub schedule: Schedule,
    /// The parts, in the order of the file.
    pub parts: Vec<Part>,
    /// The joints, in the order of the file; their part ids are places in `parts`.
    pub joints: Vec<JointPlan>,
    /// The file's name, as the maker gave it.
    pub origin: String,
    /// The file's text, for pictures of what turns out wrong later.
    pub text: String,
}

/// A file that a job names; its path is relative to the job file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FileNeeded {
    /// The path as told.
    pub path: String,
    /// Where the job file tells it.
    pub span: Range<usize>,
    /// What it is for.
    pub why: FileUse,
}

/// What a job needs a file for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum FileUse {
    /// The maker's own woods (CSV).
    SpeciesTable,
    /// A logger's air of the place of this name.
    Logger(String),
    /// A weather file (EPW) of the place of this name.
    Weather(String),
}

impl Job {
    /// Every file the job names, in the order of the file.
    #[must_use]
    pub fn files(&self) -> Vec<&FileNeeded> {
        let mut files: Vec<&FileNeeded> = self
            .places
            .iter()
            .filter_map(|place| match &place.climate {
                Climate::Year(_) => None,
                Climate::File { file, .. } => Some(file),
            })
            .chain(&self.species_table)
            .collect();
        files.sort_by_key(|file| file.span.start);
        files
    }

    /// A place by its id.
    ///
    /// # Panics
    /// On an id of another job: an error in the program.
    #[must_use]
    pub fn place(&self, id: PlaceId) -> &Place {
        &self.places[id.0]
    }

    /// The sizes of the parts, in their order.
    #[must_use]
    pub fn part_facts(&self) -> Vec<PartFacts> {
        self.parts.iter().map(Part::facts).collect()
    }

    /// Every wood the job names, with its place in the file.
    pub fn species_named(&self) -> impl Iterator<Item = (&str, Range<usize>)> {
        self.parts
            .iter()
            .map(|part| (part.species.as_str(), part.species_span.clone()))
    }

    /// An error at a place of this job's file, found after the file itself was read: a file it names
    /// cannot be read, a wood is unknown.
    #[must_use]
    pub fn error(&self, problems: Vec<Problem>) -> JobErrors {
        JobErrors::new(&self.origin, &self.text, problems)
    }
}
