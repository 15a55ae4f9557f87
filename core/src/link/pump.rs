//! Moves bytes between a byte stream and one end of the link.

use super::frame::MAX_WIRE;
use super::{HostSession, KeypadSession, KeypadStore};
use embedded_io::{Read, ReadReady, Write, WriteReady};

/// The most pieces read in one call, so that a stream that never pauses does not hold up its caller.
const PIECES: usize = 16;
/// The most bytes of one piece.
const PIECE_BYTES: usize = 64;
/// The most frames written in one call.
const FRAMES: usize = 8;

/// One end of the link as the pump sees it.
pub trait End {
    /// Takes bytes that came.
    fn feed(&mut self, bytes: &[u8], now_ms: u64);

    /// The next bytes to send, if there are any now.
    fn poll_transmit<'b>(&mut self, buffer: &'b mut [u8; MAX_WIRE], now_ms: u64) -> Option<&'b [u8]>;
}

impl End for HostSession {
    fn feed(&mut self, bytes: &[u8], now_ms: u64) {
        self.feed(bytes, now_ms);
    }

    fn poll_transmit<'b>(&mut self, buffer: &'b mut [u8; MAX_WIRE], now_ms: u64) -> Option<&'b [u8]> {
        self.poll_transmit(buffer, now_ms)
    }
}

/// A keypad's session together with its memory.
impl<S: KeypadStore> End for (&mut KeypadSession, &mut S) {
    fn feed(&mut self, bytes: &[u8], now_ms: u64) {
        self.0.feed(self.1, bytes, now_ms);
    }

    fn poll_transmit<'b>(&mut self, buffer: &'b mut [u8; MAX_WIRE], now_ms: u64) -> Option<&'b [u8]> {
        self.0.poll_transmit(self.1, buffer, now_ms)
    }
}

/// The stream did not do what was asked of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum PumpError<E> {
    /// Reading or writing failed.
    #[error("the line failed: {0}")]
    Stream(E),
    /// The stream has ended: the other end is gone.
    #[error("the line has ended")]
    Ended,
}

