//! A value as it was given in a job file: its text, its place, and what it was
//! read as.
//!
//! Reading a [`Spanned`] never fails in the TOML reader, so that one bad length
//! does not hide the next: every section collects its [`Problem`]s and all of
//! them are shown at once.

use super::notation::NotationError;
use super::{Refusal, UnitSystem};
use serde::de::{Deserialize, Deserializer, IgnoredAny, MapAccess, SeqAccess, Visitor};
#[cfg(feature = "job")]
use std::borrow::Cow;
use std::fmt;
use std::ops::Range;

/// A kind of value that shop notation can tell.
pub trait ReadNotation: Sized {
    /// What to write, with an example: `a length with its unit, such as "3/8in" or "10 mm"`.
    const WHAT: &'static str;
    /// Whether a bare number, date, `true` or `false` is as good as the same in quotes.
    const TAKES_BARE: bool = false;
    /// Whether a number without a unit may be read in the job's unit.
    const TAKES_UNIT_OF_JOB: bool = false;

    /// Reads the text.
    ///
    /// # Errors
    /// [`NotationError`] that names the reason and the remedy.
    fn read(text: &str) -> Result<Self, NotationError>;

    /// Reads a text whose numbers may lack their unit in the unit of the job; the text as it was read, with the unit.
    ///
    /// # Errors
    /// [`NotationError`] that names both readings where two are likely.
    fn read_in(text: &str, _units: UnitSystem) -> Result<(Self, String), NotationError> {
        Self::read(text).map(|value| (value, text.to_owned()))
    }
}

/// A value as given in a file.
#[derive(Debug, Clone, PartialEq)]
pub struct Spanned<T> {
    text: String,
    span: Range<usize>,
    value: Result<T, NotationError>,
}

/// Something wrong in a file, at a place, with what to do about it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Problem {
    /// Bytes of the file that are wrong.
    pub span: Range<usize>,
    /// What is wrong.
    pub message: String,
    /// What to write instead.
    pub remedy: String,
}

/// Collects every problem of a file, so that all are shown at once.
#[derive(Debug, Clone, Default)]
pub struct Problems {
    list: Vec<Problem>,
    /// Places in `list` of the values that could not be read at all.
    unreadable: Vec<usize>,
    /// The unit of bare numbers; `None` where each number must have its own.
    units: Option<UnitSystem>,
    /// Bare numbers and what they were read as.
    bare: Vec<BareNumber>,
}

/// A number without a unit, and what it was read as.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BareNumber {
    /// Bytes of the file.
    pub span: Range<usize>,
    /// The text as written.
    pub text: String,
    /// The same with the unit of the job.
    pub read_as: String,
}

impl<T: Clone> Spanned<T> {
    /// The place in the file.
    #[must_use]
    pub fn span(&self) -> Range<usize> {
        self.span.clone()
    }

    /// The text as written.
    #[must_use]
    pub fn text(&self) -> &str {
        &self.text
    }
}

impl<T> Spanned<T> {
    /// The same text at the same place, read as something else.
    #[must_use]
    pub fn read_as<U: ReadNotation>(&self) -> Spanned<U> {
        Spanned {
            value: U::read(&self.text),
            text: self.text.clone(),
            span: self.span.clone(),
        }
    }
}

impl<T: ReadNotation> Spanned<T> {
    /// A value given outside a file, such as by a page's form or a test.
    #[must_use]
    pub fn from_text(text: &str) -> Self {
        Self {
            value: T::read(text),
            text: text.to_owned(),
            span: 0..0,
        }
    }
}

impl Problems {
    /// Adds a problem.
    pub fn push(
        &mut self,
        span: Range<usize>,
        message: impl Into<String>,
        remedy: impl Into<String>,
    ) {
        self.list.push(Problem {
            span,
            message: message.into(),
            remedy: remedy.into(),
        });
    }

    /// Notes what a room refuses, at the place in the file that it is about.
    pub fn refuse(&mut self, span: Range<usize>, refusal: &Refusal) {
        self.list.push(refusal.in_file(span));
    }

