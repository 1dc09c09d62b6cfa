//! A JSON text as a tree, and the reading of a car's parts from the tree.
//!
//! Read straight from the text, each of the dozens of fields would bring a piece of the parser,
//! and each part a second way to be read, from an array: a third of the code that reads cars.

use std::fmt;

use serde::de::{
    Deserialize, DeserializeSeed, Deserializer, Error as _, IntoDeserializer, MapAccess, SeqAccess,
    Visitor,
    value::{MapAccessDeserializer, StringDeserializer},
};
use serde_json::Error;

/// A JSON value. Fields are kept as they are written, so that one written twice is noticed.
#[derive(Default)]
pub(super) enum Tree {
    #[default]
    Null,
    Flag(bool),
    Number(f64),
    Text(String),
    List(Vec<Tree>),
    Object(Vec<(String, Tree)>),
}

impl<'de> Deserialize<'de> for Tree {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        from.deserialize_any(Planter)
    }
}

struct Planter;

impl<'de> Visitor<'de> for Planter {
    type Value = Tree;

    fn expecting(&self, to: &mut fmt::Formatter<'_>) -> fmt::Result {
        to.write_str("JSON")
    }

    fn visit_unit<E>(self) -> Result<Tree, E> {
        Ok(Tree::Null)
    }

    fn visit_bool<E>(self, flag: bool) -> Result<Tree, E> {
        Ok(Tree::Flag(flag))
    }

    // A car holds no whole number that a floating-point number does not hold.
    fn visit_u64<E>(self, number: u64) -> Result<Tree, E> {
        Ok(Tree::Number(number as f64))
    }

    fn visit_i64<E>(self, number: i64) -> Result<Tree, E> {
        Ok(Tree::Number(number as f64))
    }

    fn visit_f64<E>(self, number: f64) -> Result<Tree, E> {
        // To the decimal that is written, so that a number of more digits reads the same again.
        Ok(Tree::Number(crate::stored::tidy(number)))
    }

    fn visit_str<E>(self, text: &str) -> Result<Tree, E> {
        Ok(Tree::Text(text.to_owned()))
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut from: A) -> Result<Tree, A::Error> {
        let mut list = Vec::new();
        while let Some(one) = from.next_element()? {
            list.push(one);
        }
        Ok(Tree::List(list))
    }

    fn visit_map<A: MapAccess<'de>>(self, mut from: A) -> Result<Tree, A::Error> {
        let mut fields = Vec::new();
        while let Some(field) = from.next_entry()? {
            fields.push(field);
        }
        Ok(Tree::Object(fields))
    }
}

/// The error of something that is not what it should be.
#[inline(never)]
fn wrong<T>(needed: &str) -> Result<T, Error> {
    Err(Error::custom(format_args!("need {needed}")))
}

impl Tree {
    /// A count, or the number of a wire gauge.
    fn whole<'de, V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        match self {
            Self::Number(number) if number.fract() == 0.0 => visitor.visit_i64(number as i64),
            _ => wrong("a whole number"),
        }
    }
}

impl<'de> Deserializer<'de> for Tree {
    type Error = Error;

    fn deserialize_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        match self {
            Self::Null => visitor.visit_unit(),
            Self::Flag(flag) => visitor.visit_bool(flag),
            Self::Number(number) => visitor.visit_f64(number),
            Self::Text(text) => visitor.visit_string(text),
            Self::List(list) => visitor.visit_seq(List(list.into_iter())),
            Self::Object(fields) => visitor.visit_map(Fields {
                rest: fields.into_iter(),
                value: Self::Null,
            }),
        }
    }

    fn deserialize_bool<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        match self {
            Self::Flag(flag) => visitor.visit_bool(flag),
            _ => wrong("true or false"),
        }
    }

    fn deserialize_f64<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        match self {
            Self::Number(number) => visitor.visit_f64(number),
            _ => wrong("a number"),
        }
    }

    fn deserialize_string<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        match self {
            Self::Text(text) => visitor.visit_string(text),
            _ => wrong("a text"),
        }
    }

    fn deserialize_option<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        match self {
            Self::Null => visitor.visit_none(),
            some => visitor.visit_some(some),
        }
    }

    fn deserialize_seq<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        match self {
            Self::List(list) => visitor.visit_seq(List(list.into_iter())),
            _ => wrong("a list"),
        }
    }

    fn deserialize_struct<V: Visitor<'de>>(
        self,
        _name: &'static str,
        _fields: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Error> {
        match self {
            Self::Object(fields) => visitor.visit_map(Fields {
                rest: fields.into_iter(),
                value: Self::Null,
            }),
            _ => wrong("an object"),
        }
    }

    fn deserialize_enum<V: Visitor<'de>>(
        self,
        _name: &'static str,
        _variants: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Error> {
        match self {
            Self::Text(text) => visitor.visit_enum(text.into_deserializer()),
            Self::Object(fields) if fields.len() == 1 => {
                visitor.visit_enum(MapAccessDeserializer::new(Fields {
                    rest: fields.into_iter(),
                    value: Self::Null,
                }))
            }
            _ => wrong("a word, or one name with its value"),
        }
    }

    fn deserialize_u8<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        self.whole(visitor)
    }

    fn deserialize_u32<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        self.whole(visitor)
    }

    fn deserialize_u64<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        self.whole(visitor)
    }

    fn deserialize_i32<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        self.whole(visitor)
    }

    serde::forward_to_deserialize_any! {
        i8 i16 i64 i128 u16 u128 f32 char str bytes byte_buf unit unit_struct
        newtype_struct tuple tuple_struct map identifier ignored_any
    }
}

/// What is left of a list.
struct List(std::vec::IntoIter<Tree>);

impl<'de> SeqAccess<'de> for List {
    type Error = Error;

    fn next_element_seed<T: DeserializeSeed<'de>>(
        &mut self,
        seed: T,
    ) -> Result<Option<T::Value>, Error> {
        self.0.next().map(|one| seed.deserialize(one)).transpose()
    }
}

/// What is left of an object, and the value of the name that was read last.
struct Fields {
    rest: std::vec::IntoIter<(String, Tree)>,
    value: Tree,
}

impl<'de> MapAccess<'de> for Fields {
    type Error = Error;

    fn next_key_seed<K: DeserializeSeed<'de>>(
        &mut self,
        seed: K,
    ) -> Result<Option<K::Value>, Error> {
        let Some((name, value)) = self.rest.next() else {
            return Ok(None);
        };
        self.value = value;
        let name: StringDeserializer<Error> = name.into_deserializer();
        seed.deserialize(name).map(Some)
    }

    fn next_value_seed<V: DeserializeSeed<'de>>(&mut self, seed: V) -> Result<V::Value, Error> {
        seed.deserialize(std::mem::take(&mut self.value))
    }
}
