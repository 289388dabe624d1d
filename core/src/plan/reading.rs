//! A plan's JSON, read as what each part asks for and as nothing else: the library's own reader also takes a list for a group of
//! fields, for which every group would carry its reading twice.

use serde::de::value::{MapDeserializer, SeqDeserializer};
use serde::de::{Deserializer, Error as _, Expected, IntoDeserializer, Unexpected, Visitor};
use serde_json::{Error, Value};

/// A part of a plan's JSON, to be read.
#[derive(Clone, Copy)]
pub(crate) struct Reading<'a>(pub(crate) &'a Value);

impl<'a> Reading<'a> {
    /// That something else is expected here.
    fn misfit(self, expected: &dyn Expected) -> Error {
        let found = match self.0 {
            Value::Null => Unexpected::Unit,
            Value::Bool(is) => Unexpected::Bool(*is),
            Value::Number(number) => match (number.as_u64(), number.as_i64()) {
                (Some(number), _) => Unexpected::Unsigned(number),
                (None, Some(number)) => Unexpected::Signed(number),
                (None, None) => Unexpected::Float(number.as_f64().unwrap_or(f64::NAN)),
            },
            Value::String(text) => Unexpected::Str(text),
            Value::Array(_) => Unexpected::Seq,
            Value::Object(_) => Unexpected::Map,
        };
        Error::invalid_type(found, expected)
    }

    fn field((name, value): (&'a String, &'a Value)) -> (&'a str, Self) {
        (name.as_str(), Reading(value))
    }

    /// Truth, a number or text.
    fn one<V: Visitor<'a>>(self, visitor: V) -> Result<V::Value, Error> {
        match self.0 {
            Value::Bool(is) => visitor.visit_bool(*is),
            Value::Number(number) => match (number.as_u64(), number.as_i64(), number.as_f64()) {
                (Some(number), ..) => visitor.visit_u64(number),
                (None, Some(number), _) => visitor.visit_i64(number),
                (None, None, number) => visitor.visit_f64(number.unwrap_or(f64::NAN)),
            },
            Value::String(text) => visitor.visit_borrowed_str(text),
            _ => Err(self.misfit(&visitor)),
        }
    }

    fn list<V: Visitor<'a>>(self, visitor: V) -> Result<V::Value, Error> {
        let Value::Array(rows) = self.0 else {
            return Err(self.misfit(&visitor));
        };
        let mut rest = SeqDeserializer::new(rows.iter().map(Reading));
        let read = visitor.visit_seq(&mut rest)?;
        let too_long = |_: Error| Error::invalid_length(rows.len(), &"fewer elements in array");
        rest.end().map_err(too_long)?;
        Ok(read)
    }

    fn group<V: Visitor<'a>>(self, visitor: V) -> Result<V::Value, Error> {
        match self.0 {
            Value::Object(fields) => {
                visitor.visit_map(MapDeserializer::new(fields.iter().map(Self::field)))
            }
            _ => Err(self.misfit(&visitor)),
        }
    }
}

impl<'a> IntoDeserializer<'a, Error> for Reading<'a> {
    type Deserializer = Self;

    fn into_deserializer(self) -> Self {
        self
    }
}

/// Kinds of value that are all read in one way.
macro_rules! read {
    ($($way:ident: $($kind:ident)*;)*) => {$($(
        fn $kind<V: Visitor<'a>>(self, visitor: V) -> Result<V::Value, Error> {
            self.$way(visitor)
        }
    )*)*};
}

impl<'a> Deserializer<'a> for Reading<'a> {
    type Error = Error;

    read! {
        one: deserialize_bool deserialize_i8 deserialize_i16 deserialize_i32 deserialize_i64 deserialize_u8 deserialize_u16
            deserialize_u32 deserialize_u64 deserialize_f32 deserialize_f64 deserialize_char deserialize_str deserialize_string
            deserialize_bytes deserialize_byte_buf deserialize_identifier;
        list: deserialize_seq;
        group: deserialize_map;
    }

    fn deserialize_any<V: Visitor<'a>>(self, visitor: V) -> Result<V::Value, Error> {
        match self.0 {
            Value::Null => visitor.visit_unit(),
            Value::Array(_) => self.list(visitor),
            Value::Object(_) => self.group(visitor),
            _ => self.one(visitor),
        }
    }

    fn deserialize_option<V: Visitor<'a>>(self, visitor: V) -> Result<V::Value, Error> {
        match self.0 {
            Value::Null => visitor.visit_none(),
            _ => visitor.visit_some(self),
        }
    }

    fn deserialize_unit<V: Visitor<'a>>(self, visitor: V) -> Result<V::Value, Error> {
        match self.0 {
            Value::Null => visitor.visit_unit(),
            _ => Err(self.misfit(&visitor)),
        }
    }

    fn deserialize_unit_struct<V: Visitor<'a>>(
        self,
        _: &'static str,
        visitor: V,
    ) -> Result<V::Value, Error> {
        self.deserialize_unit(visitor)
    }

    fn deserialize_newtype_struct<V: Visitor<'a>>(
        self,
        _: &'static str,
        visitor: V,
    ) -> Result<V::Value, Error> {
        visitor.visit_newtype_struct(self)
    }

    fn deserialize_tuple<V: Visitor<'a>>(self, _: usize, visitor: V) -> Result<V::Value, Error> {
        self.list(visitor)
    }

    fn deserialize_tuple_struct<V: Visitor<'a>>(
        self,
        _: &'static str,
        _: usize,
        visitor: V,
    ) -> Result<V::Value, Error> {
        self.list(visitor)
    }

    fn deserialize_struct<V: Visitor<'a>>(
        self,
        _: &'static str,
        _: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Error> {
        self.group(visitor)
    }

    fn deserialize_enum<V: Visitor<'a>>(
        self,
        _: &'static str,
        _: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Error> {
        match self.0 {
            Value::String(word) => visitor.visit_enum(word.as_str().into_deserializer()),
            _ => Err(self.misfit(&"string or map")),
        }
    }

    fn deserialize_ignored_any<V: Visitor<'a>>(self, visitor: V) -> Result<V::Value, Error> {
        visitor.visit_unit()
    }
}
