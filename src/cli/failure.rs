//! How a command fails: the words and the exit code.

use crate::units::notation::visible;
use std::fmt;
use std::io::{self, Write};
use std::process::ExitCode;

/// Why a command could not answer. Malformed input exits 2, a file that cannot
/// be read or written exits 3.
#[derive(Debug)]
pub enum Failure {
    /// The input is malformed: place, reason and remedy in words ready to print.
    Input(String),
    /// A file that the input names could not be read: the same words, exit code 3.
    Unread(String),
    /// A file or stream could not be read or written.
    File {
        /// `read` or `write`.
        act: &'static str,
        /// The path or stream, as the maker named it.
        path: String,
        /// What the system said.
        reason: String,
        /// The reader of our output has gone: no error.
        broken_pipe: bool,
    },
}

impl Failure {
    /// Malformed input, in words ready to print.
    pub fn input(words: impl fmt::Display) -> Self {
        Self::Input(words.to_string())
    }

    /// A file that could not be read.
    #[must_use]
    pub fn reading(path: &str, error: &io::Error) -> Self {
        Self::File {
            act: "read",
            path: path.to_owned(),
            reason: error.to_string(),
            broken_pipe: false,
        }
    }

    /// A file or stream that could not be written.
    #[must_use]
    pub fn writing(path: &str, error: &io::Error) -> Self {
        Self::File {
            act: "write",
            path: path.to_owned(),
            reason: error.to_string(),
            broken_pipe: error.kind() == io::ErrorKind::BrokenPipe,
        }
    }

    /// Prints the words on standard error and gives the exit code.
    #[must_use]
    pub fn tell(&self) -> ExitCode {
        let (words, code) = match self {
            Self::Input(words) => (words.clone(), 2),
            Self::Unread(words) => (words.clone(), 3),
            Self::File {
                broken_pipe: true, ..
            } => return ExitCode::SUCCESS,
            Self::File {
                act, path, reason, ..
            } => (format!("error: could not {act} `{path}`: {reason}"), 3),
        };
        let _closed_is_fine = writeln!(anstream::stderr(), "{}", visible(&words));
        ExitCode::from(code)
    }

    /// Prints clap's own words: help and version on standard output with 0, a wrong flag on standard error with 2.
    #[must_use]
    pub fn usage(error: &clap::Error) -> ExitCode {
        // A wrong flag quotes what was typed, and that may come from a script's data.
        if error.use_stderr() {
            let _closed_is_fine = write!(
                anstream::stderr(),
                "{}",
                visible(&error.render().to_string())
            );
            return ExitCode::from(2);
        }
        match error.print() {
            Err(fault) => Self::writing("standard output", &fault).tell(),
            Ok(()) => ExitCode::SUCCESS,
        }
    }
}
