//! A checked job.

use super::chance::Chance;
use super::climate::{Climate, FilesError, Place, PlaceId};
use super::errors::JobErrors;
use super::log::LogEntry;
use super::made_of::MadeOf;
use super::part::Part;
use super::plinth::Plinth;
use super::schedule::Schedule;
use crate::carcass::keys::{BowPlan, GluePlan, InstallPlan, ShelfPlan, StraightenPlan};
use crate::joint::PartFacts;
use crate::joint::plan::JointPlan;
use crate::movement::{Rings, Sawn};
use crate::panel::{LeavesFrom, PanelPlan};
use crate::piece::Piece;
use crate::rings::{RingsOfPhoto, RingsPhotoPlan};
use crate::stock::BoardPlan;
use crate::units::spanned::{BareNumber, Problem};
use crate::units::{Refusal, Region, UnitSystem};
use std::ops::Range;

/// A checked job: everything the file tells, in plain typed fields.
#[derive(Debug, Clone, PartialEq)]
pub struct Job {
    /// The name of the piece.
    pub name: String,
    /// Which way lengths are shown first.
    pub units: UnitSystem,
    /// Where the maker works: what a yard's name of a wood means.
    pub region: Option<Region>,
    /// Seed of the draws.
    pub seed: u64,
    /// How many draws.
    pub draws: u32,
    /// The maker's own table of woods.
    pub species_table: Option<FileNeeded>,
    /// Whether the woods are settled: no remedy asks for another.
    pub wood_fixed: bool,
    /// Whether the finish is settled: no remedy asks for another.
    pub finish_fixed: bool,
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
    /// Where the parts are; empty in a job without places.
    pub piece: Piece,
    /// The base that the piece stands on.
    pub plinth: Option<Plinth>,
    /// Numbers without a unit, and what they were read as.
    pub bare: Vec<BareNumber>,
    /// How far things may lie off, and what was measured to narrow it.
    pub chance: Chance,
    /// What was measured on the way, in the order of the file.
    pub log: Vec<LogEntry>,
    /// The joints, in the order of the file; their part ids are places in `parts`.
    pub joints: Vec<JointPlan>,
    /// Boards to resaw, in the order of the file.
    pub boards: Vec<BoardPlan>,
    /// Panels to match, in the order of the file.
    pub panels: Vec<PanelPlan>,
    /// Boards of the case that bow, in the order of the file.
    pub bows: Vec<BowPlan>,
    /// Bowed panels that the piece pulls straight, in the order of the file.
    pub straighten: Vec<StraightenPlan>,
    /// Loaded shelves, in the order of the file.
    pub shelves: Vec<ShelfPlan>,
    /// The glue-up, where it is given.
    pub glue: Option<GluePlan>,
    /// Where the piece will stand, where that is given.
    pub install: Option<InstallPlan>,
    /// The file's name, as the maker gave it.
    pub origin: String,
    /// The file's text, for pictures of what turns out wrong later.
    pub text: String,
}

/// A file that a job names; its path is relative to the job file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FileNeeded {
    /// The path as given.
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
    /// The leaves (CSV) of the panel of this name.
    Leaves(String),
    /// The photo of the rings of the part, board or leaf of this name.
    Rings(String),
}

