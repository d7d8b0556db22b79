//! The answer to a question of the page.

use super::drawn::{Photos, meetings, panels, targets};
use super::dropped::Dropped;
use super::edits::{self, Edit};
use super::memory::Recent;
use super::photo::rings_in_photo;
use super::places::Document;
use super::question::{Question, Wanted};
use crate::forecast::{
    Airs, Forecast, Memory, PartChange, PartChangeTo, Share, forecast_recalling, share_of_draws,
};
use crate::job::{self, FileNeeded, FilesError, Job, JobErrors, MadeOf};
use crate::movement::Rings;
use crate::numerics::{Deadline, Stopped};
use crate::report::{self, ShopWords, Span};
use crate::rings::RingsOfPhoto;
use crate::species::SpeciesTable;
use crate::units::notation::MOST_LISTED;
use crate::units::spanned::Problem;
use crate::units::{Length, UnitSystem};
use jiff::civil::Date;
use rayon::prelude::*;
use serde::Serialize;
use serde_json::{Map, Value, json};
use std::borrow::Cow;
use std::collections::BTreeMap;
use std::sync::Arc;

/// Fewest and most draws a question may ask for, as on the command line.
const DRAWS: (u32, u32) = (16, 1_000_000);

/// Most bytes of moisture years that are kept: those of a few jobs of forty parts.
const SOLVED_BYTES: usize = 64_000_000;

/// What is wrong at a place of the job file.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(super) struct Spanned {
    at: Vec<Value>,
    line: usize,
    column: usize,
    what: String,
    remedy: String,
    picture: String,
}

/// A job that was read and forecast.
pub(super) struct Worked {
    /// The forecast.
    pub(super) forecast: Forecast,
    /// The names under which answers speak of what the file tells.
    items: Vec<Value>,
    /// The ends on which rings are set.
    ends: Vec<Value>,
    full_draws: u32,
}

impl Worked {
    /// The report, as the command line writes it.
    ///
    /// # Errors
    /// [`Stopped`] when the deadline came before its last figure was drawn.
    pub(super) fn html(&self, deadline: Deadline<'_>) -> Result<String, Stopped> {
        let view = report::report_view_before(&self.forecast, deadline)?;
        let words = ShopWords::of(&self.forecast);
        Ok(words.markup(&report::html_page(&view)).into_owned())
    }

    /// Which units come first.
    pub(super) fn units(&self) -> UnitSystem {
        report::system(&self.forecast)
    }

    /// The place in the job file of what answers call so.
    pub(super) fn place_of(&self, name: &str) -> Option<Value> {
        let item = self.items.iter().find(|item| item["name"] == name)?;
        Some(item["at"].clone())
    }
}

/// Everything that decides a forecast.
#[derive(Debug, Clone, PartialEq)]
struct Key {
    text: String,
    name: String,
    files: BTreeMap<String, String>,
    draws: Option<u32>,
}

impl Key {
    fn of(question: &Question) -> Self {
        let text =
            edits::apply(&question.text, &question.edits).unwrap_or_else(|_| question.text.clone());
        Self {
            text,
            name: question.name.clone(),
            files: question.files.clone(),
            draws: question.draws,
        }
    }
}

/// A job with all that it needs to be forecast.
struct Equipped {
    job: Job,
    species: Cow<'static, SpeciesTable>,
    airs: Arc<Airs>,
    full_draws: u32,
}

/// Answers questions, and remembers the last ones.
pub(super) struct Answerer {
    pub(super) dropped: Dropped,
    pub(super) photos: Photos,
    worked: Recent<Key, Worked>,
    airs: Recent<(String, BTreeMap<String, String>), Airs>,
    /// Moisture years solved for earlier questions.
    solved: Memory,
    /// Rings read from the photos of earlier questions.
    rings: Recent<String, RingsOfPhoto>,
}

impl Default for Answerer {
    fn default() -> Self {
        Self {
            dropped: Dropped::default(),
            photos: Photos::new(2),
            worked: Recent::new(4),
            airs: Recent::new(4),
            solved: Memory::new(SOLVED_BYTES),
            rings: Recent::new(64),
        }
    }
}

