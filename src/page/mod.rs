//! The local page: the same answers for people who do not use a terminal.
//!
//! The room answers a browser on the same machine. It needs the text of a job
//! file and the files dropped on the page; it adds no number and no word of
//! its own to an answer: forecasts come from `forecast`, words and figures
//! from `report`, the bytes of JSON are those of the command line.
//!
//! The job file is the one truth. The page holds its text and sends it with
//! every question; a form's change is an [`Edit`] of that text, made so that
//! comments, order and layout of all else stay. The server remembers nothing
//! of a job but what saves work: bytes of dropped files, the last years of air,
//! the last forecasts. It reads no file, writes none, and answers only what
//! comes from this machine's own pages. Its own numbers, how much it keeps and how long it waits, are judgement and stand as
//! constants in the files below.
//!
//! | file | holds |
//! |---|---|
//! | `answer` | a question and its answer |
//! | `edits` | changes of a job file's text |
//! | `drawn` | drawings that a hand acts on |
//! | `places` | from a place in the text to the key that stands there |
//! | `dropped` | files dropped on the page |
//! | `lanes` | which question is worked on when |
//! | `memory` | the last forecasts |
//! | `guard` | who may ask, how much, and what an answer may load |
//! | `patient` | a connection that does not wait for ever |
//! | `photo` | photos to numbers, within limits |
//! | `routes` | addresses |
//! | `seats` | seats for connections, and who gives one up |
//! | `serve` | the socket: patience, crowds, a clean end |
//! | `assets/` | the page itself |

mod answer;
mod drawn;
mod dropped;
mod edits;
mod guard;
mod lanes;
mod memory;
mod patient;
mod photo;
mod places;
mod routes;
mod seats;
mod serve;
mod words;

pub use answer::{BeginningAsked, Question, Wanted};
pub use dropped::{Dropped, FileKind, FileRefused, GivenFile, GivenMonth};
pub use edits::{Edit, EditError, Step, apply};
pub use guard::Patience;
pub use photo::{PhotoFault, read_photo, small_picture};
pub use routes::{Given, Page, router};
pub use serve::serve;

use jiff::Timestamp;
use jiff::civil::Date;
use jiff::tz::TimeZone;

/// The day it is where the program runs. Only what is written into a job file asks for it: the first dates of a new one, the day of a measurement.
#[must_use]
pub fn today() -> Date {
    TimeZone::system().to_datetime(Timestamp::now()).date()
}
