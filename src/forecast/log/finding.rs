//! What a log says, as data and in words.

use super::changes::{LeafChange, LogChange, PanelChange, changes};
use super::learned::{Learned, ask_next_time, learned};
use super::next::{NextMeasurement, measure_next};
use super::posterior::ENOUGH;
use super::stock::{leaf_changes, panel_changes};
use super::{Compared, LogRead};
use crate::chance::{Band, DOUBTED_DEVIATIONS, in_hundred};
use crate::forecast::airs::Airs;
use crate::forecast::boards::{self, BoardStudy};
use crate::forecast::findings::FitFinding;
use crate::forecast::memory::Memory;
use crate::forecast::panels::{self, PanelStudy};
use crate::forecast::study::Study;
use crate::job::{Job, LogReading};
use crate::numerics::Stopped;
use crate::species::SpeciesTable;
use crate::units::notation::{mass_shown, percent_shown, shown, the};
use crate::units::spanned::Problems;
use crate::units::{Length, Mass, MoistureContent, RelativeHumidity, UnitSystem};
use jiff::civil::Date;
use serde::Serialize;

/// What the log of a job says.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LogFinding {
    /// Its entries by day.
    pub entries: Vec<LoggedEntry>,
    /// What it says of wood, meter and rooms.
    pub learned: Vec<Learned>,
    /// What the last entry changed.
    pub changed: LogChange,
    /// Readings that were left out because they disagree with the others, in words.
    pub doubted: Vec<String>,
    /// What to measure next, what is worth most first.
    pub measure_next: Vec<NextMeasurement>,
    /// What to ask before the next piece for the same house.
    pub ask_next_time: Vec<String>,
    /// How many draws count of those made.
    pub effective_draws: f64,
    /// Whether the draws were made again around the update, because too few counted.
    pub drawn_again: bool,
    /// Why the bands are rough, where fewer draws count than should.
    pub few_draws: Option<String>,
}

/// One entry, and what was expected of it before anything was logged.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LoggedEntry {
    /// The day.
    pub date: Date,
    /// What was measured.
    pub name: String,
    /// Its quantity.
    pub quantity: &'static str,
    /// The reading.
    #[serde(flatten)]
    pub numbers: LogNumbers,
    /// Whether it is left out because it disagrees with the others.
    pub doubted: bool,
    /// What the maker wrote beside it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
}

/// A reading with what was expected of it before the log, and what the log now says of the same.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct ReadAgainst<T> {
    /// The reading.
    pub read: T,
    /// What was expected.
    pub expected: Band<T>,
    /// What the log says of it.
    pub known: Band<T>,
}

/// The same in its quantity.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(untagged)]
pub enum LogNumbers {
    /// Of a size, a bend or a gap.
    Length(ReadAgainst<Length>),
    /// Of a moisture.
    Moisture(ReadAgainst<MoistureContent>),
    /// Of the air.
    Humidity(ReadAgainst<RelativeHumidity>),
    /// Of a weight.
    Mass(ReadAgainst<Mass>),
}

impl<T: Copy + PartialOrd> ReadAgainst<T> {
    fn map<U: Copy + PartialOrd>(self, of: fn(T) -> U) -> ReadAgainst<U> {
        ReadAgainst {
            read: of(self.read),
            expected: self.expected.map(of),
            known: self.known.map(of),
        }
    }
}

impl LogNumbers {
    fn of(reading: &LogReading, compared: &Compared) -> Self {
        let numbers = ReadAgainst {
            read: reading.number(),
            expected: compared.expected,
            known: compared.now,
        };
        match reading {
            LogReading::Moisture(_) => {
                Self::Moisture(numbers.map(MoistureContent::computed_percent))
            }
            LogReading::Air { .. } => {
                Self::Humidity(numbers.map(RelativeHumidity::computed_percent))
            }
            LogReading::Weight(_) => Self::Mass(numbers.map(Mass::computed_grams)),
            _ => Self::Length(numbers.map(Length::from_mm_unchecked)),
        }
    }

