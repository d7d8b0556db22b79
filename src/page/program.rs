//! The program as the page knows it: a path and a body in, a reply out. Which way they come, over a socket or from a
//! browser's worker, is no matter here.

use super::answer::{Answerer, Worked};
use super::assets::{self, Asset};
use super::drawn::{AirAsked, LayoutAsked, RingsAsked};
use super::memory::Recent;
use super::question::Question;
use super::words::words;
use crate::forecast::Share;
use crate::job;
use crate::numerics::Deadline;
use crate::report;
use crate::units::Refusal;
use jiff::civil::Date;
use serde::de::DeserializeOwned;
use serde_json::{Value, json};
use std::borrow::Cow;
use std::collections::BTreeMap;
use std::sync::Arc;

/// Maximum body of a question, bytes: a job file of the maximum size, escaped, and its changes.
const MAX_QUESTION: usize = 3_000_000;

/// A job the page opens with.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Given {
    /// The job file's name.
    pub name: String,
    /// Its text.
    pub text: String,
    /// The files it names, with their bytes: as good as dropped on the page.
    pub files: Vec<(String, Vec<u8>)>,
}

/// What comes back, with the status and the kind of content that HTTP has words for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Reply {
    /// 200, or why not.
    pub status: u16,
    /// The kind of content.
    pub kind: &'static str,
    /// The content.
    pub body: Cow<'static, [u8]>,
}

impl Reply {
    fn of(kind: &'static str, text: String) -> Self {
        Self {
            status: 200,
            kind,
            body: Cow::Owned(text.into_bytes()),
        }
    }

    fn json(value: &Value) -> Self {
        Self::of(assets::JSON, value.to_string())
    }

    /// A refusal in plain words.
    #[must_use]
    pub fn refusal(status: u16, what: &str, remedy: &str) -> Self {
        Self {
            status,
            ..Self::json(&json!({ "what": what, "remedy": remedy }))
        }
    }

    /// The answer when the program failed.
    pub(super) fn broken() -> Self {
        Self::refusal(
            500,
            "an error in the program kept it from answering",
            "undo the last change; the job is kept, and saving it still works",
        )
    }

    /// The answer when the time of a question is over.
    pub(super) fn too_long() -> Self {
        Self::refusal(
            503,
            "the answer took longer than a question may, and was stopped",
            "ask for fewer draws or make two jobs of this one; the command line waits as long as it takes",
        )
    }

    /// Why a job cannot be given in full: everything that is wrong with it.
    fn unread(problems: &Value) -> Self {
        Self {
            status: 422,
            ..Self::json(&json!({
                "what": "the job does not read",
                "remedy": "fix what is listed",
                "problems": problems,
            }))
        }
    }

    fn drawn(given: Result<Value, Refusal>) -> Self {
        match given {
            Ok(drawn) => Self::json(&drawn),
            Err(refused) => Self::refusal(422, &refused.message(), refused.remedy()),
        }
    }
}

