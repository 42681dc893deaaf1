//! Prints of values: two values with one print are taken as equal.
//!
//! A value is written straight into a hash, piece by piece, never into a text. The hash is not one for adversaries, and need
//! not be: a print is compared with the earlier print of the same stage, within one run of the program.

use serde::{Serialize, ser};
use siphasher::sip128::{Hasher128, SipHasher13};
use std::fmt;
use std::hash::Hasher;
use std::ops::Deref;

/// 128 bits that stand for a value.
pub(super) type Print = u128;

/// The print of a value; none for what refuses to be written down.
pub(super) fn of(value: &impl Serialize) -> Option<Print> {
    let mut press = Press(SipHasher13::new());
    value.serialize(&mut press).ok()?;
    Some(press.0.finish128().as_u128())
}

/// A large value that is printed once, when it is made; where several stages take it, its print stands for it.
#[derive(Clone, Debug)]
pub(crate) struct Printed<T> {
    value: T,
    print: Option<Print>,
}

impl<T: Serialize> Printed<T> {
    /// Prints a value.
    pub(crate) fn new(value: T) -> Self {
        let print = of(&value);
        Self { value, print }
    }
}

impl<T> Deref for Printed<T> {
    type Target = T;

    fn deref(&self) -> &T {
        &self.value
    }
}

impl<T> Serialize for Printed<T> {
    fn serialize<S: ser::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self.print {
            Some(print) => serializer.serialize_u128(print),
            None => Err(ser::Error::custom("a value without a print")),
        }
    }
}

/// Why a value has no print: it refused.
#[derive(Debug)]
struct Refused;

impl fmt::Display for Refused {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str("the value refuses to be written down")
    }
}

impl std::error::Error for Refused {}

impl ser::Error for Refused {
    fn custom<T: fmt::Display>(_: T) -> Self {
        Self
    }
}

/// Writes values into a hash. Whatever may be there or not, or be longer or shorter, says so before it comes, so that no
/// two values are written alike.
struct Press(SipHasher13);

impl Press {
    fn number(&mut self, number: u64) {
        self.0.write_u64(number);
    }

    fn count(&mut self, count: usize) {
        self.0.write_usize(count);
    }

    /// A length that is not known before ends in [`Press::end`] instead.
    fn length(&mut self, length: Option<usize>) {
        self.count(length.unwrap_or(usize::MAX));
    }

    fn end(&mut self) {
        self.0.write_u8(u8::MAX);
    }

    fn bytes(&mut self, bytes: &[u8]) {
        self.count(bytes.len());
        self.0.write(bytes);
    }
}

/// Scalars, each as the bytes of one width.
macro_rules! scalars {
    ($($name:ident: $kind:ty => $write:ident),* $(,)?) => {
        $(fn $name(self, value: $kind) -> Result<(), Refused> {
            self.0.$write(value.into());
            Ok(())
        })*
    };
}

impl ser::Serializer for &mut Press {
    type Ok = ();
    type Error = Refused;
    type SerializeSeq = Self;
    type SerializeTuple = Self;
    type SerializeTupleStruct = Self;
    type SerializeTupleVariant = Self;
    type SerializeMap = Self;
    type SerializeStruct = Self;
    type SerializeStructVariant = Self;

    scalars! {
        serialize_bool: bool => write_u8,
        serialize_i8: i8 => write_i8,
        serialize_i16: i16 => write_i16,
        serialize_i32: i32 => write_i32,
        serialize_i64: i64 => write_i64,
        serialize_i128: i128 => write_i128,
        serialize_u8: u8 => write_u8,
        serialize_u16: u16 => write_u16,
        serialize_u32: u32 => write_u32,
        serialize_u64: u64 => write_u64,
        serialize_u128: u128 => write_u128,
        serialize_char: char => write_u32,
    }

    fn serialize_f32(self, value: f32) -> Result<(), Refused> {
        self.0.write_u32(value.to_bits());
        Ok(())
    }

    fn serialize_f64(self, value: f64) -> Result<(), Refused> {
        self.number(value.to_bits());
        Ok(())
    }