    /// The numbers: mm, percent or grams.
    #[must_use]
    pub fn plain(&self) -> ReadAgainst<f64> {
        match *self {
            Self::Length(numbers) => numbers.map(Length::mm),
            Self::Moisture(numbers) => numbers.map(MoistureContent::percent),
            Self::Humidity(numbers) => numbers.map(RelativeHumidity::percent),
            Self::Mass(numbers) => numbers.map(Mass::grams),
        }
    }

    /// One of its numbers with its unit.
    #[must_use]
    pub fn shown(&self, number: f64, units: UnitSystem) -> String {
        match self {
            Self::Length(_) => shown(Length::from_mm_unchecked(number), units),
            Self::Moisture(_) | Self::Humidity(_) => percent_shown(number),
            Self::Mass(_) => mass_shown(Mass::computed_grams(number), units),
        }
    }
}

impl LoggedEntry {
    /// The entry in words: `the drawer side, width 206.9 mm`.
    #[must_use]
    pub fn words(&self, units: UnitSystem) -> String {
        let read = self.numbers.plain().read;
        format!(
            "{}, {} {}",
            the(&self.name),
            self.quantity,
            self.numbers.shown(read, units)
        )
    }
}

/// What else a forecast has found that a log is compared with.
pub(in crate::forecast) struct Beside<'a> {
    pub(in crate::forecast) fits: &'a [FitFinding],
    pub(in crate::forecast) boards: &'a [BoardStudy],
    pub(in crate::forecast) panels: &'a [PanelStudy],
    pub(in crate::forecast) species: &'a SpeciesTable,
    pub(in crate::forecast) airs: &'a Airs,
    pub(in crate::forecast) memory: &'a Memory,
}

/// What the log of a job says.
///
/// # Errors
/// [`Stopped`] at the deadline.
pub(in crate::forecast) fn finding(
    study: &Study<'_>,
    job: &Job,
    read: &LogRead,
    beside: &Beside<'_>,
) -> Result<LogFinding, Stopped> {
    let entries: Vec<LoggedEntry> = read
        .entries
        .iter()
        .map(|read| LoggedEntry {
            date: read.entry.date,
            name: read.entry.name.clone(),
            quantity: read.entry.reading.quantity(),
            numbers: LogNumbers::of(&read.entry.reading, &read.compared),
            doubted: read.compared.doubted.is_some(),
            note: read.entry.note.clone(),
        })
        .collect();
    let doubted = entries
        .iter()
        .zip(&read.entries)
        .filter_map(|(entry, read)| Some(doubt(entry, read.compared.doubted?, job.units)))
        .collect();
    let last = &entries[read.last];
    let before = read.before(job, study.prepared, beside.airs, study.deadline)?;
    let joints = match &before {
        Some(before) => changes(study, job, before)?,
        None => Vec::new(),
    };
    let (leaves, panels) = if read.last().entry.subject.is_stock() {
        stock_changes(study, job, read, beside)?
    } else {
        (Vec::new(), Vec::new())
    };
    let enough = ENOUGH.min(f64::from(job.draws) / 2.0);
    let drawn = read.drawn.as_ref();
    Ok(LogFinding {
        learned: learned(job, study.prepared, study.inputs),
        changed: LogChange {
            date: last.date,
            measured: last.words(job.units),
            joints,
            leaves,
            panels,
        },
        doubted,
        measure_next: measure_next(study, job, beside.fits)?,
        ask_next_time: ask_next_time(job, study.prepared, study.inputs),
        effective_draws: drawn.map_or(f64::from(job.draws), |drawn| drawn.effective),
        drawn_again: drawn.is_some_and(|drawn| drawn.drawn_again),
        few_draws: drawn.filter(|drawn| drawn.effective < enough).map(|drawn| {
            format!(
                "after the log only {:.0} of {} draws count, although they were drawn again around its readings: its bands and chances are rough, and more draws under [job] make them finer",
                drawn.effective, job.draws
            )
        }),
        entries,
    })
}