    /// The value, or `None` after noting why it could not be read.
    pub fn take<T: Clone + ReadNotation>(&mut self, given: &Spanned<T>) -> Option<T> {
        let in_units = |error: &NotationError| match self.units {
            Some(units)
                if T::TAKES_UNIT_OF_JOB && given.text.contains(|c: char| c.is_ascii_digit()) =>
            {
                T::read_in(&given.text, units)
            }
            _ => Err(error.clone()),
        };
        match given.value.as_ref().map_err(in_units) {
            Ok(value) => Some(value.clone()),
            Err(Ok((value, read_as))) => {
                self.bare.push(BareNumber {
                    span: given.span(),
                    text: given.text.clone(),
                    read_as,
                });
                Some(value)
            }
            Err(Err(error)) => {
                self.unreadable.push(self.list.len());
                self.push(given.span(), error.message(), error.remedy());
                None
            }
        }
    }

    /// A collector with nothing in it.
    #[must_use]
    pub const fn new() -> Self {
        Self {
            list: Vec::new(),
            unreadable: Vec::new(),
            units: None,
            bare: Vec::new(),
        }
    }

    /// Numbers without a unit are read in this unit from now on.
    pub const fn read_bare_in(&mut self, units: UnitSystem) {
        self.units = Some(units);
    }

    /// A collector with nothing in it that reads bare numbers as this one does.
    #[must_use]
    pub const fn beside(&self) -> Self {
        let mut beside = Self::new();
        beside.units = self.units;
        beside
    }

    /// The bare numbers and what they were read as, in the order of the file.
    pub fn take_bare(&mut self) -> Vec<BareNumber> {
        let mut bare = std::mem::take(&mut self.bare);
        bare.sort_by_key(|one| one.span.start);
        // A number can be read for more than one answer.
        bare.dedup_by(|one, before| one.span == before.span);
        bare
    }

    /// Adds the problems of another collector; of those only the values that could not be read
    /// when `unreadable_only`, because the rest were checked against something that is itself wrong.
    pub fn append(&mut self, other: Self, unreadable_only: bool) {
        let unreadable = other.unreadable;
        self.bare.extend(other.bare);
        // Both lists are in the order in which the problems were found.
        let mut next = unreadable.into_iter().peekable();
        for (index, problem) in other.list.into_iter().enumerate() {
            let is_unreadable = next.next_if_eq(&index).is_some();
            if is_unreadable {
                self.unreadable.push(self.list.len());
            }
            if is_unreadable || !unreadable_only {
                self.list.push(problem);
            }
        }
    }

    /// Adds the problems of another collector but those at places where they repeat what is known.
    pub fn append_unless(&mut self, other: Self, repeats: impl Fn(&Range<usize>) -> bool) {
        self.bare.extend(other.bare);
        self.list.extend(
            other
                .list
                .into_iter()
                .filter(|problem| !repeats(&problem.span)),
        );
    }

    /// The same for a key that may be left out: `Some(None)` when it is absent, `None` when it is wrong.
    pub fn take_optional<T: Clone + ReadNotation>(
        &mut self,
        given: Option<&Spanned<T>>,
    ) -> Option<Option<T>> {
        match given {
            None => Some(None),
            Some(given) => self.take(given).map(Some),
        }
    }

    /// The value after a further check, whose error becomes a problem at the value's place.
    pub fn take_checked<T: Clone + ReadNotation, E: fmt::Display>(
        &mut self,
        given: &Spanned<T>,
        check: impl FnOnce(T) -> Result<T, E>,
        remedy: &str,
    ) -> Option<T> {
        let value = self.take(given)?;
        match check(value) {
            Ok(value) => Some(value),
            Err(error) => {
                self.push(given.span(), error.to_string(), remedy);
                None
            }
        }
    }

    /// Whether nothing is wrong.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.list.is_empty()
    }

    /// The problems in the order of the file.
    #[must_use]
    pub fn into_sorted(mut self) -> Vec<Problem> {
        self.list.sort_by_key(|problem| problem.span.start);
        self.list.dedup();
        self.list
    }
}

/// Most characters of a name.
const LONGEST_NAME: usize = 200;

/// Free text: a name, a note.
#[derive(Debug, Clone, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Name(pub String);

