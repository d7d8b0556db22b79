//! Reading the files a command is given.

use super::Failure;
use std::fs::File;
use std::io::{self, Read};

/// Maximum size of a table or a job file; data files stream and have none.
pub const TEXT_LIMIT_BYTES: u64 = 1_000_000;

/// Reads a whole text file, or standard input for `-`, up to [`TEXT_LIMIT_BYTES`].
///
/// # Errors
/// [`Failure`] when the file cannot be read, is too large, or is not UTF-8 text.
pub fn read_text(path: &str) -> Result<String, Failure> {
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

/// Reads a whole data file as bytes, or standard input for `-`.
///
/// # Errors
/// [`Failure`] when the file cannot be read.
pub fn read_bytes(path: &str) -> Result<Vec<u8>, Failure> {
    let mut bytes = Vec::new();
    let read = if path == "-" {
        io::stdin().lock().read_to_end(&mut bytes)
    } else {
        File::open(path).and_then(|mut file| file.read_to_end(&mut bytes))
    };
    read.map_err(|error| Failure::reading(path, &error))?;
    Ok(bytes)
}

/// Reads a job file as bytes, or standard input for `-`, up to one byte more than a job file may have, so that
/// the reader of jobs can tell that it is too large.
///
/// # Errors
/// [`Failure`] when it cannot be read.
pub fn read_job_bytes(path: &str) -> Result<Vec<u8>, Failure> {
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