/// Why a reading was left out.
fn doubt(entry: &LoggedEntry, deviations: f64, units: UnitSystem) -> String {
    let Band {
        low, middle, high, ..
    } = entry.numbers.plain().expected;
    let within = (high - low) / 2.0;
    let far = if deviations < 100.0 {
        format!("{deviations:.0}")
    } else {
        "over 100".to_owned()
    };
    format!(
        "the log of {}: {} is doubted and left out, {far} standard deviations from what the other readings say (more than {DOUBTED_DEVIATIONS:.0}); about {} within {} was expected: check its unit, its date and what was measured",
        entry.date,
        entry.words(units),
        entry.numbers.shown(middle, units),
        entry.numbers.shown(within, units),
    )
}

/// What the last reading, of a board or a leaf, changed of the leaves and the panels.
fn stock_changes(
    study: &Study<'_>,
    job: &Job,
    read: &LogRead,
    beside: &Beside<'_>,
) -> Result<(Vec<LeafChange>, Vec<PanelChange>), Stopped> {
    study.deadline.check()?;
    let (prepared, species) = (study.prepared, beside.species);
    let today = prepared.timeline.date(0);
    // The same boards and panels had no problem when the job was read.
    let mut problems = Problems::default();
    let unlogged = boards::studies(
        job,
        &job.boards,
        species,
        beside.airs,
        today,
        study.deadline,
        &mut problems,
    );
    let scatter = prepared.meter.scatter;
    let plans = super::stock_before(job, &read.last().entry, &unlogged, scatter);
    let was = boards::studies(
        job,
        &plans.boards,
        species,
        beside.airs,
        today,
        study.deadline,
        &mut problems,
    );
    study.deadline.check()?;
    let leaves = leaf_changes(&was, beside.boards, job.units);
    let laid = panels::laid(
        job,
        &plans.panels,
        species,
        prepared,
        &study.workspace,
        &mut problems,
    );
    let was = panels::studies(laid, beside.memory, study.deadline)?;
    Ok((leaves, panel_changes(&was, beside.panels, job.units)))
}

impl LogFinding {
    /// The log in plain words, a sentence each: what was last measured and what that changed, what disagrees, what to measure next.
    #[must_use]
    pub fn words(&self) -> Vec<String> {
        let mut list = vec![format!(
            "Last measured, {}: {}.",
            self.changed.date, self.changed.measured
        )];
        let sentence = |words: &str| format!("{}.", upper(words));
        list.extend(self.learned.iter().take(4).map(|one| sentence(&one.words)));
        let changed = &self.changed;
        if changed.is_empty() {
            list.push("It changes no chance and no cut.".to_owned());
        }
        list.extend(changed.joints.iter().map(|joint| sentence(&joint.words)));
        list.extend(changed.leaves.iter().map(|leaf| sentence(&leaf.words)));
        list.extend(changed.panels.iter().map(|panel| sentence(&panel.words)));
        list.extend(self.doubted.iter().map(|words| sentence(words)));
        list.extend(self.measure_next.iter().map(|next| {
            // The day of a cut that was put off is no day to speak of.
            let day = if next.before > changed.date {
                format!(" on {}", next.before)
            } else {
                String::new()
            };
            sentence(&format!(
                "before the cut of {}{day}: {}; it then holds in {} instead of {}",
                next.joint,
                next.measure,
                in_hundred(next.holds_measured_chance),
                in_hundred(next.holds_chance)
            ))
        }));
        list.extend(self.ask_next_time.iter().map(|words| sentence(words)));
        list.extend(self.few_draws.iter().map(|words| sentence(words)));
        list
    }
}

/// A sentence's first letter as a capital.
fn upper(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}
