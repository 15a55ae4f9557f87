//! A byte stream that frames are moved over, whatever it is made of.

use bevelbook_core::link::PumpError;
use embedded_io::{ErrorType, Read, ReadReady, Write, WriteReady};
use std::collections::VecDeque;
use std::io;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::time::Duration;

/// A byte stream as core's pump takes it, that can also be waited on.
pub trait Line: Read + ReadReady + Write + WriteReady + ErrorType<Error = io::Error> {
    /// Waits until bytes have come, or the other end is gone, or `longest` has passed.
    ///
    /// # Errors
    /// The stream failed.
    fn wait(&mut self, longest: Duration) -> io::Result<()>;
}

/// What a pump's failure means: the far end is not there any more.
pub(super) fn gone(error: PumpError<io::Error>) -> io::Error {
    match error {
        PumpError::Stream(error) => error,
        PumpError::Ended => io::Error::new(io::ErrorKind::UnexpectedEof, "the other end is gone"),
    }
}

/// One end of a pipe in this process.
#[derive(Debug)]
pub struct PipeEnd {
    coming: Arc<Mutex<VecDeque<u8>>>,
    going: Arc<Mutex<VecDeque<u8>>>,
}

/// A pipe in this process, both ways.
pub fn pipe() -> (PipeEnd, PipeEnd) {
    let [one, other] = [(); 2].map(|()| Arc::new(Mutex::new(VecDeque::new())));
    let near = PipeEnd { coming: Arc::clone(&one), going: Arc::clone(&other) };
    (near, PipeEnd { coming: other, going: one })
}

impl PipeEnd {
    fn coming(&self) -> MutexGuard<'_, VecDeque<u8>> {
        // Bytes stay bytes, whatever happened to who held them.
        self.coming.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl ErrorType for PipeEnd {
    type Error = io::Error;
}

impl ReadReady for PipeEnd {
    fn read_ready(&mut self) -> io::Result<bool> {
        Ok(!self.coming().is_empty())
    }
}

impl Read for PipeEnd {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        io::Read::read(&mut *self.coming(), buffer)
    }
}

impl WriteReady for PipeEnd {
    fn write_ready(&mut self) -> io::Result<bool> {
        Ok(true)
    }
}

impl Write for PipeEnd {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.going.lock().unwrap_or_else(PoisonError::into_inner).extend(bytes);
        Ok(bytes.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        Ok(())
    }
}

impl Line for PipeEnd {
    /// Nothing comes while this thread waits, if both ends are its own: it only sleeps when nothing is there.
    fn wait(&mut self, longest: Duration) -> io::Result<()> {
        if self.coming().is_empty() {
            std::thread::sleep(longest);
        }
        Ok(())
    }
}