impl Answerer {
    /// The whole answer to a question, as JSON.
    pub(super) fn answer(&self, question: &Question, today: Date, deadline: Deadline<'_>) -> Value {
        let begun = question.beginning.as_ref().map(|asked| asked.text(today));
        let (base, unfit) = match begun {
            Some(Ok(text)) => (text, None),
            // What was there stays, and what the sizes lack is said.
            Some(Err(error)) => (question.text.clone(), Some(error)),
            None => (question.text.clone(), None),
        };
        let edits: &[Edit] = if unfit.is_some() {
            &[]
        } else {
            &question.edits
        };
        let (text, refused) = match edits::apply(&base, edits) {
            Ok(text) => (text, None),
            Err(error) => (base, Some(error)),
        };
        let document = Document::read(&text);
        let asked = Question {
            text,
            beginning: None,
            edits: Vec::new(),
            ..question.clone()
        };
        let mut problems = Vec::new();
        let mut items = Vec::new();
        let mut given = Value::Null;
        match self.work(&asked, deadline) {
            Ok(worked) => {
                items.clone_from(&worked.items);
                given = forecast_given(&worked, &question.figures, deadline);
            }
            Err(errors) => problems = problems_given(&errors, document.as_ref()),
        }
        // A text that is no TOML says so itself; any other refused change is given.
        if let Some(error) = refused.filter(|_| document.is_some()) {
            problems.push(Spanned {
                at: Vec::new(),
                line: 1,
                column: 1,
                what: error.message(),
                remedy: error.remedy().to_owned(),
                picture: format!("error: {error}"),
            });
        }
        let unfit = unfit.map(|error| json!({ "what": error.message(), "remedy": error.remedy() }));
        json!({
            "unfit": unfit,
            "text": asked.text,
            "document": document.map_or(Value::Null, |document| document.values),
            "problems": problems,
            "items": items,
            "forecast": given,
        })
    }

    /// The forecast that a question asks for.
    ///
    /// # Errors
    /// [`JobErrors`] with everything that is wrong.
    pub(super) fn work(
        &self,
        question: &Question,
        deadline: Deadline<'_>,
    ) -> Result<Arc<Worked>, JobErrors> {
        let key = Key::of(question);
        self.worked
            .get_or(key.clone(), || self.work_out(&key, deadline))
    }

    /// Everything wrong with a job, in places of its file.
    pub(super) fn problems(errors: &JobErrors, text: &str) -> Value {
        json!(problems_given(errors, Document::read(text).as_ref()))
    }

    /// One share of the draws that a question asks for; `None` where they are hardly made again.
    ///
    /// # Errors
    /// [`JobErrors`] with everything that is wrong.
    pub(super) fn share(
        &self,
        question: &Question,
        share: Share,
        deadline: Deadline<'_>,
    ) -> Result<Option<Vec<u8>>, JobErrors> {
        let key = Key::of(question);
        if self.worked.get(&key).is_some() {
            return Ok(None);
        }
        let Equipped {
            job, species, airs, ..
        } = self.equipped(&key, deadline)?;
        share_of_draws(&job, &species, &airs, &self.solved, share, deadline)
    }

    /// Takes in a share of the draws for the next question; says whether it is one.
    pub(super) fn take_in(&self, made: &[u8]) -> bool {
        self.solved.take_in_draws(made)
    }

    fn work_out(&self, key: &Key, deadline: Deadline<'_>) -> Result<Worked, JobErrors> {
        let Equipped {
            job,
            species,
            airs,
            full_draws,
        } = self.equipped(key, deadline)?;
        let forecast = forecast_recalling(&job, &species, &airs, &self.solved, deadline, &|_| ())?;
        Ok(Worked {
            ends: ends(&job, &forecast),
            items: items(&job, &key.text),
            forecast,
            full_draws,
        })
    }

    fn equipped(&self, key: &Key, deadline: Deadline<'_>) -> Result<Equipped, JobErrors> {
        let mut job = job::read(&key.text, &key.name)?;
        let species = self.files(&mut job, key, deadline)?;
        let airs = self.airs(&job, key, deadline)?;
        let full_draws = job.draws;
        if let Some(draws) = key.draws {
            job.draws = draws.clamp(DRAWS.0, DRAWS.1).min(full_draws);
        }
        Ok(Equipped {
            job,
            species,
            airs,
            full_draws,
        })
    }