impl Job {
    /// Every file the job names, in the order of the file.
    #[must_use]
    pub fn files(&self) -> Vec<FileNeeded> {
        let airs = self.places.iter().filter_map(|place| match &place.climate {
            Climate::Year(_) => None,
            Climate::File { file, .. } => Some(file.clone()),
        });
        let leaves = self.panels.iter().filter_map(leaves_file);
        let photos = self.ring_photos().map(photo_file);
        let mut files: Vec<FileNeeded> = airs
            .chain(leaves)
            .chain(photos)
            .chain(self.species_table.clone())
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

    /// Every wood the job names, with its place in the file; a leaf's wood has the place of its panel.
    #[must_use]
    pub fn species_named(&self) -> Vec<(&str, Range<usize>)> {
        let parts = self
            .parts
            .iter()
            .map(|part| (part.species.as_str(), part.species_span.clone()));
        let boards = self
            .boards
            .iter()
            .map(|board| (board.species.as_str(), board.species_span.clone()));
        let panels = self.panels.iter().flat_map(|panel| {
            panel.species_named().map(|name| {
                let span = match &panel.species {
                    Some((given, span)) if given == name => span.clone(),
                    _ => panel.span.clone(),
                };
                (name, span)
            })
        });
        parts.chain(boards).chain(panels).collect()
    }

    /// Reads the leaves of every panel that keeps them in a file; `read` gives the bytes of that file, its
    /// path relative to the job file.
    ///
    /// # Errors
    /// [`FilesError::File`] with the first file that `read` could not give, else [`FilesError::Job`] with
    /// everything that is wrong with the leaves.
    pub fn read_leaves<B: AsRef<[u8]>, E>(
        &mut self,
        mut read: impl FnMut(&FileNeeded) -> Result<B, E>,
    ) -> Result<(), FilesError<E>> {
        let mut problems = Vec::new();
        for panel in &mut self.panels {
            let Some(file) = leaves_file(panel) else {
                continue;
            };
            let bytes = read(&file).map_err(|error| FilesError::File {
                file: file.clone(),
                error,
            })?;
            let mut refuse = |refusal: &Refusal| {
                let refusal = refusal.clone().at(format!("`{}`", file.path));
                problems.push(refusal.in_file(file.span.clone()));
            };
            match std::str::from_utf8(bytes.as_ref()) {
                Err(_) => refuse(&Refusal::new(
                    "the file is not UTF-8 text",
                    "save it as UTF-8",
                )),
                Ok(text) => {
                    if let Err(error) = panel.take_file(text) {
                        error.each().iter().for_each(&mut refuse);
                    }
                }
            }
        }
        if problems.is_empty() {
            Ok(())
        } else {
            Err(FilesError::Job(self.error(problems)))
        }
    }

    /// Every photo of rings that the job names: of parts and the boards they are made of, of boards to resaw and of leaves.
    fn ring_photos(&self) -> impl Iterator<Item = &RingsPhotoPlan> {
        let parts = self.parts.iter().flat_map(Part::photos);
        let boards = self
            .boards
            .iter()
            .filter_map(|board| board.rings_photo.as_ref());
        let leaves = self
            .panels
            .iter()
            .flat_map(|panel| panel.ring_photos.iter());
        parts.chain(boards).chain(leaves.map(|(_, photo)| photo))
    }

    /// The same, each with the rings that it gives.
    fn rings_in_photos(&mut self) -> Vec<(&mut RingsPhotoPlan, &mut Rings)> {
        let mut all = Vec::new();
        for part in &mut self.parts {
            all.extend(
                part.rings_photo
                    .as_mut()
                    .map(|plan| (plan, &mut part.rings)),
            );
            if let Some(MadeOf::Boards { boards, photos, .. }) = &mut part.made_of {
                all.extend(of_places(photos, boards, |board| &mut board.section.rings));
            }
        }
        for board in &mut self.boards {
            let rings = &mut board.board.rings;
            all.extend(
                board
                    .rings_photo
                    .as_mut()
                    .map(|plan| (plan, rings.get_or_insert(Sawn::Flat.rings()))),
            );
        }
        for panel in &mut self.panels {
            if let LeavesFrom::Spanned(leaves) = &mut panel.leaves {
                all.extend(of_places(&mut panel.ring_photos, leaves, |leaf| {
                    leaf.rings.get_or_insert(Sawn::Flat.rings())
                }));
            }
        }
        all
    }

    /// Reads the rings of everything that keeps them in a photo; `read` gives the bytes of that file, `rings` what such bytes give
    /// for a plan, or says what is wrong with them.
    ///
    /// # Errors
    /// [`FilesError::File`] with the first file that `read` could not give, else [`FilesError::Job`] with every photo
    /// whose rings cannot be read.
    pub fn read_ring_photos<B: AsRef<[u8]>, E>(
        &mut self,
        mut read: impl FnMut(&FileNeeded) -> Result<B, E>,
        mut rings: impl FnMut(&RingsPhotoPlan, &[u8]) -> Result<RingsOfPhoto, Refusal>,
    ) -> Result<(), FilesError<E>> {
        let mut problems = Vec::new();
        for (plan, place) in self.rings_in_photos() {
            let file = photo_file(plan);
            let bytes = read(&file).map_err(|error| FilesError::File {
                file: file.clone(),
                error,
            })?;
            match rings(plan, bytes.as_ref()) {
                Ok(found) => {
                    *place = found.rings;
                    plan.spread = Some(found.spread);
                }
                Err(refusal) => {
                    let place = format!("`{}`", file.path);
                    problems.push(refusal.at(place).in_file(file.span.clone()));
                }
            }
        }
        if problems.is_empty() {
            Ok(())
        } else {
            Err(FilesError::Job(self.error(problems)))
        }
    }

    /// An error at a place of this job's file, found after the file itself was read: a file it names
    /// cannot be read, a wood is unknown.
    #[must_use]
    pub fn error(&self, problems: Vec<Problem>) -> JobErrors {
        JobErrors::new(&self.origin, &self.text, problems)
    }
}

/// The photos of some of the things in a list, by their places, each with that thing's rings.
fn of_places<'a, T>(
    photos: &'a mut [(usize, RingsPhotoPlan)],
    things: &'a mut [T],
    rings: impl Fn(&'a mut T) -> &'a mut Rings,
) -> Vec<(&'a mut RingsPhotoPlan, &'a mut Rings)> {
    let mut photos = photos.iter_mut().peekable();
    things
        .iter_mut()
        .enumerate()
        .filter_map(|(place, thing)| {
            let (_, plan) = photos.next_if(|(of, _)| *of == place)?;
            Some((plan, rings(thing)))
        })
        .collect()
}

/// The file of a photo.
fn photo_file(plan: &RingsPhotoPlan) -> FileNeeded {
    FileNeeded {
        path: plan.path.clone(),
        span: plan.span.clone(),
        why: FileUse::Rings(plan.of.clone()),
    }
}

/// The file a panel's leaves are in, when they are in one.
fn leaves_file(panel: &PanelPlan) -> Option<FileNeeded> {
    match &panel.leaves {
        LeavesFrom::Spanned(_) => None,
        LeavesFrom::File { path, span } => Some(FileNeeded {
            path: path.clone(),
            span: span.clone(),
            why: FileUse::Leaves(panel.name.clone()),
        }),
    }
}
