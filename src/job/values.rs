//! A job file's tables as serde reads them.
//!
//! A derived reader is compiled once for each kind of table it may be read from. The TOML crate hands a struct over as one of four
//! (a table, a value with its place, a date, a list), which made a third of the program. Here all come as one.

use serde::de::{
    DeserializeSeed, Deserializer, Error, IntoDeserializer as _, MapAccess, SeqAccess, Visitor,
};
use serde_spanned::de::is_spanned;
use std::borrow::Cow;
use std::fmt;
use std::ops::Range;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// Why a value cannot be read.
#[derive(Debug)]
pub(super) struct Unread {
    pub(super) message: String,
    /// Where; known once the value is.
    pub(super) span: Option<Range<usize>>,
}

impl fmt::Display for Unread {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.message)
    }
}

impl std::error::Error for Unread {}

impl Error for Unread {
    fn custom<T: fmt::Display>(message: T) -> Self {
        Self {
            message: message.to_string(),
            span: None,
        }
    }
}

/// A value of the file, or of what serde asks about its place.
pub(super) enum Value<'de> {
    Given(Spanned<DeValue<'de>>),
    /// The byte at which a value begins or ends.
    Byte(usize),
    Date(String),
}

impl<'de> From<Spanned<DeTable<'de>>> for Value<'de> {
    fn from(table: Spanned<DeTable<'de>>) -> Self {
        let span = table.span();
        Self::Given(Spanned::new(span, DeValue::Table(table.into_inner())))
    }
}

impl Value<'_> {
    fn span(&self) -> Option<Range<usize>> {
        match self {
            Self::Given(given) => Some(given.span()),
            Self::Byte(_) | Self::Date(_) => None,
        }
    }

    /// Reads the value; an error gets its place.
    fn read<'de, S: DeserializeSeed<'de>>(self, seed: S) -> Result<S::Value, Unread>
    where
        Self: Deserializer<'de, Error = Unread>,
    {
        let span = self.span();
        seed.deserialize(self).map_err(|error| Unread {
            span: error.span.or(span),
            ..error
        })
    }
}

/// The key under which the TOML crate hands over a date.
const DATE: &str = "$__toml_private_datetime";

impl<'de> Deserializer<'de> for Value<'de> {
    type Error = Unread;

    fn deserialize_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Unread> {
        let given = match self {
            Self::Given(given) => given.into_inner(),
            Self::Byte(byte) => return visitor.visit_u64(byte as u64),
            Self::Date(date) => return visitor.visit_string(date),
        };
        match given {
            DeValue::String(text) => Text(text).deserialize_any(visitor),
            DeValue::Boolean(flag) => visitor.visit_bool(flag),
            DeValue::Float(number) => match float(number.as_str()) {
                Some(number) => visitor.visit_f64(number),
                None => Err(Error::custom("the number is too large")),
            },
            DeValue::Integer(number) => {
                let (digits, radix) = (number.as_str(), number.radix());
                if let Ok(number) = i64::from_str_radix(digits, radix) {
                    visitor.visit_i64(number)
                } else if let Ok(number) = u64::from_str_radix(digits, radix) {
                    visitor.visit_u64(number)
                } else {
                    Err(Error::custom("the whole number is too large"))
                }
            }
            DeValue::Datetime(date) => {
                let date = Value::Date(date.to_string());
                visitor.visit_map(Entries::of(vec![(Cow::Borrowed(DATE), date)]))
            }
            DeValue::Array(list) => visitor.visit_seq(List(list.into_iter())),
            DeValue::Table(table) => visitor.visit_map(Entries::of_table(table)),
        }
    }

    fn deserialize_option<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Unread> {
        visitor.visit_some(self)
    }

    fn deserialize_newtype_struct<V: Visitor<'de>>(
        self,
        _: &'static str,
        visitor: V,
    ) -> Result<V::Value, Unread> {
        visitor.visit_newtype_struct(self)
    }

    fn deserialize_struct<V: Visitor<'de>>(
        self,
        name: &'static str,
        fields: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Unread> {
        if let (true, Some(span), [start, end, value]) = (is_spanned(name), self.span(), fields) {
            return visitor.visit_map(Entries::of(vec![
                (Cow::Borrowed(*start), Value::Byte(span.start)),
                (Cow::Borrowed(*end), Value::Byte(span.end)),
                (Cow::Borrowed(*value), self),
            ]));
        }
        self.deserialize_map(visitor)
    }

    fn deserialize_map<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Unread> {
        if let Self::Given(given) = self
            && let DeValue::Table(table) = given.into_inner()
        {
            return visitor.visit_map(Entries::of_table(table));
        }
        Err(Error::custom("a table is wanted here"))
    }

    fn deserialize_seq<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Unread> {
        if let Self::Given(given) = self
            && let DeValue::Array(list) = given.into_inner()
        {
            return visitor.visit_seq(List(list.into_iter()));
        }
        Err(Error::custom("a list is wanted here"))
    }

    fn deserialize_enum<V: Visitor<'de>>(
        self,
        _: &'static str,
        _: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Unread> {
        if let Self::Given(given) = self
            && let DeValue::String(text) = given.into_inner()
        {
            return visitor.visit_enum(text.into_deserializer());
        }
        Err(Error::custom("one word is wanted here"))
    }

    serde::forward_to_deserialize_any! {
        bool u8 u16 u32 u64 i8 i16 i32 i64 f32 f64 char str string bytes byte_buf unit
        ignored_any unit_struct tuple_struct tuple identifier
    }
}