    /// Woods and leaves that the job keeps in files; every file that is not here is given at once.
    fn files(
        &self,
        job: &mut Job,
        key: &Key,
        deadline: Deadline<'_>,
    ) -> Result<Cow<'static, SpeciesTable>, JobErrors> {
        let missing: Vec<Problem> = job
            .files()
            .iter()
            .filter_map(|file| self.bytes(file, key, deadline).err())
            .collect();
        if !missing.is_empty() {
            return Err(job.error(missing));
        }
        let read = |file: &FileNeeded| self.bytes(file, key, deadline);
        job.read_leaves(read).map_err(given_at(job))?;
        job.read_ring_photos(read, |plan, bytes| {
            let key = plan.key(&report::digest(bytes));
            let found = self.rings.get_or(key, || rings_in_photo(plan, bytes))?;
            Ok((*found).clone())
        })
        .map_err(given_at(job))?;
        job.woods(read).map_err(given_at(job))
    }

    /// The air of every place, read again only when the places or their files changed.
    fn airs(&self, job: &Job, key: &Key, deadline: Deadline<'_>) -> Result<Arc<Airs>, JobErrors> {
        let places = Document::read(&key.text)
            .map(|document| document.values["places"].to_string())
            .unwrap_or_default();
        self.airs.get_or((places, key.files.clone()), || {
            let airs = job
                .airs(|file| self.bytes(file, key, deadline))
                .map_err(given_at(job))?;
            Ok(Airs::new(
                airs.into_iter().map(|air| (air.year, air.notes)).collect(),
            ))
        })
    }

    fn bytes(
        &self,
        file: &FileNeeded,
        key: &Key,
        deadline: Deadline<'_>,
    ) -> Result<Arc<[u8]>, Problem> {
        // A job may name one large file many times.
        deadline
            .check()
            .map_err(|stopped| file.problem(stopped.to_string(), "name fewer files".to_owned()))?;
        self.file(file, &key.files)
    }

    /// The bytes of a file that a job names, among the dropped ones.
    pub(super) fn file(
        &self,
        file: &FileNeeded,
        files: &BTreeMap<String, String>,
    ) -> Result<Arc<[u8]>, Problem> {
        let name = file.path.rsplit(['/', '\\']).next().unwrap_or(&file.path);
        let id = files.get(&file.path).or_else(|| files.get(name));
        match id {
            None => Err(file.problem(
                format!("`{name}` is not here: a page reads no file of itself"),
                format!("drop {}, `{name}`, on this page", file.why),
            )),
            Some(id) => match self.dropped.bytes(id) {
                Some(bytes) if bytes.len() > file.why.most_bytes() => Err(file.too_large()),
                Some(bytes) => Ok(bytes),
                None => Err(file.problem(
                    format!("`{name}` is no longer here: the program was started again"),
                    format!("drop {}, `{name}`, on this page again", file.why),
                )),
            },
        }
    }
}

fn given_at(job: &Job) -> impl Fn(FilesError<Problem>) -> JobErrors + '_ {
    |error| match error {
        FilesError::File { error, .. } => job.error(vec![error]),
        FilesError::Job(errors) => errors,
    }
}

fn problems_given(errors: &JobErrors, document: Option<&Document>) -> Vec<Spanned> {
    let mut given: Vec<Spanned> = errors
        .problems()
        .iter()
        .take(MOST_LISTED)
        .map(|problem| {
            let (line, column) = errors.place(problem);
            Spanned {
                at: document
                    .map(|document| document.path_of(&problem.span))
                    .unwrap_or_default(),
                line,
                column,
                what: problem.message.clone(),
                remedy: problem.remedy.clone(),
                picture: errors.picture(problem),
            }
        })
        .collect();
    given.extend(errors.more().map(|words| Spanned {
        at: Vec::new(),
        line: 1,
        column: 1,
        picture: words.clone(),
        remedy: String::new(),
        what: words,
    }));
    given
}

/// The names under which answers speak of what the file tells, with its place in the file.
fn items(job: &Job, text: &str) -> Vec<Value> {
    let mut items: Vec<Value> = Vec::new();
    let mut add = |at: Value, name: &str| items.push(json!({ "at": at, "name": name }));
    let lists: [(&str, Vec<&str>); 5] = [
        (
            "parts",
            job.parts.iter().map(|part| part.name.as_str()).collect(),
        ),
        (
            "boards",
            job.boards.iter().map(|board| board.name.as_str()).collect(),
        ),
        (
            "panels",
            job.panels.iter().map(|panel| panel.name.as_str()).collect(),
        ),
        (
            "straighten",
            job.straighten
                .iter()
                .map(|plan| job.parts[plan.part.0].name.as_str())
                .collect(),
        ),
        (
            "shelves",
            job.shelves
                .iter()
                .map(|plan| job.parts[plan.part.0].name.as_str())
                .collect(),
        ),
    ];
    for (section, names) in lists {
        for (index, name) in names.into_iter().enumerate() {
            add(json!([section, index]), name);
        }
    }
    let document = Document::read(text);
    for plan in &job.joints {
        let path = document
            .as_ref()
            .map(|document| document.path_of(&plan.span))
            .unwrap_or_default();
        if path.len() >= 3 {
            add(json!(path[..3]), &plan.name);
        }
    }
    items
}

