//! Serial ports: which there are, and one of them as a byte stream.
//!
//! A port is opened raw, 115200 baud, 8 data bits, no parity, 1 stop bit, and for this program alone: by the
//! system's own exclusive mode and by a lock that other runs of this program see. Closing it does not hang up, as
//! that resets some boards. Modem lines are asked to say that a terminal is ready and need not exist.

use super::line::Line;
use embedded_io::{ErrorType, Read, ReadReady, Write, WriteReady};
#[cfg(unix)]
use rustix::event::{PollFd, PollFlags, Timespec, poll};
use serial2::SerialPort;
use std::io;
use std::path::{Path, PathBuf};
use std::time::Duration;

/// Baud of the link; a port over USB has no such thing and does not mind.
const BAUD: u32 = 115_200;

/// How long a write may wait, before the far end counts as gone.
const WRITE: Duration = Duration::from_secs(2);

/// Why a port was not opened.
#[derive(Debug, thiserror::Error)]
pub enum PortError {
    /// There is none.
    #[error("there is no port {0}")]
    Missing(PathBuf),
    /// Another program has it.
    #[error("{0} is in use by another program; end that first")]
    Busy(PathBuf),
    /// It may not be opened.
    #[error(
        "{0} may not be opened by you; its group must be yours too (often `dialout` or `uucp`): \
         add yourself to it, then log out and in again"
    )]
    Permission(PathBuf),
    /// Anything else.
    #[error("{path} cannot be used as a serial port: {source}")]
    Other {
        /// Its path.
        path: PathBuf,
        /// What the system said.
        source: io::Error,
    },
}

impl PortError {
    fn of(path: &Path, source: io::Error) -> Self {
        let path = path.to_path_buf();
        match source.kind() {
            io::ErrorKind::NotFound => Self::Missing(path),
            io::ErrorKind::PermissionDenied => Self::Permission(path),
            io::ErrorKind::ResourceBusy | io::ErrorKind::WouldBlock => Self::Busy(path),
            // No device behind the name: unplugged a moment ago.
            _ if source.raw_os_error().is_some_and(is_no_device) => Self::Missing(path),
            _ => Self::Other { path, source },
        }
    }

    /// Whether waiting may help: the port is not there now.
    pub const fn is_missing(&self) -> bool {
        matches!(self, Self::Missing { .. })
    }
}

#[cfg(unix)]
fn is_no_device(error: i32) -> bool {
    use rustix::io::Errno;
    [Errno::NXIO, Errno::NODEV, Errno::IO].iter().any(|errno| errno.raw_os_error() == error)
}

#[cfg(not(unix))]
fn is_no_device(_: i32) -> bool {
    false
}

/// A port that is plugged in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ListedPort {
    /// Its path.
    pub path: String,
    /// What it says of itself, as far as it does.
    pub what: String,
    /// Whether it is one over USB. Others are there whether anything is plugged in or not.
    pub usb: bool,
}

/// The ports that a keypad may be on: those over USB, or whatever there is when there are none.
pub fn seen() -> Vec<ListedPort> {
    use serialport::SerialPortType;
    // A system that lists no ports has none to offer.
    let ports = serialport::available_ports().unwrap_or_default();
    let usb = ports.iter().filter_map(|port| match &port.port_type {
        SerialPortType::UsbPort(usb) => {
            let words = [&usb.manufacturer, &usb.product, &usb.serial_number];
            let words: Vec<&str> = words.into_iter().flatten().map(String::as_str).collect();
            let ids = format!("USB {:04x}:{:04x}", usb.vid, usb.pid);
            let what = if words.is_empty() { ids } else { format!("{ids} {}", words.join(" ")) };
            Some(ListedPort { path: port.port_name.clone(), what, usb: true })
        }
        _ => None,
    });
    let mut found: Vec<ListedPort> = usb.collect();
    if found.is_empty() {
        found = ports
            .iter()
            .map(|p| ListedPort { path: p.port_name.clone(), what: String::new(), usb: false })
            .collect();
    }
    found.sort_by(|one, other| one.path.cmp(&other.path));
    found
}

/// An open port.
#[derive(Debug)]
pub struct Port {
    serial: SerialPort,
}

