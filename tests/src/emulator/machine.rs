//! The boards that are emulated, and what is different about them from outside.

use super::keys::qcode;
use super::{HEIGHT, Key, Picture, Qmp, QmpError, WIDTH};
use serde_json::{Value, json};
use std::fs;
use std::io::{self, Write};
use std::os::unix::net::UnixStream;
use std::path::Path;

/// The socket of the line on which keys are pressed.
const KEYS: &str = "keys";

/// A board.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Machine {
    /// `lm3s6965evb`: a Cortex-M3 with a display and contacts.
    Lm3s6965,
    /// `mps2-an505`: a Cortex-M33 that has neither: its keys are pressed on a line, its picture lies in its RAM.
    An505,
}

impl Machine {
    /// The board that an image is for: each has its code elsewhere. The first where it cannot be told; QEMU then says why.
    #[must_use]
    pub fn of(image: &Path) -> Self {
        let bytes = fs::read(image).unwrap_or_default();
        let entry = object::File::parse(&*bytes).map(|file| object::Object::entry(&file));
        if entry.is_ok_and(|entry| entry >= 0x1000_0000) { Self::An505 } else { Self::Lm3s6965 }
    }

    /// What QEMU is told of it, beside what all boards have.
    pub(super) fn arguments(self, chip: u64, folder: &Path) -> [String; 4] {
        match self {
            Self::Lm3s6965 => {
                // A card of this maker's range carries the chip's number; it is on no network.
                let address = [&[0x52], &chip.to_be_bytes()[3..]].concat();
                let address: Vec<String> = address.iter().map(|byte| format!("{byte:02x}")).collect();
                let card = format!("nic,macaddr={}", address.join(":"));
                ["-M", "lm3s6965evb", "-net", &card].map(str::to_owned)
            }
            Self::An505 => {
                let keys = format!("unix:{},server=on,wait=off", folder.join(KEYS).display());
                ["-M", "mps2-an505", "-serial", &keys].map(str::to_owned)
            }
        }
    }
}

/// The contacts of a keypad that runs.
#[derive(Debug)]
pub(super) enum Contacts {
    /// QEMU's keyboard moves them.
    Keyboard,
    /// Bytes on a line say which are closed.
    Line(UnixStream, u8),
}

impl Contacts {
    pub(super) fn of(machine: Machine, folder: &Path) -> io::Result<Self> {
        Ok(match machine {
            Machine::Lm3s6965 => Self::Keyboard,
            Machine::An505 => Self::Line(UnixStream::connect(folder.join(KEYS))?, 0),
        })
    }

    /// Closes or opens those of `keys`.
    pub(super) fn set(&mut self, qmp: &mut Qmp, keys: &[Key], closed: bool) -> Result<(), QmpError> {
        match self {
            Self::Keyboard => {
                let events: Vec<Value> = keys.iter().map(|key| event(*key, closed)).collect();
                qmp.tell("input-send-event", &json!({ "events": events })).map(drop)
            }
            Self::Line(line, levels) => {
                for (bit, _) in (0..).zip(Key::ALL).filter(|(_, key)| keys.contains(key)) {
                    *levels = if closed { *levels | 1 << bit } else { *levels & !(1 << bit) };
                }
                Ok(line.write_all(&[*levels])?)
            }
        }
    }
}

fn event(key: Key, down: bool) -> Value {
    let key = json!({ "type": "qcode", "data": qcode(key) });
    json!({ "type": "key", "data": { "down": down, "key": key } })
}

/// The bytes of a picture in RAM: two pixels a byte, the left one high.
pub(super) const PICTURE_BYTES: usize = WIDTH * HEIGHT / 2;

/// The picture of these bytes.
pub(super) fn picture_of(bytes: &[u8]) -> Picture {
    Picture::of_pixels(
        bytes.iter().flat_map(|byte| [byte >> 4, byte & 15]).map(|shade| shade * 0x11).collect(),
    )
}
