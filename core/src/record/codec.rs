//! The bytes of a bench record: a kind code, and the fields of that kind in postcard's encoding.
//!
//! Codes below [`FIRST_DESK_KIND`] belong to the bench and are never given a second meaning; the console numbers
//! its own kinds from there. A reader keeps a kind it does not know as it came.
//!
//! What says how it was entered ([`Entered`](super::Entered)), or what stood there advised, has that first, and a code of its own;
//! under the code of before it is not there, and nothing is told.

use super::Bench;
use crate::bytes::{Reader, Take, put};
use postcard::experimental::max_size::MaxSize;

/// The first code that is not a bench kind.
pub const FIRST_DESK_KIND: u8 = 0x80;

/// No bench record takes more bytes than this; it is what a 64-byte memory slot leaves beside its header.
pub const MAX_ENCODED: usize = 48;

/// What sets the code of a kind that says what stood there apart from the one before.
const SAYS_HOW: u8 = 0x40;

/// The byte of [`Entered::UNTOLD`](super::Entered::UNTOLD), and of nothing advised.
const UNTOLD: u8 = 0;

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

/// States the code of each kind once, for both directions, and the one under which it was written before it said what stood
/// there.
macro_rules! bench_kinds {
    ($($code:literal $(| $before:literal)? => $name:ident),+ $(,)?) => {
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
                    $(Self::$name(fields) => put(fields, buffer)),+
                }
            }

            /// Reads the fields of a record of `kind`.
            ///
            /// # Errors
            /// The kind is unknown, or the bytes do not have its shape or hold a value out of range.
            pub fn decode(kind: u8, bytes: &[u8]) -> Result<Self, DecodeError> {
                // Without what stood there nothing is told of it. No record is longer than its slot.
                let mut whole = [UNTOLD; 1 + MAX_ENCODED];
                let bytes = if [$($($before,)?)+].contains(&kind) {
                    let used = bytes.len().min(MAX_ENCODED);
                    whole[1..=used].copy_from_slice(&bytes[..used]);
                    &whole[..=used]
                } else {
                    bytes
                };
                let mut from = Reader::new(bytes);
                let mut fact = match kind {
                    $($code $(| $before)? => Self::$name(Take::blank()),)+
                    _ => return Err(DecodeError::UnknownKind(kind)),
                };
                match &mut fact {
                    $(Self::$name(fields) => fields.take_from(&mut from)),+
                }
                if from.is_good() { Ok(fact) } else { Err(DecodeError::Malformed(kind)) }
            }
        }

        // No kind outgrows its slot: checked when compiling.
        const _: () = {
            $(assert!(largest(Bench::$name) <= MAX_ENCODED);)+
            $($(assert!($code == $before | SAYS_HOW);)?)+
        };
    };
}

bench_kinds! {
    0x41 | 1 => Mark,
    0x42 | 2 => Pass,
    0x43 | 3 => Reading,
    0x44 | 4 => CentreDistance,
    5 => Girth,
    0x46 | 6 => Check,
    7 => Void,
    8 => Station,
    9 => NewLens,
    10 => Opened,
    11 => Spoiled,
    12 => Clock,
}

const fn largest<T: MaxSize>(_: fn(T) -> Bench) -> usize {
    T::POSTCARD_MAX_SIZE
}

#[cfg(test)]
mod tests {
    use super::super::{Entered, Pass, test_facts::every_kind};
    use super::*;
    use crate::frozen::{self, hex};
    use crate::units::Length;
    use std::format;
    use std::vec::Vec;

    #[test]
    fn every_kind_survives_its_bytes() {
        for fact in every_kind() {
            let mut buffer = [0; MAX_ENCODED];
            let bytes = fact.encode(&mut buffer).unwrap();
            assert_eq!(Bench::decode(fact.kind(), bytes), Ok(fact));
        }
    }

    /// A line for each kind; those that are read without what stood there follow, by the code of before.
    #[test]
    fn every_kind_has_the_bytes_of_version_1() {
        let mut made = Vec::new();
        for fact in every_kind() {
            let mut buffer = [0; MAX_ENCODED];
            made.push(format!("{:02x} {}", fact.kind(), hex(fact.encode(&mut buffer).unwrap())));
        }
        let written = made.len();
        for line in made.clone() {
            let (kind, data) = line.split_once(' ').unwrap();
            let kind = u8::from_str_radix(kind, 16).unwrap();
            if kind & SAYS_HOW != 0 {
                made.push(format!("{:02x} {}", kind & !SAYS_HOW, &data[2..]));
            }
        }
        frozen::holds("records", &made);
        for line in frozen::section("records").iter().skip(written) {
            let (kind, data) = line.split_once(' ').unwrap();
            assert!(Bench::decode(u8::from_str_radix(kind, 16).unwrap(), &frozen::bytes(data)).is_ok());
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
    fn a_record_of_before_is_read_and_tells_nothing_of_how_it_was_entered() {
        for fact in every_kind().into_iter().filter(|fact| fact.kind() & SAYS_HOW != 0) {
            let mut buffer = [0; MAX_ENCODED];
            let bytes = fact.encode(&mut buffer).unwrap();
            let read = Bench::decode(fact.kind() & !SAYS_HOW, &bytes[1..]).unwrap();
            assert_eq!((read.entered(), read.asked()), (Entered::UNTOLD, fact.asked()));
            // It differs in nothing else, and is written anew with the byte that says so.
            let mut again = [0; MAX_ENCODED];
            let again = read.encode(&mut again).unwrap();
            assert_eq!((again[0], &again[1..]), (UNTOLD, &bytes[1..]));
            let short = &bytes[1..bytes.len() - 1];
            assert!(Bench::decode(fact.kind() & !SAYS_HOW, short).is_err());
        }
    }

    #[test]
    fn what_was_advised_stands_first_beside_a_pass_and_is_none_in_those_of_before() {
        let Bench::Pass(pass) = every_kind()[1] else { panic!() };
        let advised = Some(Length::from_milli(200));
        let mut buffer = [0; MAX_ENCODED];
        let bytes = Bench::Pass(Pass { advised, ..pass }).encode(&mut buffer).unwrap();
        assert_eq!(Bench::decode(2, &bytes[3..]), Ok(Bench::Pass(pass)));
        assert_eq!(Bench::decode(0x42, bytes), Ok(Bench::Pass(Pass { advised, ..pass })));
        assert_eq!((pass.refused(), pass.dialled.amount.milli()), (None, 350));
        let told = |milli| Pass { advised: Some(Length::from_milli(milli)), ..pass };
        assert_eq!(told(350).refused(), None);
        assert_eq!(told(200).refused().map(|advised| advised.amount.milli()), Some(200));
    }

    #[test]
    fn an_impossible_value_is_refused_when_it_is_read() {
        // An axis of zero, where only 1 to 180,000 thousandths are possible.
        let fact = every_kind()[0];
        let mut buffer = [0; MAX_ENCODED];
        let used = fact.encode(&mut buffer).unwrap().len();
        let axis_at = postcard::experimental::serialized_size(&fact.lens()).unwrap();
        let axis_len = postcard::experimental::serialized_size(&crate::units::Axis::VERTICAL).unwrap();
        let mut forged = std::vec::Vec::from(&buffer[..axis_at]);
        forged.push(0);
        forged.extend(&buffer[axis_at + axis_len..used]);
        assert_eq!(Bench::decode(fact.kind(), &forged), Err(DecodeError::Malformed(fact.kind())));
    }
}
