//! The local page: the same answers for people who do not use a terminal.
//!
//! The room answers a browser, over a socket of the same machine (feature `serve`) or inside the browser itself (feature `web`). It needs the text of a job
//! file and the files dropped on the page; it adds no number and no word of
//! its own to an answer: forecasts come from `forecast`, words and figures
//! from `report`, the bytes of JSON are those of the command line.
//!
//! The job file is the one truth. The page holds its text and sends it with
//! every question; a form's change is an [`Edit`] of that text, made so that
//! comments, order and layout of all else stay. The program remembers nothing
//! of a job but what saves work: bytes of dropped files, the last years of air,
//! the last forecasts. It reads no file, writes none, and the server answers only what
//! comes from this machine's own pages. Its own numbers, how much it keeps and how long it waits, are judgement and stand as
//! constants in the files below.
//!
//! | file | holds |
//! |---|---|
//! | `program` | a path and a body in, a reply out |
//! | `answer` | a question about a job and its answer |
//! | `edits` | changes of a job file's text |
//! | `drawn` | drawings that a hand acts on |
//! | `places` | from a place in the text to the key that stands there |
//! | `dropped` | files dropped on the page |
//! | `memory` | the last forecasts |
//! | `photo` | photos to numbers, within limits |
//! | `assets/` | the page itself |
//! | `serve/` | the program over HTTP |
//! | `web/` | the program as a wasm module, and the page as one file around it |

mod answer;
mod assets;
mod drawn;
mod dropped;
mod edits;
mod memory;
mod photo;
mod places;
mod program;
mod question;
#[cfg(feature = "serve")]
mod serve;
mod web;
mod words;

pub use dropped::{Dropped, FileKind, GivenFile, GivenMonth};
pub use edits::{Edit, Step, apply};
pub use photo::{read_photo, rings_in_photo, small_picture};
pub use program::{Given, Program, Reply};
pub use question::{BeginningAsked, Question, Wanted};
#[cfg(feature = "serve")]
pub use serve::{Page, Patience, router, serve};
pub use web::{OFFLINE_SCRIPT, one_file};

/// The day it is where the program runs. Only what is written into a job file asks for it: the first dates of a new one, the day of a measurement.
#[cfg(feature = "serve")]
#[must_use]
pub fn today() -> jiff::civil::Date {
    jiff::tz::TimeZone::system()
        .to_datetime(jiff::Timestamp::now())
        .date()
}
