//! Loading a job with every file it names.

use super::Failure;
use super::files::{read_bytes, read_text};
use crate::forecast::Airs;
use crate::job::{FileNeeded, FilesError, Job, read as read_job, read_bytes as read_job_bytes};
use crate::species::SpeciesTable;
use std::borrow::Cow;
use std::path::{Path, PathBuf};

/// A job with its woods and its airs.
pub struct Loaded {
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
pub fn load(path: &str) -> Result<Loaded, Failure> {
    let bytes = super::files::read_job_bytes(path)?;
    let origin = if path == "-" { "standard input" } else { path };
    let job = read_job_bytes(&bytes, origin).map_err(Failure::input)?;
    let base = Path::new(path)
        .parent()
        .map(Path::to_path_buf)
        .unwrap_or_default();
    complete(job, &base)
}

/// Loads a job from its text; paths in it are relative to `base`.
///
/// # Errors
/// [`Failure`] as [`load`].
pub fn load_text(text: &str, origin: &str, base: &Path) -> Result<Loaded, Failure> {
    complete(read_job(text, origin).map_err(Failure::input)?, base)
}

fn resolve(base: &Path, file: &FileNeeded) -> String {
    let path = PathBuf::from(&file.path);
    if path.is_absolute() {
        file.path.clone()
    } else {
        base.join(path).to_string_lossy().into_owned()
    }
}

fn complete(mut job: Job, base: &Path) -> Result<Loaded, Failure> {
    let species = match &job.species_table {
        None => Cow::Borrowed(SpeciesTable::built_in()),
        Some(file) => {
            let path = resolve(base, file);
            let text = read_text(&path)?;
            Cow::Owned(
                SpeciesTable::with_user_csv(&text, &path)
                    .map_err(|error| Failure::input(format!("error: {error}")))?,
            )
        }
    };
    let failed = |error| match error {
        FilesError::File { error, .. } => error,
        FilesError::Job(errors) => Failure::input(errors),
    };
    let read = |file: &FileNeeded| read_bytes(&resolve(base, file));
    let airs = job.airs(read).map_err(failed)?;
    job.read_leaves(read).map_err(failed)?;
    Ok(Loaded {
        job,
        species,
        airs: Airs::new(airs.into_iter().map(|air| (air.year, air.notes)).collect()),
    })
}
