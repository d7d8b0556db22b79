//! Everything that is wrong with a job file.

use super::picture::{line_and_column, more, render};
use crate::units::spanned::Problem;
use std::fmt;
use std::ops::Range;

/// All problems of one job file, with the text they stand in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct JobErrors {
    origin: String,
    text: String,
    problems: Vec<Problem>,
}

impl JobErrors {
    /// The problems of the file called `origin` whose text is `text`.
    #[must_use]
    pub fn new(origin: &str, text: &str, problems: Vec<Problem>) -> Self {
        Self {
            origin: origin.to_owned(),
            text: text.to_owned(),
            problems,
        }
    }

    /// One problem.
    #[must_use]
    pub fn one(origin: &str, text: &str, span: Range<usize>, message: &str, remedy: &str) -> Self {
        let problem = Problem {
            span,
            message: message.to_owned(),
            remedy: remedy.to_owned(),
        };
        Self::new(origin, text, vec![problem])
    }

    /// The problems, in the order of the file.
    #[must_use]
    pub fn problems(&self) -> &[Problem] {
        &self.problems
    }

    /// One problem as [`std::fmt::Display`] shows it among all.
    #[must_use]
    pub fn picture(&self, problem: &Problem) -> String {
        render(std::slice::from_ref(problem), &self.text, &self.origin)
    }

    /// How many problems there are beyond the [`MOST_LISTED`](crate::units::notation::MOST_LISTED) that are shown.
    #[must_use]
    pub fn more(&self) -> Option<String> {
        more(&self.problems)
    }

    /// Line and column of a problem, both counted from 1.
    #[must_use]
    pub fn place(&self, problem: &Problem) -> (usize, usize) {
        line_and_column(&self.text, problem.span.start)
    }
}

impl fmt::Display for JobErrors {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&render(&self.problems, &self.text, &self.origin))
    }
}

impl std::error::Error for JobErrors {}