    fn serialize_str(self, value: &str) -> Result<(), Refused> {
        self.serialize_bytes(value.as_bytes())
    }

    fn serialize_bytes(self, value: &[u8]) -> Result<(), Refused> {
        self.bytes(value);
        Ok(())
    }

    fn serialize_none(self) -> Result<(), Refused> {
        self.0.write_u8(0);
        Ok(())
    }

    fn serialize_some<T: Serialize + ?Sized>(self, value: &T) -> Result<(), Refused> {
        self.0.write_u8(1);
        value.serialize(self)
    }

    fn serialize_unit(self) -> Result<(), Refused> {
        self.end();
        Ok(())
    }

    fn serialize_unit_struct(self, _: &'static str) -> Result<(), Refused> {
        self.serialize_unit()
    }

    fn serialize_unit_variant(self, _: &'static str, _: u32, variant: &'static str) -> Result<(), Refused> {
        self.serialize_str(variant)
    }

    fn serialize_newtype_struct<T: Serialize + ?Sized>(
        self,
        _: &'static str,
        value: &T,
    ) -> Result<(), Refused> {
        value.serialize(self)
    }

    fn serialize_newtype_variant<T: Serialize + ?Sized>(
        self,
        _: &'static str,
        _: u32,
        variant: &'static str,
        value: &T,
    ) -> Result<(), Refused> {
        self.bytes(variant.as_bytes());
        value.serialize(self)
    }

    fn serialize_seq(self, length: Option<usize>) -> Result<Self, Refused> {
        self.length(length);
        Ok(self)
    }

    fn serialize_tuple(self, length: usize) -> Result<Self, Refused> {
        self.serialize_seq(Some(length))
    }

    fn serialize_tuple_struct(self, _: &'static str, length: usize) -> Result<Self, Refused> {
        self.serialize_seq(Some(length))
    }

    fn serialize_tuple_variant(
        self,
        _: &'static str,
        _: u32,
        variant: &'static str,
        length: usize,
    ) -> Result<Self, Refused> {
        self.bytes(variant.as_bytes());
        self.serialize_seq(Some(length))
    }

    fn serialize_map(self, length: Option<usize>) -> Result<Self, Refused> {
        self.serialize_seq(length)
    }

    fn serialize_struct(self, _: &'static str, length: usize) -> Result<Self, Refused> {
        self.serialize_seq(Some(length))
    }

    fn serialize_struct_variant(
        self,
        _: &'static str,
        _: u32,
        variant: &'static str,
        length: usize,
    ) -> Result<Self, Refused> {
        self.bytes(variant.as_bytes());
        self.serialize_seq(Some(length))
    }
}

/// What has elements without names.
macro_rules! elements {
    ($($name:ident :: $element:ident),* $(,)?) => {
        $(impl ser::$name for &mut Press {
            type Ok = ();
            type Error = Refused;

            fn $element<T: Serialize + ?Sized>(&mut self, value: &T) -> Result<(), Refused> {
                value.serialize(&mut **self)
            }

            fn end(self) -> Result<(), Refused> {
                Press::end(self);
                Ok(())
            }
        })*
    };
}

elements! {
    SerializeTuple::serialize_element,
    SerializeTupleStruct::serialize_field,
    SerializeTupleVariant::serialize_field,
}

impl ser::SerializeSeq for &mut Press {
    type Ok = ();
    type Error = Refused;

    fn serialize_element<T: Serialize + ?Sized>(&mut self, value: &T) -> Result<(), Refused> {
        // One more comes: a sequence that does not know its length is no other for it.
        self.0.write_u8(1);
        value.serialize(&mut **self)
    }

    fn end(self) -> Result<(), Refused> {
        Press::end(self);
        Ok(())
    }
}

impl ser::SerializeMap for &mut Press {
    type Ok = ();
    type Error = Refused;

    fn serialize_key<T: Serialize + ?Sized>(&mut self, key: &T) -> Result<(), Refused> {
        self.0.write_u8(1);
        key.serialize(&mut **self)
    }

