//! Any value of any type, drawn by its serde shape.

use super::sample::Chance;
use serde::de::value::{Error, U32Deserializer};
use serde::de::{
    DeserializeOwned, DeserializeSeed, Deserializer, EnumAccess, IntoDeserializer, SeqAccess, VariantAccess,
    Visitor,
};
use serde::forward_to_deserialize_any;
use std::string::String;

impl Chance {
    /// A value whose variants, options, lengths and numbers are all left to chance.
    pub(in crate::link) fn draw<T: DeserializeOwned>(&mut self) -> T {
        // What a type refuses is drawn anew.
        loop {
            if let Ok(value) = T::deserialize(Draw(self)) {
                return value;
            }
        }
    }

    /// A number of at most so many bits; short ones are as frequent as long ones.
    fn bits(&mut self, most: u64) -> u64 {
        let bits = self.below(most + 1);
        if bits == 0 { 0 } else { self.below(u64::MAX) >> (64 - bits) }
    }

    /// A number as an axis, a power and a length can have it; now and then one that few of them can.
    fn signed(&mut self) -> i32 {
        match self.below(40) {
            0 => self.bits(31) as i32,
            1..5 => -(self.bits(16) as i32),
            _ => self.bits(16) as i32 + 1,
        }
    }

    /// Mostly few, so that they find room.
    fn count(&mut self) -> usize {
        if self.one_in(8) { self.below(26) as usize } else { self.below(3) as usize }
    }

    fn text(&mut self) -> String {
        const LETTERS: [char; 8] = ['a', 'Z', '7', ' ', '\u{1b}', 'ß', '\u{202e}', '🙂'];
        (0..self.count()).map(|_| LETTERS[self.below(8) as usize]).collect()
    }
}

struct Draw<'c>(&'c mut Chance);

impl<'de> Deserializer<'de> for Draw<'_> {
    type Error = Error;

    fn deserialize_any<V: Visitor<'de>>(self, _: V) -> Result<V::Value, Error> {
        panic!("no type says by itself what it is")
    }
    fn deserialize_bool<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        visitor.visit_bool(self.0.one_in(2))
    }
    fn deserialize_u8<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        visitor.visit_u8(self.0.below(256) as u8)
    }
    fn deserialize_u16<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        visitor.visit_u16(self.0.bits(16) as u16)
    }
    fn deserialize_u32<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        visitor.visit_u32(self.0.bits(32) as u32)
    }
    fn deserialize_u64<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        visitor.visit_u64(self.0.bits(64))
    }
    fn deserialize_i16<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        visitor.visit_i16(self.0.bits(16) as i16)
    }
    fn deserialize_i32<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        visitor.visit_i32(self.0.signed())
    }
    fn deserialize_i64<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        visitor.visit_i64(self.0.bits(64) as i64)
    }
    fn deserialize_string<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        visitor.visit_str(&self.0.text())
    }
    fn deserialize_str<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        self.deserialize_string(visitor)
    }
    fn deserialize_option<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        if self.0.one_in(2) { visitor.visit_none() } else { visitor.visit_some(self) }
    }
    fn deserialize_newtype_struct<V: Visitor<'de>>(
        self,
        _: &'static str,
        visitor: V,
    ) -> Result<V::Value, Error> {
        visitor.visit_newtype_struct(self)
    }
    fn deserialize_seq<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        let count = self.0.count();
        visitor.visit_seq(Several(self.0, count))
    }
    fn deserialize_tuple<V: Visitor<'de>>(self, count: usize, visitor: V) -> Result<V::Value, Error> {
        visitor.visit_seq(Several(self.0, count))
    }
    fn deserialize_struct<V: Visitor<'de>>(
        self,
        _: &'static str,
        fields: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Error> {
        visitor.visit_seq(Several(self.0, fields.len()))
    }
    fn deserialize_enum<V: Visitor<'de>>(
        self,
        _: &'static str,
        variants: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Error> {
        let place = self.0.below(variants.len() as u64) as u32;
        visitor.visit_enum(Variant(self.0, place))
    }

    forward_to_deserialize_any! {
        i8 i128 u128 f32 f64 char bytes byte_buf unit unit_struct tuple_struct map identifier ignored_any
    }
}

/// So many values.
struct Several<'c>(&'c mut Chance, usize);

impl<'de> SeqAccess<'de> for Several<'_> {
    type Error = Error;
    fn next_element_seed<T: DeserializeSeed<'de>>(&mut self, seed: T) -> Result<Option<T::Value>, Error> {
        let Some(left) = self.1.checked_sub(1) else { return Ok(None) };
        self.1 = left;
        seed.deserialize(Draw(self.0)).map(Some)
    }
}

/// A variant by its place.
struct Variant<'c>(&'c mut Chance, u32);

impl<'de, 'c> EnumAccess<'de> for Variant<'c> {
    type Error = Error;
    type Variant = Draw<'c>;
    fn variant_seed<T: DeserializeSeed<'de>>(self, seed: T) -> Result<(T::Value, Draw<'c>), Error> {
        let place: U32Deserializer<Error> = self.1.into_deserializer();
        Ok((seed.deserialize(place)?, Draw(self.0)))
    }
}

impl<'de> VariantAccess<'de> for Draw<'_> {
    type Error = Error;
    fn unit_variant(self) -> Result<(), Error> {
        Ok(())
    }
    fn newtype_variant_seed<T: DeserializeSeed<'de>>(self, seed: T) -> Result<T::Value, Error> {
        seed.deserialize(self)
    }
    fn tuple_variant<V: Visitor<'de>>(self, count: usize, visitor: V) -> Result<V::Value, Error> {
        visitor.visit_seq(Several(self.0, count))
    }
    fn struct_variant<V: Visitor<'de>>(
        self,
        fields: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Error> {
        visitor.visit_seq(Several(self.0, fields.len()))
    }
}
