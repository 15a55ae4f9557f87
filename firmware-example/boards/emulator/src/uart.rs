//! The serial lines: that of the console, whose bytes an interrupt puts into a queue, and that of the log.

use crate::bare::{self, Block};
use core::cell::RefCell;
use core::convert::Infallible;
use critical_section::Mutex;
use embedded_io::{ErrorType, Read, ReadReady, Write, WriteReady};
use heapless::Deque;

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

/// What came and was not read yet. The console has one request of at most 240 bytes open; a repeated one may be
/// behind it while a card is written to the memory.
static CAME_IN: Mutex<RefCell<Deque<u8, 512>>> = Mutex::new(RefCell::new(Deque::new()));

/// Makes a line ready: 115200 baud at the processor's clock after reset, which the emulator does not look at.
pub(crate) fn start(line: Block, interrupts: bool) {
    line.write(CONTROL, 0);
    line.write(BAUD_WHOLE, 27);
    line.write(BAUD_64TH, 8);
    line.write(LINE, EIGHT_BITS);
    line.write(CONTROL, ON);
    line.write(INTERRUPTS, if interrupts { CAME } else { 0 });
}

/// Sends a byte, waiting until there is room.
pub(crate) fn send(line: Block, byte: u8) {
    while line.read(FLAGS) & TRANSMIT_FULL != 0 {}
    line.write(DATA, byte.into());
}

/// The interrupt of UART0.
pub(crate) fn receive() {
    let line = Block::Uart0;
    // Cleared first: a byte that comes while the line is emptied interrupts again.
    line.write(CLEAR, CAME);
    critical_section::with(|section| {
        let mut came = CAME_IN.borrow_ref_mut(section);
        while line.read(FLAGS) & RECEIVE_EMPTY == 0 {
            // A full queue loses bytes; the frame then fails its checksum and is asked for again.
            let _ = came.push_back(line.read(DATA) as u8);
        }
    });
}

/// The console's line.
pub(crate) struct Console {
    /// Whether anything was sent since this was last asked.
    sent: bool,
}

impl Console {
    /// Makes the line ready.
    pub(crate) fn start() -> Self {
        start(Block::Uart0, true);
        bare::enable();
        Self { sent: false }
    }

    /// Whether anything was sent since the last call.
    pub(crate) fn take_sent(&mut self) -> bool {
        core::mem::take(&mut self.sent)
    }

    /// Whether bytes wait to be read.
    pub(crate) fn waits(&self) -> bool {
        critical_section::with(|section| !CAME_IN.borrow_ref(section).is_empty())
    }
}

impl ErrorType for Console {
    type Error = Infallible;
}

impl ReadReady for Console {
    fn read_ready(&mut self) -> Result<bool, Infallible> {
        Ok(self.waits())
    }
}

impl Read for Console {
    fn read(&mut self, buffer: &mut [u8]) -> Result<usize, Infallible> {
        loop {
            let many = critical_section::with(|section| {
                let mut came = CAME_IN.borrow_ref_mut(section);
                let many = came.len().min(buffer.len());
                for place in buffer.iter_mut().take(many) {
                    *place = came.pop_front().unwrap_or_default();
                }
                many
            });
            if many > 0 || buffer.is_empty() {
                return Ok(many);
            }
        }
    }
}

impl WriteReady for Console {
    /// The line takes every byte, in its own time, whether anybody is there or not.
    fn write_ready(&mut self) -> Result<bool, Infallible> {
        Ok(true)
    }
}

impl Write for Console {
    fn write(&mut self, bytes: &[u8]) -> Result<usize, Infallible> {
        for byte in bytes {
            send(Block::Uart0, *byte);
        }
        self.sent |= !bytes.is_empty();
        Ok(bytes.len())
    }

    fn flush(&mut self) -> Result<(), Infallible> {
        Ok(())
    }
}