impl fmt::Display for Name {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl ReadNotation for Name {
    const WHAT: &'static str = "a name";
    fn read(text: &str) -> Result<Self, NotationError> {
        let text = text.trim();
        if text.is_empty() {
            return Err(NotationError::new(
                text,
                "nothing is written",
                "write a name",
            ));
        }
        if text.contains(['\n', '\r']) {
            return Err(NotationError::new(
                &text.replace(['\n', '\r'], " "),
                "the name runs over several lines",
                "write it on one line",
            ));
        }
        if text.chars().count() > LONGEST_NAME {
            return Err(NotationError::new(
                text,
                &format!("the name is longer than {LONGEST_NAME} characters"),
                "write a shorter name",
            ));
        }
        Ok(Self(text.to_owned()))
    }
}

enum Raw {
    Text(String),
    Bare(String),
    /// A list or a table where one value is wanted.
    Shape(&'static str),
}

impl<'de> Deserialize<'de> for Raw {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(RawVisitor)
    }
}

struct RawVisitor;

impl<'de> Visitor<'de> for RawVisitor {
    type Value = Raw;
    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a value in quotes")
    }
    fn visit_str<E>(self, text: &str) -> Result<Raw, E> {
        Ok(Raw::Text(text.to_owned()))
    }
    fn visit_i64<E>(self, number: i64) -> Result<Raw, E> {
        Ok(Raw::Bare(number.to_string()))
    }
    fn visit_u64<E>(self, number: u64) -> Result<Raw, E> {
        Ok(Raw::Bare(number.to_string()))
    }
    fn visit_f64<E>(self, number: f64) -> Result<Raw, E> {
        Ok(Raw::Bare(number.to_string()))
    }
    fn visit_bool<E>(self, flag: bool) -> Result<Raw, E> {
        Ok(Raw::Bare(flag.to_string()))
    }
    fn visit_seq<A: SeqAccess<'de>>(self, mut list: A) -> Result<Raw, A::Error> {
        while list.next_element::<IgnoredAny>()?.is_some() {}
        Ok(Raw::Shape("a list"))
    }
    /// A table, or a date: the TOML reader hands dates over as a table with one key of its own.
    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Raw, A::Error> {
        let mut date = None;
        let mut keys = 0;
        while let Some(key) = map.next_key::<String>()? {
            keys += 1;
            if key == toml_datetime_key() {
                date = Some(map.next_value::<String>()?);
            } else {
                map.next_value::<IgnoredAny>()?;
            }
        }
        Ok(match date {
            Some(date) if keys == 1 => Raw::Bare(date),
            _ => Raw::Shape("a table"),
        })
    }
}

/// The key under which the TOML reader hands over a date.
const fn toml_datetime_key() -> &'static str {
    "$__toml_private_datetime"
}

impl<'de, T: ReadNotation> Deserialize<'de> for Spanned<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let raw = serde_spanned::Spanned::<Raw>::deserialize(deserializer)?;
        let span = raw.span();
        let remedy = || format!("write {}, in quotes", T::WHAT);
        let (text, value) = match raw.into_inner() {
            Raw::Text(text) => {
                let value = T::read(&text);
                (text, value)
            }
            Raw::Bare(text) if T::TAKES_BARE => {
                let value = T::read(&text);
                (text, value)
            }
            Raw::Bare(text) => {
                let error = NotationError::new(&text, "the value is not in quotes", &remedy());
                (text, Err(error))
            }
            Raw::Shape(shape) => {
                let reason = "one value is wanted here";
                let error = NotationError::new(shape, reason, &format!("write {}", T::WHAT));
                (shape.to_owned(), Err(error))
            }
        };
        Ok(Self { text, span, value })
    }
}

#[cfg(feature = "job")]
impl<T: ReadNotation> schemars::JsonSchema for Spanned<T> {
    fn inline_schema() -> bool {
        true
    }
    fn schema_name() -> Cow<'static, str> {
        Cow::Borrowed(T::WHAT)
    }
    fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
        if T::TAKES_UNIT_OF_JOB {
            schemars::json_schema!({ "type": ["string", "number"], "title": T::WHAT })
        } else if T::TAKES_BARE {
            schemars::json_schema!({
                "type": ["string", "number", "boolean"],
                "title": T::WHAT,
            })
        } else {
            schemars::json_schema!({ "type": "string", "title": T::WHAT })
        }
    }
}

