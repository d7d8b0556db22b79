//! Files dropped on the page: their bytes, kept in memory and nowhere else.

use super::memory::Recent;
use super::photo::{is_photo, read_photo};
use crate::air::logger::Options;
use crate::air::weather_file::{self, WeatherFile};
use crate::air::{DropReason, MonthOfAir};
use crate::job::{MOST_TABLE_BYTES, not_utf_8};
use crate::panel::leaves_csv;
use crate::report::digest;
use crate::species::SpeciesTable;
use crate::units::{Refusal, Refusals};
use serde::Serialize;
use std::sync::{Arc, Mutex, PoisonError};

/// Maximum size of all files together, bytes; the oldest goes first.
const MAX_ALL: usize = 320_000_000;

/// What a dropped file holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum FileKind {
    /// A logger's readings.
    Logger,
    /// A weather file (EPW).
    Weather,
    /// Leaves as rows.
    Leaves,
    /// A table of woods.
    Species,
    /// A photo of a board's end.
    Photo,
}

/// What the page is given of a dropped file.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct GivenFile {
    /// The file's id: the same bytes have the same id.
    pub id: String,
    /// Its name.
    pub name: String,
    /// What it holds.
    pub kind: FileKind,
    /// What was read, in plain words.
    pub words: String,
    /// A file of air month by month, January first, where it tells a whole year.
    pub months: Option<Vec<GivenMonth>>,
}

/// The mean air of a month.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct GivenMonth {
    /// Relative humidity, percent.
    pub humidity_percent: f64,
    /// Temperature, C.
    pub temperature_celsius: f64,
}

/// The files dropped on the page, by their ids.
pub struct Dropped {
    files: Mutex<Vec<(String, Arc<[u8]>)>>,
    given: Recent<(String, String), Result<GivenFile, Refusal>>,
}

impl Default for Dropped {
    fn default() -> Self {
        Self {
            files: Mutex::new(Vec::new()),
            given: Recent::new(64),
        }
    }
}

impl Dropped {
    /// Takes a file, after a look at what it holds.
    ///
    /// # Errors
    /// [`Refusal`] in the words of the command line when it holds nothing the program reads.
    pub fn take(&self, name: &str, bytes: Vec<u8>) -> Result<GivenFile, Refusal> {
        let id = digest(&bytes);
        let question = (id.clone(), name.to_owned());
        let given = match self.given.get(&question) {
            Some(given) => given,
            None => {
                let given = Arc::new(look(name, &id, &bytes));
                self.given.put(question, Arc::clone(&given));
                given
            }
        };
        if given.is_ok() {
            self.keep(id, bytes.into());
        }
        (*given).clone()
    }

    /// Keeps bytes whose use is known; the oldest files go when all together are too large.
    pub fn keep(&self, id: String, bytes: Arc<[u8]>) {
        let mut files = self.files.lock().unwrap_or_else(PoisonError::into_inner);
        files.retain(|(known, _)| *known != id);
        files.push((id, bytes));
        let mut total: usize = files.iter().map(|(_, bytes)| bytes.len()).sum();
        while total > MAX_ALL && files.len() > 1 {
            total -= files.remove(0).1.len();
        }
    }

    /// The bytes of an id.
    #[must_use]
    pub fn bytes(&self, id: &str) -> Option<Arc<[u8]>> {
        let files = self.files.lock().unwrap_or_else(PoisonError::into_inner);
        files
            .iter()
            .find(|(known, _)| known == id)
            .map(|(_, bytes)| Arc::clone(bytes))
    }
}

fn look(name: &str, id: &str, bytes: &[u8]) -> Result<GivenFile, Refusal> {
    let given = |kind, words| GivenFile {
        id: id.to_owned(),
        name: name.to_owned(),
        kind,
        words,
        months: None,
    };
    if is_photo(bytes) {
        let photo = read_photo(bytes)?;
        return Ok(given(
            FileKind::Photo,
            format!("a photo of {} by {} pixels", photo.width(), photo.height()),
        ));
    }
    match table_kind(bytes) {
        Some(FileKind::Species) => {
            let text = table_text(name, bytes)?;
            let table = SpeciesTable::with_user_csv(text, name).map_err(Refusals::into_one)?;
            Ok(given(
                FileKind::Species,
                format!("a table of {} woods of your own", table.own_count()),
            ))
        }
        Some(FileKind::Leaves) => {
            let text = table_text(name, bytes)?;
            let leaves =
                leaves_csv::read(text).map_err(|error| error.into_one().at(format!("`{name}`")))?;
            Ok(given(FileKind::Leaves, format!("{} leaves", leaves.len())))
        }
        _ => air(name, bytes).map(|(kind, words, months)| GivenFile {
            months,
            ..given(kind, words)
        }),
    }
}

