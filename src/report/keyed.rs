//! Answers as JSON: a quantity's key ends in its unit.
//!
//! A field `sag: Length` becomes `sag_mm`; a [`Band`](crate::chance::Band) one `sag_low_mm`, `sag_mm` and `sag_high_mm`; a list
//! of quantities one list under `supports_mm`. What is not known is null; the field of an
//! optional quantity is named with its unit, since a null has none.

use serde::Serialize;
use serde::ser::{self, Error as _};
use serde_json::{Error, Map, Value};

/// The answer as JSON, its keys ending in the units of its quantities.
///
/// # Errors
/// Where a value cannot be JSON, such as a map whose keys are no text.
pub fn keyed(answer: &(impl Serialize + ?Sized)) -> Result<Value, Error> {
    answer.serialize(Keyed).map(|piece| piece.value)
}

/// A value before it has a key: with the unit its key is to end in, and as three values where it is a band.
struct Piece {
    unit: &'static str,
    band: bool,
    value: Value,
}

/// The name under which serde hands over a band.
const BAND: &str = "Band";
/// The three keys of a band and what they add to its key.
const ENDS: [(&str, &str); 3] = [("low", "_low"), ("middle", ""), ("high", "_high")];

fn plain(value: impl Into<Value>) -> Result<Piece, Error> {
    Ok(Piece {
        unit: "",
        band: false,
        value: value.into(),
    })
}

/// A key that has its unit by itself, as that of an optional quantity does, stays as it is.
fn with_unit(key: &str, unit: &str) -> String {
    let ends = key.strip_suffix(unit).is_some_and(|key| key.ends_with('_'));
    let begins = key
        .strip_prefix(unit)
        .is_some_and(|key| key.starts_with('_'));
    if unit.is_empty() || ends || begins {
        key.to_owned()
    } else {
        format!("{key}_{unit}")
    }
}

/// Puts a value under the key that says what it is.
fn put(map: &mut Map<String, Value>, key: &str, piece: Piece) {
    match piece.value {
        Value::Object(mut ends) if piece.band => {
            for (end, word) in ENDS {
                if let Some(value) = ends.remove(end) {
                    map.insert(with_unit(&format!("{key}{word}"), piece.unit), value);
                }
            }
        }
        value => {
            map.insert(with_unit(key, piece.unit), value);
        }
    }
}

/// A list as one value: of quantities with their unit, of bands as a band of lists.
fn gather(pieces: Vec<Piece>) -> Piece {
    let (unit, band) = pieces
        .first()
        .map_or(("", false), |first| (first.unit, first.band));
    let alike = pieces
        .iter()
        .all(|piece| piece.unit == unit && piece.band == band);
    let lists = |pieces: Vec<Piece>| {
        ENDS.map(|(end, _)| {
            let each = pieces.iter().map(|piece| piece.value[end].clone());
            (end.to_owned(), Value::Array(each.collect()))
        })
    };
    Piece {
        unit: if alike { unit } else { "" },
        band: alike && band,
        value: if alike && band {
            Value::Object(lists(pieces).into_iter().collect())
        } else {
            Value::Array(pieces.into_iter().map(|piece| piece.value).collect())
        },
    }
}

struct Keyed;

macro_rules! scalars {
    ($($name:ident: $kind:ty),+) => {
        $(fn $name(self, value: $kind) -> Result<Piece, Error> {
            plain(value)
        })+
    };
}

impl ser::Serializer for Keyed {
    type Ok = Piece;
    type Error = Error;
    type SerializeSeq = List;
    type SerializeTuple = List;
    type SerializeTupleStruct = List;
    type SerializeTupleVariant = ser::Impossible<Piece, Error>;
    type SerializeMap = Fields;
    type SerializeStruct = Fields;
    type SerializeStructVariant = ser::Impossible<Piece, Error>;

    scalars!(
        serialize_bool: bool, serialize_i8: i8, serialize_i16: i16, serialize_i32: i32, serialize_i64: i64,
        serialize_u8: u8, serialize_u16: u16, serialize_u32: u32, serialize_u64: u64, serialize_str: &str
    );