/// One name, or a list of names.
#[derive(Debug, Clone, PartialEq)]
pub struct Names {
    span: Range<usize>,
    list: Vec<Spanned<Name>>,
}

impl Names {
    /// The place in the file.
    #[must_use]
    pub fn span(&self) -> Range<usize> {
        self.span.clone()
    }

    /// The names, in the order of the file.
    #[must_use]
    pub fn list(&self) -> &[Spanned<Name>] {
        &self.list
    }

    /// The text of the first name.
    #[must_use]
    pub fn text(&self) -> &str {
        self.list.first().map_or("", Spanned::text)
    }
}

enum RawNames {
    One(String),
    Many(Vec<Spanned<Name>>),
    Shape(&'static str),
}

impl<'de> Deserialize<'de> for RawNames {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct NamesVisitor;
        impl<'de> Visitor<'de> for NamesVisitor {
            type Value = RawNames;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a name, or a list of names")
            }
            fn visit_str<E>(self, text: &str) -> Result<RawNames, E> {
                Ok(RawNames::One(text.to_owned()))
            }
            fn visit_i64<E>(self, _: i64) -> Result<RawNames, E> {
                Ok(RawNames::Shape("a number"))
            }
            fn visit_f64<E>(self, _: f64) -> Result<RawNames, E> {
                Ok(RawNames::Shape("a number"))
            }
            fn visit_bool<E>(self, _: bool) -> Result<RawNames, E> {
                Ok(RawNames::Shape("true or false"))
            }
            fn visit_seq<A: SeqAccess<'de>>(self, mut list: A) -> Result<RawNames, A::Error> {
                let mut names = Vec::new();
                while let Some(name) = list.next_element()? {
                    names.push(name);
                }
                Ok(RawNames::Many(names))
            }
            fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<RawNames, A::Error> {
                while map.next_entry::<IgnoredAny, IgnoredAny>()?.is_some() {}
                Ok(RawNames::Shape("a table"))
            }
        }
        deserializer.deserialize_any(NamesVisitor)
    }
}

impl<'de> Deserialize<'de> for Names {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let raw = serde_spanned::Spanned::<RawNames>::deserialize(deserializer)?;
        let span = raw.span();
        let one = |text: String, value| Spanned {
            text,
            span: span.clone(),
            value,
        };
        let list = match raw.into_inner() {
            RawNames::One(text) => {
                let value = Name::read(&text);
                vec![one(text, value)]
            }
            RawNames::Many(list) if list.is_empty() => {
                let error = NotationError::new("[]", "the list is empty", "write a name");
                vec![one(String::new(), Err(error))]
            }
            RawNames::Many(list) => list,
            RawNames::Shape(shape) => {
                let remedy = "write a name, or a list of names";
                let error = NotationError::new(shape, "a name is wanted here", remedy);
                vec![one(String::new(), Err(error))]
            }
        };
        Ok(Self { span, list })
    }
}

#[cfg(feature = "job")]
impl schemars::JsonSchema for Names {
    fn inline_schema() -> bool {
        true
    }
    fn schema_name() -> Cow<'static, str> {
        Cow::Borrowed("a name")
    }
    fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
        schemars::json_schema!({ "type": ["string", "array"], "title": Name::WHAT })
    }
}

/// A table of the file with its place.
#[derive(Debug, Clone, PartialEq, serde::Deserialize)]
#[serde(transparent)]
pub struct Placed<T>(serde_spanned::Spanned<T>);

impl<T> Placed<T> {
    /// The place in the file.
    #[must_use]
    pub fn span(&self) -> Range<usize> {
        self.0.span()
    }

    /// The table.
    #[must_use]
    pub fn get(&self) -> &T {
        self.0.get_ref()
    }
}

#[cfg(feature = "job")]
impl<T: schemars::JsonSchema> schemars::JsonSchema for Placed<T> {
    fn inline_schema() -> bool {
        T::inline_schema()
    }
    fn schema_name() -> Cow<'static, str> {
        T::schema_name()
    }
    fn schema_id() -> Cow<'static, str> {
        T::schema_id()
    }
    fn json_schema(generator: &mut schemars::SchemaGenerator) -> schemars::Schema {
        T::json_schema(generator)
    }
}
