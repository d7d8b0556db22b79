//! Reading the files a command is given.

use super::Failure;
use crate::job::{FileNeeded, MOST_DATA_BYTES};
use crate::units::spanned::Problem;
use std::fs::{File, Metadata};
use std::io::{self, Read};
use std::path::Path;

/// Most bytes of a table or a job file.
pub(super) const TEXT_LIMIT_BYTES: u64 = 1_000_000;

/// Reads a whole text file, or standard input for `-`, up to [`TEXT_LIMIT_BYTES`].
///
/// # Errors
/// [`Failure`] when the file cannot be read, is too large, or is not UTF-8 text.
pub(super) fn read_text(path: &str) -> Result<String, Failure> {
    let mut bytes = Vec::new();
    let read = if path == "-" {
        limited(io::stdin().lock(), &mut bytes)
    } else {
        File::open(path).and_then(|file| limited(file, &mut bytes))
    };
    read.map_err(|error| Failure::reading(path, &error))?;
    if bytes.len() as u64 > TEXT_LIMIT_BYTES {
        return Err(Failure::input(format!(
            "error: `{path}` is larger than {TEXT_LIMIT_BYTES} bytes; a file of this kind is a few pages of text: check that it is the one you mean"
        )));
    }
    String::from_utf8(bytes).map_err(|error| {
        let good = error.utf8_error().valid_up_to();
        let line = 1 + error.as_bytes()[..good].iter().filter(|b| **b == b'\n').count();
        Failure::input(format!(
            "error: `{path}`, line {line}: the text is not UTF-8; save the file as plain text in UTF-8"
        ))
    })
}

fn limited(source: impl Read, bytes: &mut Vec<u8>) -> io::Result<usize> {
    source.take(TEXT_LIMIT_BYTES + 1).read_to_end(bytes)
}

/// Reads a whole data file as bytes, or standard input for `-`, up to [`MOST_DATA_BYTES`].
///
/// # Errors
/// [`Failure`] when the file cannot be read or is too large.
pub(super) fn read_bytes(path: &str) -> Result<Vec<u8>, Failure> {
    let mut bytes = Vec::new();
    let limit = MOST_DATA_BYTES as u64 + 1;
    let read = if path == "-" {
        io::stdin().lock().take(limit).read_to_end(&mut bytes)
    } else {
        File::open(path).and_then(|file| file.take(limit).read_to_end(&mut bytes))
    };
    read.map_err(|error| Failure::reading(path, &error))?;
    if bytes.len() > MOST_DATA_BYTES {
        return Err(Failure::input(format!(
            "error: `{path}` is larger than {MOST_DATA_BYTES} bytes; check that it is the file you mean, or cut it into shorter ones"
        )));
    }
    Ok(bytes)
}

/// Why a file that a job names was not taken, given at the key that names it.
pub(super) enum NotTaken {
    /// It is not there, or the system gives no reading.
    Unread(Problem),
    /// It is none that may be read.
    Refused(Problem),
}

/// Reads a file that a job names: a regular file of at most the size that its use allows. Jobs come from anyone, and a
/// pipe or a device that they name would be waited for, or read, without end.
///
/// # Errors
/// [`NotTaken`] with the place of the key, the reason and the remedy.
pub(super) fn read_named(base: &Path, file: &FileNeeded) -> Result<Vec<u8>, NotTaken> {
    let path = base.join(&file.path);
    let unread = |error: io::Error| {
        NotTaken::Unread(file.problem(
            format!("could not read `{}`: {error}", file.path),
            "check the path: it starts at the folder of the job file",
        ))
    };
    let check = |about: &Metadata| {
        if about.is_file() {
            return Ok(());
        }
        let what = if about.is_dir() {
            "a folder"
        } else {
            "a pipe, a socket or a device"
        };
        Err(NotTaken::Refused(file.problem(
            format!("`{}` is {what}", file.path),
            format!("name a file for {}", file.why),
        )))
    };
    // Looked at before it is opened: opening a pipe waits for its other end.
    check(&std::fs::metadata(&path).map_err(unread)?)?;
    let open = File::open(&path).map_err(unread)?;
    check(&open.metadata().map_err(unread)?)?;
    let most = file.why.most_bytes();
    let mut bytes = Vec::new();
    open.take(most as u64 + 1)
        .read_to_end(&mut bytes)
        .map_err(unread)?;
    if bytes.len() > most {
        return Err(NotTaken::Refused(file.too_large()));
    }
    Ok(bytes)
}

/// Reads a job file as bytes, or standard input for `-`, up to one byte more than a job file may have, so that
/// the reader of jobs can tell that it is too large.
///
/// # Errors
/// [`Failure`] when it cannot be read.
pub(super) fn read_job_bytes(path: &str) -> Result<Vec<u8>, Failure> {
    let mut bytes = Vec::new();
    let limit = crate::job::MAX_BYTES as u64 + 1;
    let read = if path == "-" {
        io::stdin().lock().take(limit).read_to_end(&mut bytes)
    } else {
        File::open(path).and_then(|file| file.take(limit).read_to_end(&mut bytes))
    };
    read.map_err(|error| Failure::reading(path, &error))?;
    Ok(bytes)
}

/// Reads a file as bytes, or standard input for `-`, up to one byte more than `limit`, so that who takes the bytes can
/// see that they are too many.
///
/// # Errors
/// [`Failure`] when it cannot be read.
pub(super) fn read_limited(path: &str, limit: usize) -> Result<Vec<u8>, Failure> {
    let mut bytes = Vec::new();
    let limit = limit as u64 + 1;
    let read = if path == "-" {
        io::stdin().lock().take(limit).read_to_end(&mut bytes)
    } else {
        File::open(path).and_then(|file| file.take(limit).read_to_end(&mut bytes))
    };
    read.map_err(|error| Failure::reading(path, &error))?;
    Ok(bytes)
}
