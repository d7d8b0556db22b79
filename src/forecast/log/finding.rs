//! What a log says, as data and in words.

use super::LogRead;
use super::changes::{LogChange, changes};
use super::learned::{Learned, ask_next_time, learned};
use super::next::{NextMeasurement, measure_next};
use super::posterior::ENOUGH;
use crate::chance::{Band, DOUBTED_DEVIATIONS, in_hundred};
use crate::forecast::findings::FitFinding;
use crate::forecast::study::Study;
use crate::job::{Job, LogEntry, LogReading};
use crate::units::notation::{mass_shown, percent_shown, shown, the};
use crate::units::{Length, Mass, UnitSystem};
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
    pub date: String,
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

/// A reading with what was expected of it: the middle and both ends of the 90 % band.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(untagged)]
pub enum LogNumbers {
    /// Of a size, a bend or a gap.
    Length {
        /// The reading.
        read_mm: f64,
        /// The middle of what was expected.
        expected_mm: f64,
        /// Lower end of its band.
        expected_low_mm: f64,
        /// Upper end of its band.
        expected_high_mm: f64,
    },
    /// Of a moisture or a humidity.
    Percent {
        /// The reading.
        read_percent: f64,
        /// The middle of what was expected.
        expected_percent: f64,
        /// Lower end of its band.
        expected_low_percent: f64,
        /// Upper end of its band.
        expected_high_percent: f64,
    },
    /// Of a weight.
    Mass {
        /// The reading.
        read_g: f64,
        /// The middle of what was expected.
        expected_g: f64,
        /// Lower end of its band.
        expected_low_g: f64,
        /// Upper end of its band.
        expected_high_g: f64,
    },
}

impl LogNumbers {
    fn of(reading: &LogReading, band: Band) -> Self {
        let read = reading.number();
        match reading {
            LogReading::Moisture(_) | LogReading::Air { .. } => Self::Percent {
                read_percent: read,
                expected_percent: band.middle,
                expected_low_percent: band.low,
                expected_high_percent: band.high,
            },
            LogReading::Weight(_) => Self::Mass {
                read_g: read,
                expected_g: band.middle,
                expected_low_g: band.low,
                expected_high_g: band.high,
            },
            _ => Self::Length {
                read_mm: read,
                expected_mm: band.middle,
                expected_low_mm: band.low,
                expected_high_mm: band.high,
            },
        }
    }

    /// The reading, and the middle, lower and upper end of what was expected: mm, percent or grams.
    #[must_use]
    pub const fn all(&self) -> [f64; 4] {
        match *self {
            Self::Length {
                read_mm,
                expected_mm,
                expected_low_mm,
                expected_high_mm,
            } => [read_mm, expected_mm, expected_low_mm, expected_high_mm],
            Self::Percent {
                read_percent,
                expected_percent,
                expected_low_percent,
                expected_high_percent,
            } => [
                read_percent,
                expected_percent,
                expected_low_percent,
                expected_high_percent,
            ],
            Self::Mass {
                read_g,
                expected_g,
                expected_low_g,
                expected_high_g,
            } => [read_g, expected_g, expected_low_g, expected_high_g],
        }
    }

    /// One of its numbers with its unit.
    #[must_use]
    pub fn shown(&self, number: f64, units: UnitSystem) -> String {
        match self {
            Self::Length { .. } => shown(Length::from_mm_unchecked(number), units),
            Self::Percent { .. } => percent_shown(number),
            Self::Mass { .. } => mass_shown(Mass::computed_grams(number), units),
        }
    }
}

impl LoggedEntry {
    /// The entry in words: `the drawer side, width 206.9 mm`.
    #[must_use]
    pub fn words(&self, units: UnitSystem) -> String {
        let [read, ..] = self.numbers.all();
        format!(
            "{}, {} {}",
            the(&self.name),
            self.quantity,
            self.numbers.shown(read, units)
        )
    }
}

/// What the log of a job says; `fits` are its findings.
pub(in crate::forecast) fn finding(
    study: &Study<'_>,
    job: &Job,
    read: &LogRead,
    fits: &[FitFinding],
) -> LogFinding {
    let entries: Vec<LoggedEntry> = read
        .entries
        .iter()
        .zip(&read.expected)
        .zip(&read.doubted)
        .map(
            |((entry, band), doubted): ((&LogEntry, &Band), _)| LoggedEntry {
                date: entry.date.to_string(),
                name: entry.name.clone(),
                quantity: entry.reading.quantity(),
                numbers: LogNumbers::of(&entry.reading, *band),
                doubted: doubted.is_some(),
                note: entry.note.clone(),
            },
        )
        .collect();
    let doubted = entries
        .iter()
        .zip(&read.doubted)
        .filter_map(|(entry, deviations)| {
            let [_, middle, low, high] = entry.numbers.all();
            let within = (high - low) / 2.0;
            let deviations = (*deviations)?;
            let far = if deviations < 100.0 {
                format!("{deviations:.0}")
            } else {
                "over 100".to_owned()
            };
            Some(format!(
                "the log of {}: {} is doubted and left out, {far} standard deviations from what the other readings say (more than {DOUBTED_DEVIATIONS:.0}); about {} within {} was expected: check its unit, its date and what was measured",
                entry.date,
                entry.words(job.units),
                entry.numbers.shown(middle, job.units),
                entry.numbers.shown(within, job.units),
            ))
        })
        .collect();
    let last = &entries[read.last];
    let enough = ENOUGH.min(f64::from(job.draws) / 2.0);
    LogFinding {
        learned: learned(job, study.prepared, study.inputs),
        changed: LogChange {
            date: last.date.clone(),
            measured: last.words(job.units),
            joints: changes(study, job, read),
        },
        doubted,
        measure_next: measure_next(study, job, fits),
        ask_next_time: ask_next_time(job, study.prepared, study.inputs),
        effective_draws: read.effective,
        drawn_again: read.drawn_again,
        few_draws: (read.effective < enough).then(|| {
            format!(
                "after the log only {:.0} of {} draws count, although they were drawn again around its readings: its bands and chances are rough, and more draws under [job] make them finer",
                read.effective, job.draws
            )
        }),
        entries,
    }
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
        if self.changed.joints.is_empty() {
            list.push("It changes no chance and no cut.".to_owned());
        }
        list.extend(
            self.changed
                .joints
                .iter()
                .map(|joint| sentence(&joint.words)),
        );
        list.extend(self.doubted.iter().map(|words| sentence(words)));
        list.extend(self.measure_next.iter().map(|next| {
            sentence(&format!(
                "before the cut of {} on {}: {}; it then holds in {} instead of {}",
                next.joint,
                next.before,
                next.measure,
                in_hundred(next.holds_measured_chance_percent),
                in_hundred(next.holds_chance_percent)
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
