//! The air of a job's places: given whole in the job file, or in a file it names.

use super::checked::{FileNeeded, Job};
use super::errors::JobErrors;
use crate::air::indoor::Indoor;
use crate::air::logger::Options;
use crate::air::{AirYear, Columns, cautions, weather_file};
use crate::units::Refusal;
use crate::units::spanned::Problem;
use std::ops::Range;

/// The place of a [`Place`] in its job.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct PlaceId(pub usize);

/// Where the air of a place comes from.
#[derive(Debug, Clone, PartialEq)]
pub enum Climate {
    /// A year that the job file tells by itself; indoors already where it given a room.
    Year(AirYear),
    /// A file of air: a logger's, or a weather file.
    File {
        /// The file as given.
        file: FileNeeded,
        /// What the maker says about it.
        options: Options,
        /// The room, when the file's air is that of outdoors.
        indoor: Option<Indoor>,
    },
}

/// How the humidity of a place is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AirKnown {
    /// By a logger that was left there.
    Logged,
    /// By seasons, months or a reading.
    Given,
    /// Worked out from outdoor air.
    WorkedOut,
}

/// Days of a month of logging.
pub const MONTH_OF_LOGGING: u16 = 30;

impl AirKnown {
    /// Within how many points its mean humidity is right, nine times in ten: a logger that read it for a year 2, its own error,
    /// for a month 4, seasons or a reading 6, outdoor air brought indoors 8 (judgement; months of the two houses that
    /// the room model was tuned on are 4.3 and 7.1 apart from it, root mean square).
    ///
    /// Between a month and a year the square of what the days not read leave falls as one over the days that were read.
    #[must_use]
    pub fn within_points(self, days_read: u16) -> f64 {
        const YEAR: f64 = 2.0;
        const MONTH: f64 = 4.0;
        match self {
            Self::Logged => {
                let not_read = |days: u16| (365.0 / f64::from(days.clamp(1, 365)) - 1.0).max(0.0);
                let share = not_read(days_read) / not_read(MONTH_OF_LOGGING);
                (YEAR * YEAR + (MONTH * MONTH - YEAR * YEAR) * share).sqrt()
            }
            Self::Given => 6.0,
            Self::WorkedOut => 8.0,
        }
    }
}

/// A place of the job.
#[derive(Debug, Clone, PartialEq)]
pub struct Place {
    /// How its humidity is known.
    pub known: AirKnown,
    /// The name under `[places]`.
    pub name: String,
    /// Where the file tells it.
    pub span: Range<usize>,
    /// Its air in words: `Denver, CO, United States; heated to 20 C; ...`.
    pub given: String,
    /// Its air.
    pub climate: Climate,
    /// What makes no sense in what was given of it.
    pub cautions: Vec<String>,
}

/// A place's air, ready for wood.
#[derive(Debug, Clone, PartialEq)]
pub struct PlaceAir {
    /// The year of air, indoors already where a room was given.
    pub year: AirYear,
    /// What the maker should know about it: rows left out of a file, gaps bridged, no seasons at all.
    pub notes: Vec<String>,
}

/// Why what a job keeps in other files could not be had.
#[derive(Debug, Clone, PartialEq)]
pub enum FilesError<E> {
    /// A file that the job names could not be read.
    File {
        /// The file.
        file: FileNeeded,
        /// What the reader said.
        error: E,
    },
    /// Files were read but what they hold is wrong.
    Job(JobErrors),
}

impl Job {
    /// The air of every place, in the order of their ids; `read` gives the bytes of a file that a place
    /// names, its path relative to the job file.
    ///
    /// # Errors
    /// [`FilesError::File`] with the first file that `read` could not give, else [`FilesError::Job`] with every
    /// file that holds no year of air, each shown at its place in the job file.
    pub fn airs<B: AsRef<[u8]>, E>(
        &self,
        mut read: impl FnMut(&FileNeeded) -> Result<B, E>,
    ) -> Result<Vec<PlaceAir>, FilesError<E>> {
        let mut airs = Vec::with_capacity(self.places.len());
        let mut problems = Vec::new();
        for place in &self.places {
            match &place.climate {
                Climate::Year(year) => {
                    let mut notes = place.cautions.clone();
                    notes.extend(cautions(&year.months_of_the_year(), &AS_TOLD));
                    airs.push(PlaceAir::of(year.clone(), notes, &place.name));
                }
                Climate::File {
                    file,
                    options,
                    indoor,
                } => {
                    let bytes = read(file).map_err(|error| FilesError::File {
                        file: file.clone(),
                        error,
                    })?;
                    match year_of_file(bytes.as_ref(), file, options, indoor.as_ref()) {
                        Ok((year, notes)) => airs.push(PlaceAir::of(year, notes, &place.name)),
                        Err(problem) => problems.push(problem),
                    }
                }
            }
        }
        if problems.is_empty() {
            Ok(airs)
        } else {
            problems.sort_by_key(|problem| problem.span.start);
            Err(FilesError::Job(self.error(problems)))
        }
    }
}

/// Air that the job file tells by itself.
const AS_TOLD: Columns<'_> = Columns {
    temperature: "temperature",
    humidity: "humidity",
    fahrenheit: false,
    unit_remedy: "write the unit with the number, such as \"70F\" or \"21C\"",
};

impl PlaceAir {
    fn of(year: AirYear, notes: Vec<String>, place: &str) -> Self {
        let mut notes: Vec<String> = notes
            .into_iter()
            .map(|note| format!("{place}: {note}"))
            .collect();
        notes.extend(year.caution().map(|caution| format!("{place}: {caution}")));
        Self { year, notes }
    }
}

fn year_of_file(
    bytes: &[u8],
    file: &FileNeeded,
    options: &Options,
    indoor: Option<&Indoor>,
) -> Result<(AirYear, Vec<String>), Problem> {
    let read = weather_file::read(bytes, &file.path, options)
        .map_err(Refusal::from)
        .and_then(|reading| Ok((reading.year(&file.path)?, reading.warnings())));
    let (year, notes) = read.map_err(|refusal| refusal.in_file(file.span.clone()))?;
    let year = indoor.map_or_else(|| year.clone(), |room| room.year(&year));
    Ok((year, notes))
}
