//! Loading a job with every file it names.

use super::Failure;
use super::files::{NotTaken, read_named};
use super::kept_rings::KeptRings;
use crate::forecast::Airs;
use crate::job::{
    FileNeeded, FilesError, Job, MOST_DATA_BYTES, read as read_job, read_bytes as read_job_bytes,
};
use crate::page::rings_in_photo;
use crate::species::SpeciesTable;
use crate::units::spanned::Problem;
use std::borrow::Cow;
use std::collections::BTreeMap;
use std::convert::Infallible;
use std::path::Path;

/// A job with its woods and its airs.
pub(super) struct Loaded {
    /// The job.
    pub job: Job,
    /// The woods: the maker's own in front of the built-in.
    pub species: Cow<'static, SpeciesTable>,
    /// The air of every place.
    pub airs: Airs,
}

/// Loads a job file, or standard input for `-`. Paths in it are relative to it.
///
/// # Errors
/// [`Failure`] when anything cannot be read or is malformed.
pub(super) fn load(path: &str) -> Result<Loaded, Failure> {
    load_keeping(path, &mut KeptRings::default())
}

/// The same, with the rings of photos that were read before.
///
/// # Errors
/// [`Failure`] as [`load`].
pub(super) fn load_keeping(path: &str, kept: &mut KeptRings) -> Result<Loaded, Failure> {
    let bytes = super::files::read_job_bytes(path)?;
    let origin = if path == "-" { "standard input" } else { path };
    let job = read_job_bytes(&bytes, origin).map_err(Failure::input)?;
    let base = Path::new(path)
        .parent()
        .map(Path::to_path_buf)
        .unwrap_or_default();
    complete(job, &base, kept)
}

/// Loads a job from its text; paths in it are relative to `base`.
///
/// # Errors
/// [`Failure`] as [`load`].
pub(super) fn load_text(text: &str, origin: &str, base: &Path) -> Result<Loaded, Failure> {
    let job = read_job(text, origin).map_err(Failure::input)?;
    complete(job, base, &mut KeptRings::default())
}

/// Most bytes of all files of one job (judgement).
const MOST_BYTES_TOGETHER: usize = 2 * MOST_DATA_BYTES;

/// The files that a job names, by their paths, and what is wrong with those that were not taken.
pub(super) struct Named {
    /// Their bytes.
    pub files: BTreeMap<String, Vec<u8>>,
    /// What is wrong, in the order of the job file.
    pub problems: Vec<Problem>,
    /// Whether the system could not give one of them.
    pub unread: bool,
}

/// Reads every file that a job names, each once.
#[must_use]
pub(super) fn named(job: &Job, base: &Path) -> Named {
    let mut named = Named {
        files: BTreeMap::new(),
        problems: Vec::new(),
        unread: false,
    };
    let mut total = 0;
    for file in job.files() {
        if named.files.contains_key(&file.path) {
            continue;
        }
        match read_named(base, &file) {
            Ok(bytes) if total + bytes.len() > MOST_BYTES_TOGETHER => {
                named.problems.push(file.problem(
                    format!(
                        "the files of this job together are larger than {MOST_BYTES_TOGETHER} bytes"
                    ),
                    "cut the largest into shorter ones, or make two jobs of this one",
                ));
            }
            Ok(bytes) => {
                total += bytes.len();
                named.files.insert(file.path, bytes);
            }
            Err(NotTaken::Refused(problem)) => named.problems.push(problem),
            Err(NotTaken::Unread(problem)) => {
                named.problems.push(problem);
                named.unread = true;
            }
        }
    }
    named
}

fn complete(mut job: Job, base: &Path, kept: &mut KeptRings) -> Result<Loaded, Failure> {
    let named = named(&job, base);
    if !named.problems.is_empty() {
        let words = job.error(named.problems).to_string();
        return Err(if named.unread {
            Failure::Unread(words)
        } else {
            Failure::Input(words)
        });
    }
    let read = |file: &FileNeeded| {
        // Every file of the job was read above.
        let bytes = named.files.get(&file.path).map(Vec::as_slice);
        Ok::<&[u8], Infallible>(bytes.unwrap_or_default())
    };
    let failed = |error| match error {
        FilesError::File { error, .. } => match error {},
        FilesError::Job(errors) => Failure::input(errors),
    };
    let species = job.woods(read).map_err(failed)?;
    let airs = job.airs(read).map_err(failed)?;
    job.read_leaves(read).map_err(failed)?;
    job.read_ring_photos(read, |plan, bytes| {
        kept.rings(plan, bytes, || rings_in_photo(plan, bytes))
    })
    .map_err(failed)?;
    Ok(Loaded {
        job,
        species,
        airs: Airs::new(airs.into_iter().map(|air| (air.year, air.notes)).collect()),
    })
}
