//! The answer to what cannot be done.

use crate::bytes::{Reader, Take, coded};
use core::fmt;
use postcard::experimental::max_size::MaxSize;
use serde::{Deserialize, Serialize};

/// States the number of each reason once, for both directions.
macro_rules! reasons {
    ($($(#[$doc:meta])* $code:literal => $name:ident, $text:literal;)+) => {
        /// Why a request was refused. One byte on the wire; a reader keeps a number it does not know.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
        #[cfg_attr(feature = "defmt", derive(defmt::Format))]
        #[serde(from = "u8", into = "u8")]
        pub enum Reason {
            $($(#[$doc])* $name,)+
            /// A reason that this version does not know.
            Other(u8),
        }

        impl From<u8> for Reason {
            fn from(code: u8) -> Self {
                match code {
                    $($code => Self::$name,)+
                    other => Self::Other(other),
                }
            }
        }

        impl From<Reason> for u8 {
            fn from(reason: Reason) -> Self {
                match reason {
                    $(Reason::$name => $code,)+
                    Reason::Other(other) => other,
                }
            }
        }

        impl fmt::Display for Reason {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                match self {
                    $(Self::$name => f.write_str($text),)+
                    Self::Other(other) => write!(f, "reason {other}, not known to this version"),
                }
            }
        }
    };
}

reasons! {
    /// No such message.
    1 => UnknownMessage, "the message is not known to the other end";
    /// The message does not have the shape of its kind.
    2 => Malformed, "the message does not have the shape of its kind";
    /// It belongs to no session, or to another one: say hello first.
    3 => NoSession, "the session is over";
    /// No protocol version in common.
    4 => Protocol, "the two ends have no protocol version in common";
    /// It is meant for another journal.
    5 => Journal, "it is meant for another journal";
    /// The number lies outside what the journal holds.
    6 => Range, "the number lies outside the journal";
    /// The part does not continue the card in hand.
    7 => CardOrder, "the part does not continue the card in hand";
    /// Every card slot is taken.
    8 => CardsFull, "every card slot of the keypad is taken";
    /// The keypad's memory did not take it.
    9 => Memory, "the keypad's memory did not take it";
    /// The card includes a record that was undone at the keypad behind what it includes: it is to be made anew with that.
    10 => Undone, "something that it includes was undone at the keypad since";
}

impl Take for Reason {
    fn blank() -> Self {
        Self::Other(0)
    }
    fn take_from(&mut self, from: &mut Reader<'_>) {
        *self = from.new_one::<u8>().into();
    }
}

impl MaxSize for Reason {
    const POSTCARD_MAX_SIZE: usize = 1;
}

coded! {
    /// A request was refused.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, MaxSize)]
    #[cfg_attr(feature = "defmt", derive(defmt::Format))]
    pub struct Nak {
        /// The kind of the refused message.
        pub of: u8,
        /// Why.
        pub reason: Reason,
        /// The lowest protocol version that the refusing end speaks.
        pub lowest: u8,
        /// The highest.
        pub highest: u8,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_number_is_kept() {
        for code in 0..=u8::MAX {
            assert_eq!(u8::from(Reason::from(code)), code);
        }
        assert_eq!(Reason::from(8), Reason::CardsFull);
        assert_eq!(Reason::from(200), Reason::Other(200));
    }
}
