//! The serial lines: that of the console, whose bytes an interrupt takes, and that of the log.

use crate::bare::{self, Block};
use bevelbook_emulated::console::{self, Console};
use bevelbook_emulated::registers::Registers;

const DATA: u32 = 0x00;
const FLAGS: u32 = 0x18;
const BAUD_WHOLE: u32 = 0x24;
const BAUD_64TH: u32 = 0x28;
const LINE: u32 = 0x2c;
const CONTROL: u32 = 0x30;
const INTERRUPTS: u32 = 0x38;
const CLEAR: u32 = 0x44;

const RECEIVE_EMPTY: u32 = 1 << 4;
const TRANSMIT_FULL: u32 = 1 << 5;

/// 8 data bits, no parity, 1 stop bit, with queues.
const EIGHT_BITS: u32 = 0x70;
/// The line, its sender and its receiver are on.
const ON: u32 = 0x301;
/// Bytes came, or came and then paused.
const CAME: u32 = 0x50;

/// Makes a line ready: 115200 baud at the processor's clock after reset, which the emulator does not look at.
fn open(line: Block, interrupts: bool) {
    line.write(CONTROL, 0);
    line.write(BAUD_WHOLE, 27);
    line.write(BAUD_64TH, 8);
    line.write(LINE, EIGHT_BITS);
    line.write(CONTROL, ON);
    line.write(INTERRUPTS, if interrupts { CAME } else { 0 });
}

/// Sends a byte, waiting until there is room.
fn send_on(line: Block, byte: u8) {
    while line.read(FLAGS) & TRANSMIT_FULL != 0 {}
    line.write(DATA, byte.into());
}

/// Makes the log's line ready.
pub(crate) fn start_log() {
    open(Block::Uart1, false);
}

/// The console's line, ready.
pub(crate) fn start_console() -> Console {
    open(Block::Uart0, true);
    bare::enable();
    Console::new(send)
}

/// Sends a byte to the console.
fn send(byte: u8) {
    send_on(Block::Uart0, byte);
}

/// Sends a byte of the log.
pub(crate) fn log(byte: u8) {
    send_on(Block::Uart1, byte);
}

/// The interrupt of UART0.
pub(crate) fn receive() {
    let line = Block::Uart0;
    // Cleared first: a byte that comes while the line is emptied interrupts again.
    line.write(CLEAR, CAME);
    console::came(core::iter::from_fn(|| {
        (line.read(FLAGS) & RECEIVE_EMPTY == 0).then(|| line.read(DATA) as u8)
    }));
}