    fn serialize_value<T: Serialize + ?Sized>(&mut self, value: &T) -> Result<(), Refused> {
        value.serialize(&mut **self)
    }

    fn end(self) -> Result<(), Refused> {
        Press::end(self);
        Ok(())
    }
}

/// What has named fields: a field may be left out, so each says its name.
macro_rules! fields {
    ($($name:ident),* $(,)?) => {
        $(impl ser::$name for &mut Press {
            type Ok = ();
            type Error = Refused;

            fn serialize_field<T: Serialize + ?Sized>(
                &mut self,
                name: &'static str,
                value: &T,
            ) -> Result<(), Refused> {
                self.bytes(name.as_bytes());
                value.serialize(&mut **self)
            }

            fn end(self) -> Result<(), Refused> {
                Press::end(self);
                Ok(())
            }
        })*
    };
}

fields!(SerializeStruct, SerializeStructVariant);

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

    use super::*;
    use std::collections::BTreeMap;

    #[derive(Clone, Serialize)]
    struct Part {
        name: &'static str,
        #[serde(skip_serializing_if = "Option::is_none")]
        near: Option<f64>,
        #[serde(skip_serializing_if = "Option::is_none")]
        far: Option<f64>,
        lines: Vec<Vec<[f64; 2]>>,
    }

    const NO_LINES: Vec<Vec<[f64; 2]>> = Vec::new();

    #[test]
    fn another_value_has_another_print() {
        let part = |near, far, lines| of(&Part { name: "club", near, far, lines }).unwrap();
        let prints = [
            part(None, None, NO_LINES),
            part(Some(1.0), None, NO_LINES),
            part(None, Some(1.0), NO_LINES),
            part(Some(-1.0), None, NO_LINES),
            part(None, None, vec![vec![]]),
            part(None, None, vec![vec![], vec![]]),
            part(None, None, vec![vec![[0.0, 1.0], [2.0, 3.0]]]),
            part(None, None, vec![vec![[0.0, 1.0]], vec![[2.0, 3.0]]]),
            part(None, None, vec![vec![[0.0, 1.0], [2.0, 3.0 + 1e-15]]]),
        ];
        for (index, print) in prints.iter().enumerate() {
            assert!(!prints[..index].contains(print), "{index}");
        }
        assert_eq!(part(Some(1.0), None, NO_LINES), prints[1]);
    }

    #[test]
    fn where_one_ends_and_the_next_begins_is_told() {
        assert_ne!(of(&("ab", "c")), of(&("a", "bc")));
        assert_ne!(of(&(vec![1_u8], vec![2_u8, 3])), of(&(vec![1_u8, 2], vec![3_u8])));
        assert_ne!(of(&(None::<u8>, Some(0_u8))), of(&(Some(0_u8), None::<u8>)));
        let map = |keys: &[&str]| of(&keys.iter().map(|key| (*key, 1)).collect::<BTreeMap<&str, i32>>());
        assert_ne!(map(&["a", "b"]), map(&["a", "c"]));
        // Sequences that do not know their length.
        #[derive(Serialize)]
        struct Loose(
            #[serde(serialize_with = "loosely")] [u8; 3],
            #[serde(serialize_with = "loosely")] [u8; 3],
        );
        fn loosely<S: ser::Serializer>(value: &[u8; 3], to: S) -> Result<S::Ok, S::Error> {
            to.collect_seq(value.iter().filter(|element| **element > 0))
        }
        assert_ne!(of(&Loose([1, 2, 0], [3, 0, 0])), of(&Loose([1, 0, 0], [2, 3, 0])));
    }

    #[test]
    fn a_printed_value_is_printed_as_its_print() {
        let one = Printed::new(vec![1, 2, 3]);
        assert_eq!(of(&one), of(&Printed::new(vec![1, 2, 3])));
        assert_ne!(of(&one), of(&Printed::new(vec![1, 2, 4])));
        assert_eq!(one.len(), 3);
    }
}
