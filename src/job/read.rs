//! From the text of a job file to a checked job.

use super::MAX_BYTES;
use super::checked::Job;
use super::errors::JobErrors;
use super::schema::whole_schema;
use super::sections::JobFile;
use super::shape::Shape;
use super::syntax::syntax;
use super::values::Value;
use crate::air::places;
use crate::species::SpeciesTable;
use crate::units::spanned::Problems;
use serde::Deserialize;
use toml::Spanned;
use toml::de::DeTable;

/// Reads a job file from its bytes.
///
/// # Errors
/// [`JobErrors`] as [`read`], and when the bytes are more than a megabyte or not UTF-8.
pub fn read_bytes(bytes: &[u8], origin: &str) -> Result<Job, JobErrors> {
    check_size(bytes.len(), origin)?;
    match std::str::from_utf8(bytes) {
        Ok(text) => read(text, origin),
        Err(error) => {
            let good = String::from_utf8_lossy(&bytes[..error.valid_up_to()]);
            let at = good.len();
            let remedy = "save the file as UTF-8 text";
            Err(JobErrors::one(
                origin,
                &format!("{good}\u{fffd}"),
                at..at + 3,
                "the file is not UTF-8 text",
                remedy,
            ))
        }
    }
}

fn check_size(bytes: usize, origin: &str) -> Result<(), JobErrors> {
    if bytes <= MAX_BYTES {
        return Ok(());
    }
    Err(JobErrors::one(
        origin,
        "",
        0..0,
        &format!("the job file has {bytes} bytes, and a job file has at most {MAX_BYTES}"),
        "keep loggers and weather in files of their own and name them under [places]",
    ))
}

/// Reads and checks a job file; `origin` is its name in error pictures.
///
/// # Errors
/// [`JobErrors`]: TOML that cannot be read stops at its first error; else every unknown or missing key,
/// every value that cannot be read and everything that does not fit together, in the order of the file.
pub fn read(text: &str, origin: &str) -> Result<Job, JobErrors> {
    check_size(text.len(), origin)?;
    if text.trim_start_matches('\u{feff}').trim().is_empty() {
        return Err(JobErrors::one(
            origin,
            "",
            0..0,
            "the job file is empty",
            "`heartside new` writes a commented job file to start from",
        ));
    }
    let table = DeTable::parse(text)
        .map_err(|error| syntax(error.message(), error.span(), text, origin))?;
    // The tables that the job will be read against are read beside it: together they take longer than the job.
    let tables = || (places::built_in(), SpeciesTable::built_in());
    rayon::join(|| checked(table, text, origin), tables).0
}

fn checked(mut table: Spanned<DeTable<'_>>, text: &str, origin: &str) -> Result<Job, JobErrors> {
    let mut shape = Shape::new(whole_schema());
    shape.file(table.get_mut());
    let (mut problems, silenced) = shape.finish();
    let file = match JobFile::deserialize(Value::from(table)) {
        Ok(file) => file,
        Err(error) => {
            // The walk along the schema has found every wrong shape, so this is at most a second opinion.
            if problems.is_empty() {
                return Err(syntax(&error.message, error.span, text, origin));
            }
            return Err(JobErrors::new(origin, text, problems.into_sorted()));
        }
    };
    let mut meaning = Problems::default();
    let job = file.check(text, origin, &mut meaning);
    problems.append_unless(meaning, |span| silenced.contains(span));
    match job {
        Some(job) if problems.is_empty() => Ok(job),
        _ => Err(JobErrors::new(origin, text, problems.into_sorted())),
    }
}
