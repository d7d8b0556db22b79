//! Why a text could not be read, and what to write.

use std::borrow::Cow;
use std::fmt;

/// Most characters of a given text that an error repeats.
const REPEATED: usize = 80;

/// A given text as an error repeats it: whole, or its beginning where it is long.
#[must_use]
pub fn shortened(given: &str) -> Cow<'_, str> {
    match given.char_indices().nth(REPEATED) {
        None => Cow::Borrowed(given),
        Some(_) => {
            let start: String = given.chars().take(REPEATED / 2).collect();
            Cow::Owned(format!("{start}..."))
        }
    }
}

/// A text that could not be read as a quantity.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NotationError {
    text: String,
    reason: String,
    remedy: String,
}

impl NotationError {
    /// The text, why it cannot be read, and what to write.
    #[must_use]
    pub fn new(text: &str, reason: &str, remedy: &str) -> Self {
        Self {
            text: shortened(text).into_owned(),
            reason: reason.to_owned(),
            remedy: remedy.to_owned(),
        }
    }

    /// Text and reason in one sentence.
    #[must_use]
    pub fn message(&self) -> String {
        format!("`{}`: {}", self.text, self.reason)
    }

    /// The same error with another remedy.
    #[must_use]
    pub fn with_remedy(mut self, remedy: &str) -> Self {
        remedy.clone_into(&mut self.remedy);
        self
    }

    /// What to write instead.
    #[must_use]
    pub fn remedy(&self) -> &str {
        &self.remedy
    }
}

impl fmt::Display for NotationError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}; {}", self.message(), self.remedy)
    }
}

impl std::error::Error for NotationError {}