/// A forecast as the page shows it. Figures that are not drawn when the deadline comes are left out: nobody waits for them.
fn forecast_given(worked: &Worked, wanted: &Wanted, deadline: Deadline<'_>) -> Value {
    let forecast = &worked.forecast;
    let view = report::view_without_figures(forecast);
    let pieces = report::pieces(&view);
    let words = ShopWords::of(forecast);
    let shown = |html: &str| words.markup(html).into_owned();
    let said = |list: &[String]| -> Vec<String> {
        let list = list.iter();
        list.map(|text| words.text(text).into_owned()).collect()
    };
    let cards: Vec<Value> = view
        .cards
        .iter()
        .zip(pieces.cards)
        .map(
            |(card, html)| json!({
                "joint": card.joint,
                "stamp": card.verdict.word(),
                "html": shown(&html),
                "remedies": card.remedies.iter().map(|one| change(one.change.as_ref())).collect::<Vec<_>>(),
            }),
        )
        .collect();
    let mut figures = Vec::new();
    let mut asked = Vec::new();
    let sketches = report::sketches(forecast);
    for group in &sketches.groups {
        let span = match group.span {
            Span::Wide => "wide",
            Span::Half => "half",
            Span::Third => "third",
        };
        for sketch in &group.sketches {
            figures.push(json!({
                "id": sketch.id(),
                "about": sketch.about(),
                "title": words.text(sketch.title()),
                "span": span,
            }));
            if wanted.wants(sketch.id()) {
                asked.push((sketch, group.span));
            }
        }
    }
    // Only what is looked at is drawn.
    let plates: Map<String, Value> = asked
        .into_par_iter()
        .filter(|_| !deadline.is_over())
        .map(|(sketch, span)| {
            let html = shown(&report::plate(&sketch.draw(), span).into_string());
            (sketch.id().to_owned(), Value::from(html))
        })
        .collect::<Vec<_>>()
        .into_iter()
        .collect();
    json!({
        "piece": view.piece,
        "units": if view.units == UnitSystem::Inch { "inch" } else { "mm" },
        "draws": forecast.job.draws,
        "full_draws": worked.full_draws,
        "cards": cards,
        "setup": shown(&pieces.setup),
        "steps": pieces.steps.iter().map(|(id, html)| json!({ "id": id, "html": shown(html) })).collect::<Vec<_>>(),
        "next": shown(&pieces.narrow),
        "numbers": shown(&pieces.numbers),
        "client": shown(&pieces.client),
        "cautions": said(&view.cautions),
        "warnings": said(&view.warnings),
        "assumptions": said(&view.assumptions),
        "figures": figures,
        "plates": plates,
        "targets": targets(worked, |id| wanted.wants(id)),
        "meetings": meetings(forecast),
        "panels": panels(forecast),
        "ends": worked.ends,
    })
}

/// A remedy as changes of the job file.
fn change(change: Option<&PartChange>) -> Value {
    let Some(PartChange { part, to }) = change else {
        return Value::Null;
    };
    let (key, to) = match to {
        PartChangeTo::Moisture(moisture) => ("moisture", json!(format!("{moisture:.1}"))),
        PartChangeTo::Finish(kind, coats) => ("finish", json!({ "kind": kind, "coats": coats })),
        PartChangeTo::Quartersawn => ("rings", json!({ "sawn": "quarter" })),
        PartChangeTo::Species(name) => ("species", json!(name)),
    };
    json!([{ "at": ["parts", part.0, key], "to": to }])
}

/// The ends on which rings are set by hand or read from a photo, with their places in the file: those of the parts as they are
/// forecast, of the boards that parts are glued up from, of boards to resaw and of leaves.
fn ends(job: &Job, forecast: &Forecast) -> Vec<Value> {
    let mut ends: Vec<Value> = Vec::new();
    let mut add = |at: Value, width: Length, thickness: Length, rings: Option<Rings>| {
        let pith = match rings {
            Some(Rings::Pith { depth, offset }) => json!([depth.mm(), offset.mm()]),
            _ => Value::Null,
        };
        ends.push(json!({
            "at": at,
            "width_mm": width,
            "thickness_mm": thickness,
            "pith_mm": pith,
        }));
    };
    for (index, (part, section)) in forecast.parts.iter().zip(&forecast.sections).enumerate() {
        let at = json!(["parts", index]);
        add(at, part.width, part.thickness, Some(section.rings));
    }
    for (index, part) in job.parts.iter().enumerate() {
        let Some(MadeOf::Boards { boards, .. }) = &part.made_of else {
            continue;
        };
        for (place, board) in boards.iter().enumerate() {
            let (section, at) = (board.section, json!(["parts", index, "made_of", place]));
            let rings = Some(section.rings);
            add(at, section.width, section.thickness, rings);
        }
    }
    for (index, plan) in job.boards.iter().enumerate() {
        let board = &plan.board;
        let at = json!(["boards", index]);
        add(at, board.width, board.thickness, board.rings);
    }
    for (index, panel) in job.panels.iter().enumerate() {
        for (place, leaf) in panel.leaves().unwrap_or_default().iter().enumerate() {
            let at = json!(["panels", index, "leaves", place]);
            add(at, leaf.width, leaf.thickness, leaf.rings);
        }
    }
    ends
}
