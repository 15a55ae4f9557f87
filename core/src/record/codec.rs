//! The bytes of a bench record: a kind code, and the fields of that kind in postcard's encoding.
//!
//! Codes below [`FIRST_DESK_KIND`] belong to the bench and are never given a second meaning; the console numbers
//! its own kinds from there. A reader keeps a kind it does not know as it came.

use super::Bench;
use postcard::experimental::max_size::MaxSize;
use serde::{Deserialize, Serialize};

/// The first code that is not a bench kind.
pub const FIRST_DESK_KIND: u8 = 0x80;

/// No bench record takes more bytes than this; it is what a 64-byte memory slot leaves beside its header.
pub const MAX_ENCODED: usize = 48;

/// Stored bytes that are no bench record.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum DecodeError {
    /// This version knows no such kind.
    #[error("record kind {0} is not known to this version")]
    UnknownKind(u8),
    /// The fields do not have the shape of their kind.
    #[error("the fields of a record of kind {0} are damaged")]
    Malformed(u8),
}

/// States the code of each kind once, for both directions.
macro_rules! bench_kinds {
    ($($code:literal => $name:ident),+ $(,)?) => {
        impl Bench {
            /// The code of its kind.
            pub const fn kind(&self) -> u8 {
                match self {
                    $(Self::$name(_) => $code),+
                }
            }

            /// Its fields as bytes, without the kind.
            ///
            /// # Errors
            /// `buffer` is shorter than the fields; [`MAX_ENCODED`] bytes always suffice.
            pub fn encode<'b>(&self, buffer: &'b mut [u8]) -> Result<&'b [u8], postcard::Error> {
                match self {
                    $(Self::$name(fields) => to_slice(fields, buffer)),+
                }
            }

            /// Reads the fields of a record of `kind`.
            ///
            /// # Errors
            /// The kind is unknown, or the bytes do not have its shape or hold a value out of range.
            pub fn decode(kind: u8, bytes: &[u8]) -> Result<Self, DecodeError> {
                match kind {
                    $($code => from_bytes(kind, bytes).map(Self::$name),)+
                    _ => Err(DecodeError::UnknownKind(kind)),
                }
            }
        }

        // No kind outgrows its slot: checked when compiling.
        const _: () = {
            $(assert!(largest(Bench::$name) <= MAX_ENCODED);)+
        };
    };
}

bench_kinds! {
    1 => Mark,
    2 => Pass,
    3 => Reading,
    4 => CentreDistance,
    5 => Girth,
    6 => Check,
    7 => Void,
    8 => Station,
    9 => NewLens,
    10 => Opened,
}

const fn largest<T: MaxSize>(_: fn(T) -> Bench) -> usize {
    T::POSTCARD_MAX_SIZE
}

fn to_slice<'b, T: Serialize>(fields: &T, buffer: &'b mut [u8]) -> Result<&'b [u8], postcard::Error> {
    postcard::to_slice(fields, buffer).map(|used| &*used)
}

fn from_bytes<'b, T: Deserialize<'b>>(kind: u8, bytes: &'b [u8]) -> Result<T, DecodeError> {
    postcard::from_bytes(bytes).map_err(|_| DecodeError::Malformed(kind))
}

#[cfg(test)]
mod tests {
    use super::super::test_facts::every_kind;
    use super::*;

    #[test]
    fn every_kind_survives_its_bytes() {
        for fact in every_kind() {
            let mut buffer = [0; MAX_ENCODED];
            let bytes = fact.encode(&mut buffer).unwrap();
            assert_eq!(Bench::decode(fact.kind(), bytes), Ok(fact));
        }
    }

    #[test]
    fn cut_short_bytes_and_unknown_kinds_are_refused() {
        for fact in every_kind() {
            let mut buffer = [0; MAX_ENCODED];
            let bytes = fact.encode(&mut buffer).unwrap();
            let short = &bytes[..bytes.len() - 1];
            assert_eq!(Bench::decode(fact.kind(), short), Err(DecodeError::Malformed(fact.kind())));
            assert_eq!(Bench::decode(0x7f, bytes), Err(DecodeError::UnknownKind(0x7f)));
        }
    }

    #[test]
    fn an_impossible_value_is_refused_when_it_is_read() {
        // An axis of zero, where only 1 to 180,000 thousandths are possible.
        let fact = every_kind()[0];
        let mut buffer = [0; MAX_ENCODED];
        let used = fact.encode(&mut buffer).unwrap().len();
        let axis_at = postcard::experimental::serialized_size(&fact.lens()).unwrap() - 1;
        let axis_len = postcard::experimental::serialized_size(&crate::units::Axis::VERTICAL).unwrap();
        let mut forged = std::vec::Vec::from(&buffer[..axis_at]);
        forged.push(0);
        forged.extend(&buffer[axis_at + axis_len..used]);
        assert_eq!(Bench::decode(fact.kind(), &forged), Err(DecodeError::Malformed(1)));
    }
}