fn table_text<'a>(name: &str, bytes: &'a [u8]) -> Result<&'a str, Refusal> {
    if bytes.len() > MOST_TABLE_BYTES {
        return Err(Refusal::new(
            format!("`{name}` is larger than {MOST_TABLE_BYTES} bytes"),
            "a table of this kind is a few pages of text: check that it is the one you mean",
        ));
    }
    std::str::from_utf8(bytes).map_err(|_| not_utf_8(name))
}

/// A table of woods or of leaves, by the heads of its columns.
fn table_kind(bytes: &[u8]) -> Option<FileKind> {
    let head = bytes.split(|byte| *byte == b'\n').next()?;
    let head = std::str::from_utf8(head.get(..head.len().min(4_000))?)
        .ok()?
        .trim_start_matches('\u{feff}')
        .to_lowercase();
    let has = |wanted: &str| {
        head.split([',', ';', '\t'])
            .any(|cell| cell.trim().trim_matches('"') == wanted)
    };
    if has("species") && (has("tangential_percent") || has("radial_percent")) {
        Some(FileKind::Species)
    } else if has("leaf") {
        Some(FileKind::Leaves)
    } else {
        None
    }
}

/// What is given of a file of air: its kind, words, and its months.
type GivenAir = (FileKind, String, Option<Vec<GivenMonth>>);

fn air(name: &str, bytes: &[u8]) -> Result<GivenAir, Refusal> {
    let reading = match weather_file::read(bytes, name, &Options::default()) {
        Ok(reading) => reading,
        Err(error) => {
            // What the job file can settle is no reason to refuse: the form asks for it.
            if error.asks() {
                return Ok((FileKind::Logger, error.to_string(), None));
            }
            return Err(error.into());
        }
    };
    let kind = match &reading {
        WeatherFile::Epw(_) => FileKind::Weather,
        WeatherFile::Logger(_) => FileKind::Logger,
    };
    let mut words = match &reading {
        WeatherFile::Epw(epw) => format!("weather of {}, {}", epw.station, epw.region),
        WeatherFile::Logger(logger) => {
            let last = logger.record.hours().len().saturating_sub(1);
            format!(
                "readings from {} to {}",
                logger.record.start().date(),
                logger.record.time(last).date()
            )
        }
    };
    let dropped: Vec<String> = reading
        .rows_dropped()
        .iter()
        .map(|(reason, rows): (DropReason, usize)| format!("{rows} {}", reason.words()))
        .collect();
    words.push_str(&format!(
        "; {} of {} rows used",
        reading.rows_used(),
        reading.rows_read()
    ));
    if !dropped.is_empty() {
        words.push_str(&format!(" (left out: {})", dropped.join(", ")));
    }
    if let Some(range) = range(&reading.months()) {
        words.push_str(&format!("; {range}"));
    }
    let months = reading.year(name).ok().map(|year| {
        year.monthly_means()
            .iter()
            .map(|air| GivenMonth {
                humidity_percent: air.humidity.percent(),
                temperature_celsius: air.temperature.celsius(),
            })
            .collect()
    });
    Ok((kind, words, months))
}

fn range(months: &[MonthOfAir]) -> Option<String> {
    let hours: f64 = months.iter().map(|month| month.hours as f64).sum();
    if hours <= 0.0 {
        return None;
    }
    let mean = |of: fn(&MonthOfAir) -> f64| {
        months
            .iter()
            .map(|month| of(month) * month.hours as f64)
            .sum::<f64>()
            / hours
    };
    let min = months
        .iter()
        .map(|month| month.humidity_min_percent)
        .fold(f64::MAX, f64::min);
    let max = months
        .iter()
        .map(|month| month.humidity_max_percent)
        .fold(f64::MIN, f64::max);
    Some(format!(
        "humidity {:.0} % in the mean, from {min:.0} to {max:.0} %, at {:.0} C ({:.0} F)",
        mean(|month| month.humidity_percent),
        mean(|month| month.celsius),
        mean(|month| month.celsius) * 1.8 + 32.0
    ))
}
