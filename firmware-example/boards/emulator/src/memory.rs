//! The memory: an EEPROM of 32 KiB on the I2C bus, in pages.

use crate::bare::Block;
use crate::meter;
use crate::pins::MEMORY_ADDRESS;
use bevelbook_keypad::device::PAGES;
use bevelbook_keypad::memory::{PAGE, Page, Pages};

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

/// How often a chip that writes is asked whether it has done; at 400 kHz, 10 ms and more.
const PATIENCE: u16 = 500;

/// The chip did not answer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct NoAnswer;

/// The chip.
#[derive(Debug)]
pub(crate) struct Eeprom(());

impl Eeprom {
    /// Makes the bus ready.
    pub(crate) fn start() -> Self {
        Block::I2c0.write(SETUP, 0x10);
        // 400 kHz is 2 × (1 + period) × 10 clocks; the emulator does not look at it.
        Block::I2c0.write(PERIOD, 1);
        Self(())
    }

    fn address(page: u16) -> Result<[u8; 2], NoAnswer> {
        if page < PAGES { Ok((page * PAGE as u16).to_be_bytes()) } else { Err(NoAnswer) }
    }
}

#[inline(always)]
fn act(what: u32) -> Result<(), NoAnswer> {
    Block::I2c0.write(ACT, what);
    loop {
        let now = Block::I2c0.read(ACT);
        if now & BUSY == 0 {
            return if now & FAILED == 0 { Ok(()) } else { Err(NoAnswer) };
        }
    }
}

/// Sends bytes, the first with a start, the last with a stop.
fn send<'b>(bytes: impl ExactSizeIterator<Item = &'b u8>) -> Result<(), NoAnswer> {
    Block::I2c0.write(TARGET, u32::from(MEMORY_ADDRESS) << 1);
    let last = bytes.len().saturating_sub(1);
    for (n, byte) in bytes.enumerate() {
        Block::I2c0.write(DATA, u32::from(*byte));
        let start = if n == 0 { START } else { 0 };
        let stop = if n == last { STOP } else { 0 };
        act(RUN | start | stop).inspect_err(|_| Block::I2c0.write(ACT, STOP))?;
    }
    Ok(())
}

/// Sends bytes to a chip that may be writing still: it answers nothing until it has done.
fn send_patiently(bytes: &[u8]) -> Result<(), NoAnswer> {
    let mut tries = 0;
    while let Err(error) = send(bytes.iter()) {
        tries += 1;
        if tries == PATIENCE {
            defmt::error!("memory: no answer");
            return Err(error);
        }
    }
    Ok(())
}

impl Pages for Eeprom {
    type Error = NoAnswer;

    fn count(&self) -> u16 {
        PAGES
    }

    fn read(&mut self, page: u16, into: &mut Page) -> Result<(), NoAnswer> {
        meter::page_read();
        send_patiently(&Self::address(page)?)?;
        Block::I2c0.write(TARGET, u32::from(MEMORY_ADDRESS) << 1 | 1);
        let (last, others) = into.split_last_mut().ok_or(NoAnswer)?;
        let mut how = RUN | START | ACKNOWLEDGE;
        for byte in others {
            act(how)?;
            how = RUN | ACKNOWLEDGE;
            *byte = Block::I2c0.read(DATA) as u8;
        }
        act(RUN | STOP)?;
        *last = Block::I2c0.read(DATA) as u8;
        Ok(())
    }

    fn write(&mut self, page: u16, from: &Page) -> Result<(), NoAnswer> {
        meter::page_written();
        let [high, low] = Self::address(page)?;
        let mut bytes = [0; 2 + PAGE];
        for (place, byte) in bytes.iter_mut().zip([high, low].iter().chain(from)) {
            *place = *byte;
        }
        send_patiently(&bytes)?;
        // It has ended when the chip answers again.
        send_patiently(&[high, low])
    }
}
