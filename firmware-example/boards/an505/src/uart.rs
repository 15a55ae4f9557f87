//! The serial lines: that of the console, whose bytes an interrupt takes, that of the log, and the one on which keys are
//! pressed, since the emulated board has none: each byte says which contacts are closed, one bit a key in the order of the
//! library's keys.

use crate::bare::{self, Block};
use bevelbook_emulated::console::{self, Console};
use bevelbook_emulated::registers::Registers;
use core::sync::atomic::{AtomicU8, Ordering};

const DATA: u32 = 0x00;
const STATE: u32 = 0x04;
const CONTROL: u32 = 0x08;
const CLEAR: u32 = 0x0c;
const DIVIDER: u32 = 0x10;

const TRANSMIT_FULL: u32 = 1 << 0;
const RECEIVE_FULL: u32 = 1 << 1;
/// The line sends and receives, and interrupts when it has received.
const ON: u32 = 0b1011;
const RECEIVED: u32 = 1 << 1;

/// 115200 baud at 20 MHz, which the emulator does not look at.
const BAUD: u32 = 174;

/// The contacts that are closed.
static CLOSED: AtomicU8 = AtomicU8::new(0);

/// Makes the lines ready.
pub(crate) fn start() {
    for line in [Block::Uart0, Block::Uart1, Block::Uart2] {
        line.write(DIVIDER, BAUD);
        line.write(CONTROL, ON);
    }
}

/// The console's line, ready.
pub(crate) fn start_console() -> Console {
    bare::enable();
    Console::new(send)
}

fn send_on(line: Block, byte: u8) {
    while line.read(STATE) & TRANSMIT_FULL != 0 {}
    line.write(DATA, byte.into());
}

/// Sends a byte to the console.
fn send(byte: u8) {
    send_on(Block::Uart0, byte);
}

/// Sends a byte of the log.
pub(crate) fn log(byte: u8) {
    send_on(Block::Uart1, byte);
}

fn take(line: Block) -> Option<u8> {
    (line.read(STATE) & RECEIVE_FULL != 0).then(|| line.read(DATA) as u8)
}

/// The interrupt of what UART0 receives.
pub(crate) fn receive() {
    // Cleared first: a byte that comes while the line is emptied interrupts again.
    Block::Uart0.write(CLEAR, RECEIVED);
    console::came(core::iter::from_fn(|| take(Block::Uart0)));
}

/// Which contacts are closed.
pub(crate) fn closed() -> u8 {
    if let Some(closed) = take(Block::Uart2) {
        CLOSED.store(closed, Ordering::Relaxed);
    }
    CLOSED.load(Ordering::Relaxed)
}
