//! A pseudo-terminal: a serial port made of software, for the keypad's end.
//!
//! Its own far end is held open too, so that a console may come and go. Bytes that nobody takes are dropped once the
//! system's buffer is full, as a keypad on a cable drops them.

use super::line::Line;
use super::port::ready;
use embedded_io::{ErrorType, Read, ReadReady, Write, WriteReady};
use rustix::event::PollFlags;
use rustix::fs::{Mode, OFlags, fcntl_setfl, open};
use rustix::pty::{OpenptFlags, grantpt, openpt, ptsname, unlockpt};
use rustix::termios::{OptionalActions, tcgetattr, tcsetattr};
use std::fs::File;
use std::io::{self, Read as _, Write as _};
use std::os::fd::OwnedFd;
use std::path::{Path, PathBuf};
use std::time::Duration;

/// The keypad's end of a pseudo-terminal.
#[derive(Debug)]
pub struct Pty {
    near: File,
    /// Held open, never used.
    _far: OwnedFd,
    path: PathBuf,
}

impl Pty {
    /// Opens one, raw.
    ///
    /// # Errors
    /// The system has none left.
    pub fn open() -> io::Result<Self> {
        let near = openpt(OpenptFlags::RDWR | OpenptFlags::NOCTTY | OpenptFlags::CLOEXEC)?;
        grantpt(&near)?;
        unlockpt(&near)?;
        let name = ptsname(&near, Vec::new())?;
        let far = open(name.as_c_str(), OFlags::RDWR | OFlags::NOCTTY | OFlags::CLOEXEC, Mode::empty())?;
        let mut modes = tcgetattr(&far)?;
        modes.make_raw();
        tcsetattr(&far, OptionalActions::Now, &modes)?;
        fcntl_setfl(&near, OFlags::RDWR | OFlags::NONBLOCK)?;
        let path = PathBuf::from(name.to_string_lossy().into_owned());
        Ok(Self { near: near.into(), _far: far, path })
    }

    /// The path of the port that a console opens.
    pub fn path(&self) -> &Path {
        &self.path
    }
}

impl ErrorType for Pty {
    type Error = io::Error;
}

impl ReadReady for Pty {
    fn read_ready(&mut self) -> io::Result<bool> {
        ready(&self.near, PollFlags::IN, Duration::ZERO)
    }
}

impl Read for Pty {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        self.near.read(buffer)
    }
}

impl WriteReady for Pty {
    fn write_ready(&mut self) -> io::Result<bool> {
        ready(&self.near, PollFlags::OUT, Duration::ZERO)
    }
}

impl Write for Pty {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        match self.near.write(bytes) {
            Err(error) if error.kind() == io::ErrorKind::WouldBlock => Ok(bytes.len()),
            result => result,
        }
    }

    fn flush(&mut self) -> io::Result<()> {
        Ok(())
    }
}

impl Line for Pty {
    fn wait(&mut self, longest: Duration) -> io::Result<()> {
        ready(&self.near, PollFlags::IN, longest).map(drop)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::keypad::port::{Port, PortError};

    fn take(line: &mut impl Line, many: usize) -> Vec<u8> {
        let mut taken = Vec::new();
        while taken.len() < many {
            line.wait(Duration::from_secs(5)).unwrap();
            assert!(line.read_ready().unwrap(), "nothing came behind {taken:?}");
            let mut buffer = [0; 64];
            let read = line.read(&mut buffer).unwrap();
            taken.extend(&buffer[..read]);
        }
        taken
    }

    #[test]
    fn every_byte_passes_unchanged_both_ways() {
        let mut pty = Pty::open().unwrap();
        let mut port = Port::open(pty.path()).unwrap();
        let all: Vec<u8> = (0..=255).collect();
        port.write_all(&all).unwrap();
        assert_eq!(take(&mut pty, 256), all);
        pty.write_all(&all).unwrap();
        assert_eq!(take(&mut port, 256), all);
    }

    #[test]
    fn a_port_is_for_one_program_and_is_free_again_when_it_closes() {
        let pty = Pty::open().unwrap();
        let port = Port::open(pty.path()).unwrap();
        let refused = Port::open(pty.path()).unwrap_err();
        assert!(matches!(refused, PortError::Busy { .. }), "{refused}");
        drop(port);
        Port::open(pty.path()).unwrap();
    }

    #[test]
    fn with_nobody_there_bytes_are_dropped_and_an_unplugged_port_says_so() {
        let mut pty = Pty::open().unwrap();
        for _ in 0..1000 {
            pty.write_all(&[0x55; 240]).unwrap();
        }
        let mut port = Port::open(pty.path()).unwrap();
        drop(pty);
        port.wait(Duration::from_secs(5)).unwrap();
        assert!(port.read_ready().unwrap());
        let mut buffer = [0; 64];
        loop {
            match port.read(&mut buffer) {
                Ok(0) | Err(_) => break,
                Ok(_) => {}
            }
        }
    }
}