/// What there is at a path.
#[derive(Clone, Copy)]
pub(super) enum Address<'a> {
    Asset(&'static Asset),
    Style,
    Schema,
    Words,
    Start(&'a str),
    Report(&'a str),
    Asked(Subject),
}

/// What is asked about, with a body.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Subject {
    Answer,
    Layout,
    Air,
    Rings,
    Numbers,
    Report,
    File,
}

impl<'a> Address<'a> {
    /// The address of a path, which begins without a slash; `None` where there is nothing.
    pub(super) fn read(path: &'a str) -> Option<Self> {
        Some(match path {
            "figures.css" => Self::Style,
            "schema" => Self::Schema,
            "words" => Self::Words,
            "answer" => Self::Asked(Subject::Answer),
            "layout" => Self::Asked(Subject::Layout),
            "air" => Self::Asked(Subject::Air),
            "rings" => Self::Asked(Subject::Rings),
            "json" => Self::Asked(Subject::Numbers),
            "report" => Self::Asked(Subject::Report),
            "file" => Self::Asked(Subject::File),
            _ => match path.split_once('/') {
                Some(("start", which)) => Self::Start(which),
                Some(("report", id)) => Self::Report(id),
                _ => Self::Asset(assets::find(path)?),
            },
        })
    }
}

impl Subject {
    /// Maximum body, bytes.
    pub(super) fn most_bytes(self) -> usize {
        match self {
            Self::File => job::MOST_DATA_BYTES,
            _ => MAX_QUESTION,
        }
    }
}

/// A question that was read.
pub(super) enum Asked {
    Answer(Question),
    Layout(LayoutAsked),
    Air(AirAsked),
    Rings(RingsAsked),
    Numbers(Question),
    Report(Question),
    File { name: String, bytes: Vec<u8> },
}

impl Asked {
    /// Reads a question; `query` follows the path, without its question mark.
    ///
    /// # Errors
    /// A refusal when the body is none, or too large.
    pub(super) fn read(subject: Subject, query: &str, body: Vec<u8>) -> Result<Self, Reply> {
        let most = subject.most_bytes();
        if body.len() > most {
            return Err(Self::too_large(most));
        }
        Ok(match subject {
            Subject::Answer => Self::Answer(parsed(&body)?),
            Subject::Layout => Self::Layout(parsed(&body)?),
            Subject::Air => Self::Air(parsed(&body)?),
            Subject::Rings => Self::Rings(parsed(&body)?),
            Subject::Numbers => Self::Numbers(parsed(&body)?),
            Subject::Report => Self::Report(parsed(&body)?),
            Subject::File => {
                let name = form_urlencoded::parse(query.as_bytes())
                    .find(|(key, _)| key == "name")
                    .map_or_else(|| "file".to_owned(), |(_, name)| name.into_owned());
                Self::File { name, bytes: body }
            }
        })
    }

    /// Why a body of more than so many bytes is not taken.
    pub(super) fn too_large(most: usize) -> Reply {
        Reply::refusal(
            413,
            &format!("this is larger than {most} bytes"),
            "cut the file into shorter ones, or use the command line, which reads files of any size",
        )
    }

    /// How much there is to read before the work begins, bytes.
    #[cfg(feature = "serve")]
    pub(super) fn bytes(&self) -> usize {
        match self {
            Self::Answer(question) | Self::Numbers(question) | Self::Report(question) => {
                question.bytes()
            }
            Self::Layout(asked) => asked.question.bytes(),
            Self::Air(asked) => asked.question.bytes(),
            Self::Rings(_) => 0,
            Self::File { bytes, .. } => bytes.len(),
        }
    }
}

fn parsed<T: DeserializeOwned>(body: &[u8]) -> Result<T, Reply> {
    serde_json::from_slice(body).map_err(|error| {
        Reply::refusal(
            400,
            &format!("the question cannot be read: {error}"),
            "load the page again",
        )
    })
}

/// Answers what the page asks, and keeps what saves work.
pub struct Program {
    answerer: Answerer,
    given: Value,
    reports: Recent<String, String>,
}

impl Program {
    /// A program, with the job that the page opens with.
    #[must_use]
    pub fn new(given: Option<Given>) -> Self {
        let answerer = Answerer::default();
        let given = given.map_or(Value::Null, |given| {
            let files: BTreeMap<String, String> = given
                .files
                .into_iter()
                .map(|(name, bytes)| {
                    let id = report::digest(&bytes);
                    answerer.dropped.keep(id.clone(), bytes.into());
                    (name, id)
                })
                .collect();
            json!({ "name": given.name, "text": given.text, "files": files })
        });
        Self {
            answerer,
            given,
            reports: Recent::new(8),
        }
    }

    /// The reply to a path, a query and a body, on the day it is; an empty body where nothing but a look is meant.
    ///
    /// Of several programs each can make a share of the draws of a question (`draws?share=0&of=3`, with the question), which the one
    /// that is then asked takes in (`drawn`, with the bytes that came).
    #[must_use]
    pub fn reply(&self, path: &str, query: &str, body: Vec<u8>, today: Date) -> Reply {
        match path {
            "draws" => {
                return self.share(query, &body).unwrap_or_else(|refusal| refusal);
            }
            "drawn" => return self.take_in(&body),
            _ => {}
        }
        match Address::read(path) {
            Some(Address::Asked(subject)) => match Asked::read(subject, query, body) {
                Ok(asked) => self.answer(asked, today, Deadline::NEVER),
                Err(refusal) => refusal,
            },
            Some(address) => self.look(address, today),
            None => nothing_here(),
        }
    }

    /// What there is at an address that nothing is asked of.
    pub(super) fn look(&self, address: Address<'_>, today: Date) -> Reply {
        let of = |name: &str, text: &str| json!({ "name": name, "text": text, "files": {} });
        match address {
            Address::Asset(asset) => Reply {
                status: 200,
                kind: asset.kind,
                body: Cow::Borrowed(asset.text.as_bytes()),
            },
            Address::Style => Reply::of(assets::CSS, report::page_style()),
            Address::Schema => Reply::json(&job::schema()),
            Address::Words => Reply::json(&words()),
            Address::Start("demo") => Reply::json(&of("hall-sideboard.toml", job::demo())),
            Address::Start("blank") => Reply::json(&of("job.toml", &job::blank_on(today))),
            Address::Start("given") => Reply::json(&self.given),
            Address::Report(id) => match self.reports.get(&id.to_owned()) {
                Some(html) => Reply::of(assets::HTML, (*html).clone()),
                None => Reply::refusal(
                    404,
                    "this report is no longer kept",
                    "make the report again",
                ),
            },
            Address::Start(_) | Address::Asked(_) => nothing_here(),
        }
    }

    /// The answer to a question.
    pub(super) fn answer(&self, asked: Asked, today: Date, deadline: Deadline<'_>) -> Reply {
        match asked {
            Asked::Answer(question) => {
                Reply::json(&self.answerer.answer(&question, today, deadline))
            }
            Asked::Layout(asked) => Reply::drawn(self.answerer.laid(&asked, deadline)),
            Asked::Air(asked) => Reply::drawn(self.answerer.air(&asked)),
            Asked::Rings(asked) => Reply::drawn(self.answerer.rings(&asked)),
            Asked::Numbers(question) => match self.work(&question, deadline) {
                Ok(worked) => Reply::of(assets::JSON, report::json(&worked.forecast)),
                Err(refusal) => refusal,
            },
            Asked::Report(question) => self.report(&question, deadline),
            Asked::File { name, bytes } => match self.answerer.dropped.take(&name, bytes) {
                Ok(given) => Reply::json(&json!(given)),
                Err(refused) => Reply::refusal(422, &refused.message(), refused.remedy()),
            },
        }
    }

    fn work(&self, question: &Question, deadline: Deadline<'_>) -> Result<Arc<Worked>, Reply> {
        self.answerer
            .work(question, deadline)
            .map_err(|errors| Reply::unread(&Answerer::problems(&errors, &question.text)))
    }

    /// A share of the draws of a question; nothing where they are hardly made again.
    fn share(&self, query: &str, body: &[u8]) -> Result<Reply, Reply> {
        let given = |wanted: &str| {
            let mut pairs = form_urlencoded::parse(query.as_bytes());
            let (_, value) = pairs.find(|(key, _)| key == wanted)?;
            value.parse().ok()
        };
        let share = given("share")
            .zip(given("of"))
            .and_then(|(number, of)| Share::new(number, of))
            .ok_or_else(nothing_here)?;
        if body.len() > MAX_QUESTION {
            return Err(Asked::too_large(MAX_QUESTION));
        }
        let question: Question = parsed(body)?;
        let made = self
            .answerer
            .share(&question, share, Deadline::NEVER)
            .map_err(|errors| Reply::unread(&Answerer::problems(&errors, &question.text)))?;
        Ok(Reply {
            status: 200,
            kind: assets::BYTES,
            body: Cow::Owned(made.unwrap_or_default()),
        })
    }

    /// Takes in a share of the draws of the next question.
    fn take_in(&self, made: &[u8]) -> Reply {
        if self.answerer.take_in(made) {
            Reply::json(&Value::Null)
        } else {
            Reply::refusal(
                422,
                "these are no draws of a forecast, or too many",
                "ask without them",
            )
        }
    }

    /// Makes the report and says where it is.
    fn report(&self, question: &Question, deadline: Deadline<'_>) -> Reply {
        let worked = match self.work(question, deadline) {
            Ok(worked) => worked,
            Err(refusal) => return refusal,
        };
        // Stopped, nobody waits for it any more.
        let Ok(html) = worked.html(deadline) else {
            return Reply::unread(&Value::Null);
        };
        let id = report::digest(html.as_bytes());
        self.reports.put(id.clone(), Arc::new(html));
        Reply::json(&json!({ "address": format!("report/{id}") }))
    }
}

/// The refusal of a path where there is nothing.
pub(super) fn nothing_here() -> Reply {
    Reply::refusal(
        404,
        "there is nothing at this address",
        "open the address that `heartside serve` printed",
    )
}
