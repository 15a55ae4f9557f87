//! The memory's bus, by software: two wires that are set and read (I2C-bus specification UM10204, 3.1). The emulator's chips
//! need no pauses, and hold no clock low.

use crate::bare::Block;
use bevelbook_emulated::registers::Registers;
use embedded_hal::i2c::{ErrorKind, ErrorType, I2c, NoAcknowledgeSource, Operation};

/// What is written here lets wires go high; what is read is how they stand.
const RELEASE: u32 = 0x00;
/// What is written here pulls wires low.
const PULL: u32 = 0x04;

const CLOCK: u32 = 1 << 0;
const DATA: u32 = 1 << 1;

/// The bus.
#[derive(Debug)]
pub(crate) struct Bus(());

fn set(wire: u32, high: bool) {
    Block::I2c.write(if high { RELEASE } else { PULL }, wire);
}

/// A clock with the data wire as it is to be; how it stands meanwhile.
fn clocked(data: bool) -> bool {
    set(DATA, data);
    set(CLOCK, true);
    let stands = Block::I2c.read(RELEASE) & DATA != 0;
    set(CLOCK, false);
    stands
}

/// Sends a byte; whether it was acknowledged.
fn send(byte: u8) -> bool {
    for bit in (0..8).rev() {
        clocked(byte >> bit & 1 == 1);
    }
    !clocked(true)
}

fn receive(acknowledge: bool) -> u8 {
    let byte = (0..8).fold(0, |byte, _| byte << 1 | u8::from(clocked(true)));
    clocked(!acknowledge);
    byte
}

impl Bus {
    /// Lets both wires go.
    pub(crate) fn start() -> Self {
        set(DATA, true);
        set(CLOCK, true);
        Self(())
    }

    /// A start, from a free bus or within a transfer, and the chip's address.
    fn address(address: u8, reads: bool) -> Result<(), ErrorKind> {
        for (wire, high) in [(DATA, true), (CLOCK, true), (DATA, false), (CLOCK, false)] {
            set(wire, high);
        }
        match send(address << 1 | u8::from(reads)) {
            true => Ok(()),
            false => Err(ErrorKind::NoAcknowledge(NoAcknowledgeSource::Address)),
        }
    }

    fn part(address: u8, operation: &mut Operation<'_>) -> Result<(), ErrorKind> {
        match operation {
            Operation::Write(bytes) => {
                Self::address(address, false)?;
                match bytes.iter().all(|byte| send(*byte)) {
                    true => Ok(()),
                    false => Err(ErrorKind::NoAcknowledge(NoAcknowledgeSource::Data)),
                }
            }
            Operation::Read(into) => {
                Self::address(address, true)?;
                let last = into.len().saturating_sub(1);
                into.iter_mut().enumerate().for_each(|(n, byte)| *byte = receive(n < last));
                Ok(())
            }
        }
    }

    fn stop() {
        for (wire, high) in [(DATA, false), (CLOCK, true), (DATA, true)] {
            set(wire, high);
        }
    }
}

impl ErrorType for Bus {
    type Error = ErrorKind;
}

impl I2c for Bus {
    fn transaction(&mut self, address: u8, operations: &mut [Operation<'_>]) -> Result<(), ErrorKind> {
        let done = operations.iter_mut().try_for_each(|operation| Self::part(address, operation));
        Self::stop();
        done
    }
}