impl Port {
    /// Opens the port at `path`; a pseudo-terminal is a port too.
    ///
    /// # Errors
    /// It is not there, in use, or not ours to open.
    pub fn open(path: &Path) -> Result<Self, PortError> {
        let failed = |source| PortError::of(path, source);
        let mut serial = SerialPort::open(path, BAUD).map_err(failed)?;
        take_alone(&serial, path).map_err(failed)?;
        // What was sent to a client before us says nothing to us.
        let _ = serial.discard_input_buffer();
        let _ = serial.set_dtr(true);
        serial.set_write_timeout(WRITE).map_err(failed)?;
        Ok(Self { serial })
    }
}

#[cfg(unix)]
fn take_alone(serial: &SerialPort, path: &Path) -> io::Result<()> {
    use rustix::fs::{FlockOperation, flock};
    use rustix::termios::{ControlModes, OptionalActions, ioctl_tiocexcl, tcgetattr, tcsetattr};
    flock(serial, FlockOperation::NonBlockingLockExclusive)?;
    // A pseudo-terminal keeps the exclusive mode beyond the end of the program that asked for it.
    let resolved = std::fs::canonicalize(path).unwrap_or_else(|_| path.to_path_buf());
    if !resolved.starts_with("/dev/pts") {
        ioctl_tiocexcl(serial)?;
    }
    let mut modes = tcgetattr(serial)?;
    modes.control_modes.remove(ControlModes::HUPCL);
    // Where this is refused, closing may reset the board: a reconnect counts as a reboot anyway.
    let _ = tcsetattr(serial, OptionalActions::Now, &modes);
    Ok(())
}

#[cfg(not(unix))]
fn take_alone(_: &SerialPort, _: &Path) -> io::Result<()> {
    // Such a system opens a port for one program only.
    Ok(())
}

impl ErrorType for Port {
    type Error = io::Error;
}

#[cfg(unix)]
impl ReadReady for Port {
    fn read_ready(&mut self) -> io::Result<bool> {
        ready(&self.serial, PollFlags::IN, Duration::ZERO)
    }
}

#[cfg(not(unix))]
impl ReadReady for Port {
    /// Reading itself waits, a millisecond at most.
    fn read_ready(&mut self) -> io::Result<bool> {
        self.serial.set_read_timeout(Duration::from_millis(1))?;
        Ok(true)
    }
}

/// Whether `stream` can be read or written, or the far end is gone, within `longest`.
#[cfg(unix)]
pub(crate) fn ready(stream: impl std::os::fd::AsFd, what: PollFlags, longest: Duration) -> io::Result<bool> {
    let mut polled = [PollFd::new(&stream, what)];
    let timeout =
        Timespec { tv_sec: longest.as_secs().cast_signed(), tv_nsec: longest.subsec_nanos().into() };
    match poll(&mut polled, Some(&timeout)) {
        Ok(many) => Ok(many > 0),
        Err(rustix::io::Errno::INTR) => Ok(false),
        Err(error) => Err(error.into()),
    }
}

impl Read for Port {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        self.serial.read(buffer)
    }
}

impl WriteReady for Port {
    /// Writing waits for room itself; for how long at most is set, and then the far end is gone.
    fn write_ready(&mut self) -> io::Result<bool> {
        Ok(true)
    }
}

impl Write for Port {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.serial.write(bytes)
    }

    fn flush(&mut self) -> io::Result<()> {
        // The system sends what it has; waiting for it here would hold up reading.
        Ok(())
    }
}

impl Line for Port {
    #[cfg(unix)]
    fn wait(&mut self, longest: Duration) -> io::Result<()> {
        ready(&self.serial, PollFlags::IN, longest).map(drop)
    }

    #[cfg(not(unix))]
    fn wait(&mut self, longest: Duration) -> io::Result<()> {
        std::thread::sleep(longest.min(Duration::from_millis(5)));
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_port_that_is_not_there_and_a_file_that_is_none_are_told_apart() {
        let folder = tempfile::tempdir().unwrap();
        let missing = Port::open(&folder.path().join("ttyUSB9")).unwrap_err();
        assert!(missing.is_missing(), "{missing}");
        let file = folder.path().join("file");
        std::fs::write(&file, b"").unwrap();
        let wrong = Port::open(&file).unwrap_err();
        assert!(matches!(wrong, PortError::Other { .. }), "{wrong}");
    }
}