/// A key or a text, borrowed where the file has it as it is.
struct Text<'de>(Cow<'de, str>);

impl<'de> Deserializer<'de> for Text<'de> {
    type Error = Unread;

    fn deserialize_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Unread> {
        match self.0 {
            Cow::Borrowed(text) => visitor.visit_borrowed_str(text),
            Cow::Owned(text) => visitor.visit_string(text),
        }
    }

    serde::forward_to_deserialize_any! {
        bool u8 u16 u32 u64 i8 i16 i32 i64 f32 f64 char str string bytes byte_buf option unit
        ignored_any unit_struct newtype_struct tuple_struct tuple identifier seq map struct enum
    }
}

/// A number of the file; `None` where it is beyond all numbers and does not say so.
fn float(text: &str) -> Option<f64> {
    let number: f64 = text.parse().ok()?;
    (number.is_finite() || text.contains("inf") || text.contains("nan")).then_some(number)
}

/// The keys of a table and their values.
struct Entries<'de> {
    rest: std::vec::IntoIter<(Cow<'de, str>, Value<'de>)>,
    value: Option<Value<'de>>,
}

impl<'de> Entries<'de> {
    fn of(entries: Vec<(Cow<'de, str>, Value<'de>)>) -> Self {
        Self {
            rest: entries.into_iter(),
            value: None,
        }
    }

    fn of_table(table: DeTable<'de>) -> Self {
        let entry =
            |(key, value): (Spanned<Cow<'de, str>>, _)| (key.into_inner(), Value::Given(value));
        Self::of(table.into_iter().map(entry).collect())
    }
}

impl<'de> MapAccess<'de> for Entries<'de> {
    type Error = Unread;

    fn next_key_seed<K: DeserializeSeed<'de>>(
        &mut self,
        seed: K,
    ) -> Result<Option<K::Value>, Unread> {
        let Some((key, value)) = self.rest.next() else {
            return Ok(None);
        };
        let span = value.span();
        self.value = Some(value);
        seed.deserialize(Text(key))
            .map(Some)
            .map_err(|error| Unread {
                span: error.span.or(span),
                ..error
            })
    }

    // Once for each kind of value, not for each key: a quarter of a megabyte of program.
    #[inline(never)]
    fn next_value_seed<S: DeserializeSeed<'de>>(&mut self, seed: S) -> Result<S::Value, Unread> {
        match self.value.take() {
            Some(value) => value.read(seed),
            None => Err(Error::custom("a value was asked for before its key")),
        }
    }
}

/// The values of a list.
struct List<'de>(<toml::de::DeArray<'de> as IntoIterator>::IntoIter);

impl<'de> SeqAccess<'de> for List<'de> {
    type Error = Unread;

    fn next_element_seed<S: DeserializeSeed<'de>>(
        &mut self,
        seed: S,
    ) -> Result<Option<S::Value>, Unread> {
        self.0
            .next()
            .map(|value| Value::Given(value).read(seed))
            .transpose()
    }
}
