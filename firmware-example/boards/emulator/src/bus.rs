//! The memory's bus: the chip's own I2C controller. Each part of a transfer begins with a start and ends with a stop; no
//! device on this bus minds a stop between a place and what is read there.

use crate::bare::Block;
use bevelbook_emulated::registers::Registers;
use embedded_hal::i2c::{ErrorKind, ErrorType, I2c, NoAcknowledgeSource, Operation};

const TARGET: u32 = 0x00;
const ACT: u32 = 0x04;
const DATA: u32 = 0x08;
const PERIOD: u32 = 0x0c;
const SETUP: u32 = 0x20;

const RUN: u32 = 1 << 0;
const START: u32 = 1 << 1;
const STOP: u32 = 1 << 2;
const ACKNOWLEDGE: u32 = 1 << 3;

const BUSY: u32 = 1 << 0;
/// An error, no acknowledgement of the address or of a byte, or the bus was lost.
const FAILED: u32 = 0b1_1110;

/// The bus.
#[derive(Debug)]
pub(crate) struct Bus(());

impl Bus {
    /// Makes it ready.
    pub(crate) fn start() -> Self {
        Block::I2c0.write(SETUP, 0x10);
        // 400 kHz is 2 × (1 + period) × 10 clocks; the emulator does not look at it.
        Block::I2c0.write(PERIOD, 1);
        Self(())
    }
}

#[inline(always)]
fn act(what: u32) -> Result<(), ErrorKind> {
    Block::I2c0.write(ACT, what);
    loop {
        let now = Block::I2c0.read(ACT);
        if now & BUSY == 0 {
            return match now & FAILED {
                0 => Ok(()),
                _ => Err(ErrorKind::NoAcknowledge(NoAcknowledgeSource::Unknown)),
            };
        }
    }
}

/// Sends bytes, the first with a start, the last with a stop.
fn send(address: u8, bytes: &[u8]) -> Result<(), ErrorKind> {
    Block::I2c0.write(TARGET, u32::from(address) << 1);
    let Some((last, others)) = bytes.split_last() else { return Ok(()) };
    let mut how = RUN | START;
    for byte in others {
        Block::I2c0.write(DATA, u32::from(*byte));
        act(how)?;
        how = RUN;
    }
    Block::I2c0.write(DATA, u32::from(*last));
    act(how | STOP)
}

/// Takes bytes, and acknowledges all but the last.
fn receive(address: u8, into: &mut [u8]) -> Result<(), ErrorKind> {
    Block::I2c0.write(TARGET, u32::from(address) << 1 | 1);
    let Some((last, others)) = into.split_last_mut() else { return Ok(()) };
    let mut how = RUN | START;
    for byte in others {
        act(how | ACKNOWLEDGE)?;
        how = RUN;
        *byte = Block::I2c0.read(DATA) as u8;
    }
    act(how | STOP)?;
    *last = Block::I2c0.read(DATA) as u8;
    Ok(())
}

impl ErrorType for Bus {
    type Error = ErrorKind;
}

impl I2c for Bus {
    fn transaction(&mut self, address: u8, operations: &mut [Operation<'_>]) -> Result<(), ErrorKind> {
        for operation in operations {
            match operation {
                Operation::Write(bytes) => send(address, bytes),
                Operation::Read(into) => receive(address, into),
            }
            .inspect_err(|_| Block::I2c0.write(ACT, STOP))?;
        }
        Ok(())
    }
}
