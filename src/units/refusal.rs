//! Why there is no answer.

use super::bounds::RangeError;
use super::notation::{MOST_LISTED, NotationError};
use super::spanned::Problem;
use std::fmt;
use std::ops::Range;

/// What is wrong, where, and what to do about it. Rooms make one for each rule by the macro `refusals!`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Refusal {
    what: String,
    place: String,
    remedy: String,
}

impl Refusal {
    /// What is wrong, and what to do about it.
    #[must_use]
    pub fn new(what: impl Into<String>, remedy: impl Into<String>) -> Self {
        Self {
            what: what.into(),
            place: String::new(),
            remedy: remedy.into(),
        }
    }

    /// The same, found at a place: a leaf, a row of a table, a section.
    #[must_use]
    pub fn at(mut self, place: impl fmt::Display) -> Self {
        self.place = if self.place.is_empty() {
            place.to_string()
        } else {
            format!("{place}: {}", self.place)
        };
        self
    }

    /// What is wrong, with its place.
    #[must_use]
    pub fn message(&self) -> String {
        if self.place.is_empty() {
            self.what.clone()
        } else {
            format!("{}: {}", self.place, self.what)
        }
    }

    /// What to do about it.
    #[must_use]
    pub fn remedy(&self) -> &str {
        &self.remedy
    }

    /// As a problem of a file.
    #[must_use]
    pub fn in_file(&self, span: Range<usize>) -> Problem {
        Problem {
            span,
            message: self.message(),
            remedy: self.remedy.clone(),
        }
    }
}

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}; {}", self.message(), self.remedy)
    }
}

impl std::error::Error for Refusal {}

impl From<RangeError> for Refusal {
    fn from(error: RangeError) -> Self {
        Self::new(error.to_string(), "give a size inside that range")
    }
}

impl From<NotationError> for Refusal {
    fn from(error: NotationError) -> Self {
        Self::new(error.message(), error.remedy())
    }
}

/// What is refused in one text, in its order; at least one, and after the first [`MOST_LISTED`] only how many more.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Refusals(Vec<Refusal>);

impl Refusals {
    /// The value, unless something was refused.
    ///
    /// # Errors
    /// Everything that was.
    pub fn unless<T>(mut refused: Vec<Refusal>, value: T) -> Result<T, Self> {
        let more = refused.len().saturating_sub(MOST_LISTED);
        refused.truncate(MOST_LISTED);
        Self::unless_counted(refused, more, value)
    }

    /// The same where those after the first [`MOST_LISTED`] were only counted.
    ///
    /// # Errors
    /// Everything that was refused.
    pub fn unless_counted<T>(mut refused: Vec<Refusal>, more: usize, value: T) -> Result<T, Self> {
        if refused.is_empty() {
            return Ok(value);
        }
        if more > 0 {
            refused.push(Refusal::new(
                format!("{more} more are wrong"),
                "correct these first",
            ));
        }
        Err(Self(refused))
    }

    /// All in one: a line each, and what to do about the last.
    #[must_use]
    pub fn into_one(mut self) -> Refusal {
        let last = self.0.pop();
        let (message, remedy) =
            last.map_or_else(Default::default, |last| (last.message(), last.remedy));
        let lines = self.0.iter().map(ToString::to_string).chain([message]);
        Refusal::new(lines.collect::<Vec<_>>().join("\n"), remedy)
    }

    /// Each of them.
    #[must_use]
    pub fn each(&self) -> &[Refusal] {
        &self.0
    }
}

impl From<Refusal> for Refusals {
    fn from(refusal: Refusal) -> Self {
        Self(vec![refusal])
    }
}

impl fmt::Display for Refusals {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let lines: Vec<String> = self.0.iter().map(ToString::to_string).collect();
        f.write_str(&lines.join("\n"))
    }
}

impl std::error::Error for Refusals {}

/// A room's refusals, one function a rule: `/// The rule. name(value: Type) = "what {value} is wrong", "what to do";`
macro_rules! refusals {
    ($($(#[$doc:meta])* $name:ident($($value:ident: $kind:ty),*) = $what:literal, $remedy:literal;)+) => {
        $($(#[$doc])*
        pub(crate) fn $name($($value: $kind),*) -> $crate::units::Refusal {
            $crate::units::Refusal::new(format!($what), format!($remedy))
        })+
    };
}
pub(crate) use refusals;
