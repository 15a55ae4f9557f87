//! The messages and their codes, protocol version 1. Not frozen yet.
//!
//! - Bit 6 of a code ([`FROM_KEYPAD`]) is its direction: an end never answers its own messages, which an echoing line
//!   brings back. An answer has its request's code with that bit set.
//! - Bit 7 ([`IGNORABLE`]) says what to do with a code that is not known: pass over it, or answer with a NAK.
//! - Fields are only ever added at the end of a message: a reader passes over what it does not expect there.

use super::frame::{Frame, MAX_PAYLOAD, MAX_WIRE};
use super::payload::{
    Ack, Acked, Batch, CardDrop, CardDropped, CardList, CardPart, CardStored, CardsHeld, Hello, HelloAck,
    HostNak, Pull, StationStored, Status, Time, TimeAck,
};
use super::{Nak, Reason, Station};
use crate::bytes::{Reader, Take, put};
use postcard::experimental::max_size::MaxSize;
use serde::Deserialize;

/// The lowest and the highest protocol version that this code speaks.
pub const PROTOCOLS: [u8; 2] = [1, 1];
/// Set in the code of what the keypad sends.
pub const FROM_KEYPAD: u8 = 0x40;
/// Set in the code of what may be passed over by a reader that does not know it.
pub const IGNORABLE: u8 = 0x80;

/// States the code of each message once, for both directions.
macro_rules! messages {
    (host { $($host_code:literal => $host:ident),+ $(,)? } keypad { $($keypad_code:literal => $keypad:ident),+ $(,)? }) => {
        /// Any message.
        #[derive(Clone, Debug, PartialEq, Eq)]
        #[allow(missing_docs, reason = "each is described at its type")]
        pub enum Message {
            $($host($host),)+
            $($keypad($keypad)),+
        }

        impl Message {
            /// Its code.
            pub const fn kind(&self) -> u8 {
                match self {
                    $(Self::$host(_) => $host_code,)+
                    $(Self::$keypad(_) => $keypad_code),+
                }
            }

            /// Reads the payload of a frame of `kind`.
            ///
            /// # Errors
            /// The reason to answer with: the kind is unknown, or the payload does not have its shape.
            pub fn decode(kind: u8, payload: &[u8]) -> Result<Self, Reason> {
                match kind & FROM_KEYPAD {
                    FROM_KEYPAD => Self::of_keypad(kind, payload),
                    _ => {
                        let mut message = Self::blank();
                        message.read(kind, payload).map(|()| message)
                    }
                }
            }

            /// As [`Message::decode`], of what hosts say, and into its place: keypads read it. After an error nothing in it
            /// holds.
            pub(super) fn read(&mut self, kind: u8, payload: &[u8]) -> Result<(), Reason> {
                let mut from = Reader::new(payload);
                *self = match kind {
                    $($host_code => Self::$host(Take::blank()),)+
                    _ => return Err(Reason::UnknownMessage),
                };
                match self {
                    $(Self::$host(fields) => fields.take_from(&mut from),)+
                    $(Self::$keypad(_) => {})+
                }
                if from.is_good() { Ok(()) } else { Err(Reason::Malformed) }
            }

            /// As [`Message::decode`], of what keypads say. A keypad has no room for reading that.
            fn of_keypad(kind: u8, payload: &[u8]) -> Result<Self, Reason> {
                match kind {
                    $($keypad_code => from_bytes(payload).map(Self::$keypad),)+
                    _ => Err(Reason::UnknownMessage),
                }
            }

            fn payload<'b>(&self, buffer: &'b mut [u8]) -> Result<&'b [u8], postcard::Error> {
                match self {
                    $(Self::$host(fields) => put(fields, buffer),)+
                    _ => self.payload_of_keypad(buffer),
                }
            }

            /// Of what hosts say nothing.
            fn payload_of_keypad<'b>(&self, buffer: &'b mut [u8]) -> Result<&'b [u8], postcard::Error> {
                match self {
                    $(Self::$keypad(fields) => put(fields, buffer),)+
                    _ => Ok(&[]),
                }
            }

            /// The code and the longest payload of each message, in bytes.
            pub const LONGEST: &'static [(u8, usize)] = &[
                $(($host_code, $host::POSTCARD_MAX_SIZE),)+
                $(($keypad_code, $keypad::POSTCARD_MAX_SIZE)),+
            ];
        }

        // Every message fits a frame and is told by its code from those of the other end: checked when compiling.
        const _: () = {
            $(assert!($host::POSTCARD_MAX_SIZE <= MAX_PAYLOAD && $host_code & FROM_KEYPAD == 0);)+
            $(assert!($keypad::POSTCARD_MAX_SIZE <= MAX_PAYLOAD && $keypad_code & FROM_KEYPAD != 0);)+
        };
    };
}

messages! {
    host {
        0x01 => Hello,
        0x02 => Pull,
        0x03 => Ack,
        0x04 => Time,
        0x05 => CardPart,
        0x06 => CardDrop,
        0x07 => CardList,
        0x08 => Station,
        0x3f => HostNak,
    }
    keypad {
        0x41 => HelloAck,
        0x42 => Batch,
        0x43 => Acked,
        0x44 => TimeAck,
        0x45 => CardStored,
        0x46 => CardDropped,
        0x47 => CardsHeld,
        0x48 => StationStored,
        0xc1 => Status,
        0x7f => Nak,
    }
}

impl Message {
    /// What stands in its place before it is read.
    pub(super) fn blank() -> Self {
        Self::HostNak(Take::blank())
    }

    /// The bytes of its frame on the wire, in `buffer`. Every message fits; nothing comes back only if that were
    /// not so.
    pub fn to_wire<'w>(&self, session: u16, tag: u8, buffer: &'w mut [u8; MAX_WIRE]) -> &'w [u8] {
        let mut space = [0; MAX_PAYLOAD];
        self.framed(self.payload(&mut space).ok(), session, tag, buffer)
    }

    /// As [`Message::to_wire`], of what keypads say. A keypad has no room for writing the rest.
    pub(super) fn answer_to_wire<'w>(
        &self,
        session: u16,
        tag: u8,
        buffer: &'w mut [u8; MAX_WIRE],
    ) -> &'w [u8] {
        let mut space = [0; MAX_PAYLOAD];
        self.framed(self.payload_of_keypad(&mut space).ok(), session, tag, buffer)
    }

    fn framed<'w>(
        &self,
        payload: Option<&[u8]>,
        session: u16,
        tag: u8,
        buffer: &'w mut [u8; MAX_WIRE],
    ) -> &'w [u8] {
        let Some(payload) = payload else { return &[] };
        Frame { kind: self.kind(), tag, session, payload }.encode(buffer).unwrap_or_default()
    }
}

fn from_bytes<'b, T: Deserialize<'b>>(payload: &'b [u8]) -> Result<T, Reason> {
    postcard::from_bytes(payload).map_err(|_| Reason::Malformed)
}