    fn serialize_f32(self, value: f32) -> Result<Piece, Error> {
        self.serialize_f64(f64::from(value))
    }
    /// Without a negative zero.
    fn serialize_f64(self, value: f64) -> Result<Piece, Error> {
        plain(value + 0.0)
    }
    fn serialize_char(self, value: char) -> Result<Piece, Error> {
        plain(value.to_string())
    }
    fn serialize_bytes(self, value: &[u8]) -> Result<Piece, Error> {
        plain(value.to_vec())
    }
    fn serialize_none(self) -> Result<Piece, Error> {
        plain(Value::Null)
    }
    fn serialize_some<T: Serialize + ?Sized>(self, value: &T) -> Result<Piece, Error> {
        value.serialize(self)
    }
    fn serialize_unit(self) -> Result<Piece, Error> {
        plain(Value::Null)
    }
    fn serialize_unit_struct(self, _: &'static str) -> Result<Piece, Error> {
        plain(Value::Null)
    }
    fn serialize_unit_variant(
        self,
        _: &'static str,
        _: u32,
        variant: &'static str,
    ) -> Result<Piece, Error> {
        plain(variant)
    }
    /// A quantity hands over its unit as its name; types of the language start with a capital.
    fn serialize_newtype_struct<T: Serialize + ?Sized>(
        self,
        name: &'static str,
        value: &T,
    ) -> Result<Piece, Error> {
        let piece = value.serialize(self)?;
        let is_unit = name.starts_with(|first: char| first.is_ascii_lowercase());
        Ok(Piece {
            unit: if is_unit { name } else { piece.unit },
            ..piece
        })
    }
    fn serialize_newtype_variant<T: Serialize + ?Sized>(
        self,
        _: &'static str,
        _: u32,
        variant: &'static str,
        value: &T,
    ) -> Result<Piece, Error> {
        let mut map = Map::new();
        put(&mut map, variant, value.serialize(self)?);
        plain(Value::Object(map))
    }
    fn serialize_seq(self, _: Option<usize>) -> Result<List, Error> {
        Ok(List(Vec::new()))
    }
    fn serialize_tuple(self, _: usize) -> Result<List, Error> {
        Ok(List(Vec::new()))
    }
    fn serialize_tuple_struct(self, _: &'static str, _: usize) -> Result<List, Error> {
        Ok(List(Vec::new()))
    }
    fn serialize_tuple_variant(
        self,
        name: &'static str,
        _: u32,
        _: &'static str,
        _: usize,
    ) -> Result<Self::SerializeTupleVariant, Error> {
        Err(Error::custom(format!("{name} has no keys")))
    }
    fn serialize_map(self, _: Option<usize>) -> Result<Fields, Error> {
        Ok(Fields::of(false))
    }
    fn serialize_struct(self, name: &'static str, _: usize) -> Result<Fields, Error> {
        Ok(Fields::of(name == BAND))
    }
    fn serialize_struct_variant(
        self,
        name: &'static str,
        _: u32,
        _: &'static str,
        _: usize,
    ) -> Result<Self::SerializeStructVariant, Error> {
        Err(Error::custom(format!("{name} is no answer of one shape")))
    }
}

struct List(Vec<Piece>);

macro_rules! list {
    ($($kind:ident: $step:ident),+) => {
        $(impl ser::$kind for List {
            type Ok = Piece;
            type Error = Error;
            fn $step<T: Serialize + ?Sized>(&mut self, value: &T) -> Result<(), Error> {
                self.0.push(value.serialize(Keyed)?);
                Ok(())
            }
            fn end(self) -> Result<Piece, Error> {
                Ok(gather(self.0))
            }
        })+
    };
}

list!(SerializeSeq: serialize_element, SerializeTuple: serialize_element, SerializeTupleStruct: serialize_field);

struct Fields {
    map: Map<String, Value>,
    /// The unit of a band's ends.
    band: Option<&'static str>,
    key: String,
}

impl Fields {
    fn of(band: bool) -> Self {
        Self {
            map: Map::new(),
            band: band.then_some(""),
            key: String::new(),
        }
    }

    fn field<T: Serialize + ?Sized>(&mut self, key: &str, value: &T) -> Result<(), Error> {
        let piece = value.serialize(Keyed)?;
        if let Some(unit) = &mut self.band {
            *unit = piece.unit;
            self.map.insert(key.to_owned(), piece.value);
        } else {
            put(&mut self.map, key, piece);
        }
        Ok(())
    }

    fn done(self) -> Piece {
        Piece {
            unit: self.band.unwrap_or_default(),
            band: self.band.is_some(),
            value: Value::Object(self.map),
        }
    }
}

impl ser::SerializeStruct for Fields {
    type Ok = Piece;
    type Error = Error;
    fn serialize_field<T: Serialize + ?Sized>(
        &mut self,
        key: &'static str,
        value: &T,
    ) -> Result<(), Error> {
        self.field(key, value)
    }
    fn end(self) -> Result<Piece, Error> {
        Ok(self.done())
    }
}

impl ser::SerializeMap for Fields {
    type Ok = Piece;
    type Error = Error;
    fn serialize_key<T: Serialize + ?Sized>(&mut self, key: &T) -> Result<(), Error> {
        self.key = match key.serialize(Keyed)?.value {
            Value::String(text) => text,
            other => other.to_string(),
        };
        Ok(())
    }
    fn serialize_value<T: Serialize + ?Sized>(&mut self, value: &T) -> Result<(), Error> {
        let key = std::mem::take(&mut self.key);
        self.field(&key, value)
    }
    fn end(self) -> Result<Piece, Error> {
        Ok(self.done())
    }
}
