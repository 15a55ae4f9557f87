//! The console's line: what comes is put into a queue by an interrupt; what goes is sent byte by byte.

use core::cell::RefCell;
use core::convert::Infallible;
use critical_section::Mutex;
use embedded_io::{ErrorType, Read, ReadReady, Write, WriteReady};
use heapless::Deque;

/// What came and was not read yet. The console has one request of at most 240 bytes open; a repeated one may be
/// behind it while a card is written to the memory.
static CAME_IN: Mutex<RefCell<Deque<u8, 512>>> = Mutex::new(RefCell::new(Deque::new()));

/// Takes what came, until there is no more; called by the line's interrupt.
pub fn came(bytes: impl IntoIterator<Item = u8>) {
    critical_section::with(|section| {
        let mut came = CAME_IN.borrow_ref_mut(section);
        for byte in bytes {
            // A full queue loses bytes; the frame then fails its checksum and is asked for again.
            let _ = came.push_back(byte);
        }
    });
}

/// The console's line.
#[derive(Debug)]
pub struct Console {
    send: fn(u8),
    /// Whether anything was sent since this was last asked.
    sent: bool,
}

impl Console {
    /// A line that is ready, with what sends a byte on it.
    #[must_use]
    pub const fn new(send: fn(u8)) -> Self {
        Self { send, sent: false }
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
            (self.send)(*byte);
        }
        self.sent |= !bytes.is_empty();
        Ok(bytes.len())
    }

    fn flush(&mut self) -> Result<(), Infallible> {
        Ok(())
    }
}
