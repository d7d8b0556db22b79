//! The job file: one TOML file for one piece of furniture.
//!
//! The room answers what a job file tells, or everything that is wrong with
//! it, each with its line, the reason and the remedy. It needs the text alone:
//! files that a job names (a logger, a weather file, a table of woods) are read
//! by whoever holds the job, [`Job::files`] lists them. Each section of the
//! file belongs to the room that answers it; this room owns the head of the
//! file, its places, dates and parts, the error pictures, the schema and the
//! built-in demo.
//!
//! Its numbers are the usual spreads of all that a maker cannot know ([`Spreads`]); each is
//! given with its source, most are judgement, and every one can be given again under `[chance]`. The figures of the demo are
//! invented.

mod beginnings;
mod chance;
mod check;
mod checked;
mod climate;
mod errors;
mod files;
mod head;
mod log;
mod made_of;
mod names;
mod part;
mod part_finish;
mod parts;
mod picture;
mod piece_plans;
mod places;
mod plinth;
#[cfg(feature = "job")]
mod read;
mod room;
mod samples;
mod schedule;
#[cfg(feature = "job")]
mod schema;
#[cfg(feature = "job")]
mod sections;
#[cfg(feature = "job")]
mod shape;
mod spreads;
#[cfg(feature = "job")]
mod syntax;
#[cfg(feature = "job")]
mod values;

pub use beginnings::{Beginning, BeginningKind};
pub use chance::{Chance, Direction, MeterCheck, Offcut};
pub use check::check_species;
pub use checked::{FileNeeded, FileUse, Job};
pub use climate::{AirKnown, Climate, FilesError, MONTH_OF_LOGGING, Place, PlaceAir, PlaceId};
pub use errors::JobErrors;
#[cfg(feature = "page")]
pub(crate) use files::not_utf_8;
pub use files::{MOST_DATA_BYTES, MOST_PHOTO_BYTES, MOST_TABLE_BYTES};
pub use log::{LogEntry, LogReading, LogSubject};
pub use made_of::MadeOf;
pub use part::Part;
pub use part_finish::{FinishedFaces, PartFinish};
pub use picture::render;
pub use plinth::Plinth;
#[cfg(feature = "job")]
pub use read::{read, read_bytes};
pub use samples::{blank, blank_on, demo};
pub use schedule::Schedule;
#[cfg(feature = "job")]
pub use schema::schema;
pub use spreads::{SpreadWords, Spreads};

/// Maximum size of a job file, bytes.
pub const MAX_BYTES: usize = 1_000_000;