/// Reads what has come without waiting for more, and writes what is to be sent while the stream is ready for it. Whether
/// any byte moved.
///
/// A frame is taken from `end` only when the stream says that it is ready, and is then written whole: a stream that must
/// not wait says so only when it has room for [`MAX_WIRE`] bytes. What is not taken waits in `end`, or is made anew.
///
/// # Errors
/// Reading or writing failed, or the stream has ended.
pub fn pump<P, E>(port: &mut P, end: &mut E, now_ms: u64) -> Result<bool, PumpError<P::Error>>
where
    P: Read + ReadReady + Write + WriteReady,
    E: End,
{
    let mut moved = false;
    let mut piece = [0; PIECE_BYTES];
    for _ in 0..PIECES {
        if !port.read_ready().map_err(PumpError::Stream)? {
            break;
        }
        let taken = port.read(&mut piece).map_err(PumpError::Stream)?;
        let bytes = piece.get(..taken).filter(|bytes| !bytes.is_empty()).ok_or(PumpError::Ended)?;
        end.feed(bytes, now_ms);
        moved = true;
    }
    let mut buffer = [0; MAX_WIRE];
    let mut wrote = false;
    for _ in 0..FRAMES {
        if !port.write_ready().map_err(PumpError::Stream)? {
            break;
        }
        let Some(bytes) = end.poll_transmit(&mut buffer, now_ms) else { break };
        port.write_all(bytes).map_err(PumpError::Stream)?;
        wrote = true;
    }
    if wrote {
        port.flush().map_err(PumpError::Stream)?;
    }
    Ok(moved || wrote)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::link::tests::bench::{Memory, UTC_MS};
    use crate::link::{Event, KeypadSession};
    use crate::record::JournalId;
    use embedded_io::{ErrorKind, ErrorType};
    use std::collections::VecDeque;

    /// One end of a line in RAM.
    #[derive(Default)]
    struct Port {
        came: VecDeque<u8>,
        sent: std::vec::Vec<u8>,
        hung_up: bool,
        broken: bool,
        busy: bool,
    }

    impl ErrorType for Port {
        type Error = ErrorKind;
    }

    impl ReadReady for Port {
        fn read_ready(&mut self) -> Result<bool, ErrorKind> {
            Ok(self.hung_up || !self.came.is_empty())
        }
    }

    impl Read for Port {
        fn read(&mut self, buffer: &mut [u8]) -> Result<usize, ErrorKind> {
            let count = buffer.len().min(self.came.len());
            buffer.iter_mut().zip(self.came.drain(..count)).for_each(|(place, byte)| *place = byte);
            Ok(count)
        }
    }

    impl WriteReady for Port {
        fn write_ready(&mut self) -> Result<bool, ErrorKind> {
            Ok(!self.busy)
        }
    }

    impl Write for Port {
        fn write(&mut self, bytes: &[u8]) -> Result<usize, ErrorKind> {
            if self.broken {
                return Err(ErrorKind::BrokenPipe);
            }
            let count = bytes.len().min(7);
            self.sent.extend(&bytes[..count]);
            Ok(count)
        }
        fn flush(&mut self) -> Result<(), ErrorKind> {
            Ok(())
        }
    }

    #[test]
    fn both_ends_meet_over_byte_streams() {
        let (mut near, mut far) = (Port::default(), Port::default());
        let mut host = HostSession::new(JournalId(5), 8, UTC_MS, 0);
        let mut keypad = KeypadSession::new("bench 1", "0.1.0");
        let mut memory = Memory { next: 1, ..Memory::default() };
        for now_ms in 0..4 {
            pump(&mut near, &mut host, now_ms).unwrap();
            far.came.extend(near.sent.drain(..));
            pump(&mut far, &mut (&mut keypad, &mut memory), now_ms).unwrap();
            near.came.extend(far.sent.drain(..));
        }
        assert!(matches!(host.poll_event(), Some(Event::Connected(ack)) if ack.name == "bench 1"));
        assert!(keypad.console_present(10));
        assert_eq!(pump(&mut near, &mut host, 4), Ok(false), "nothing to do");
    }

    #[test]
    fn a_hang_up_and_a_broken_line_are_told_apart() {
        let mut host = HostSession::new(JournalId(5), 8, UTC_MS, 0);
        let mut port = Port { hung_up: true, ..Port::default() };
        assert_eq!(pump(&mut port, &mut host, 0), Err(PumpError::Ended));
        let mut port = Port { broken: true, ..Port::default() };
        assert_eq!(pump(&mut port, &mut host, 0), Err(PumpError::Stream(ErrorKind::BrokenPipe)));
    }

    #[test]
    fn a_stream_without_room_is_given_nothing_and_nothing_is_lost() {
        let mut host = HostSession::new(JournalId(5), 8, UTC_MS, 0);
        let (mut busy, mut free) = (Port { busy: true, ..Port::default() }, Port::default());
        assert_eq!(pump(&mut busy, &mut host, 0), Ok(false));
        assert!(busy.sent.is_empty());
        pump(&mut free, &mut HostSession::new(JournalId(5), 8, UTC_MS, 0), 0).unwrap();
        busy.busy = false;
        assert_eq!(pump(&mut busy, &mut host, 0), Ok(true));
        assert_eq!(busy.sent, free.sent, "the greeting, later");
    }

    #[test]
    fn a_stream_that_never_pauses_does_not_hold_up_its_caller() {
        let mut host = HostSession::new(JournalId(5), 8, UTC_MS, 0);
        let mut port = Port { came: core::iter::repeat_n(0x55, 5000).collect(), ..Port::default() };
        assert_eq!(pump(&mut port, &mut host, 0), Ok(true));
        assert_eq!(port.came.len(), 5000 - PIECES * PIECE_BYTES);
    }
}
