//! The firmware's log as lines of text, whatever board it ran on.
//!
//! The frames are read by a program of its own (`tests/log`), since its decoder would change a dependency of the console
//! under test. [`read_log`] reads frames that are there; [`LogFile`] writes the lines of a board that runs.

use crate::build::{BuildError, log_reader};
use std::fs::File;
use std::io::{self, Write};
use std::os::fd::OwnedFd;
use std::os::unix::net::UnixListener;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use tempfile::TempDir;

/// The level of what was no frame.
const LOST: &str = "lost";

/// A line of the log.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LogLine {
    /// Milliseconds since the board's start; none where bytes made no frame.
    pub ms: Option<u64>,
    /// `error`, `warn`, `info`, `debug` or `trace`.
    pub level: String,
    /// What it says.
    pub message: String,
}

impl LogLine {
    /// Whether it stands for bytes that made no frame.
    #[must_use]
    pub fn is_lost(&self) -> bool {
        self.level == LOST
    }

    /// A line as the reader writes it: `SECONDS LEVEL MESSAGE`, three decimals.
    fn parse(line: &str) -> Option<Self> {
        let mut parts = line.splitn(3, ' ');
        let (time, level, message) = (parts.next()?, parts.next()?, parts.next()?);
        let ms = match time.split_once('.') {
            Some((seconds, ms)) if ms.len() == 3 => {
                Some(seconds.parse::<u64>().ok()? * 1000 + ms.parse::<u64>().ok()?)
            }
            _ if time == "-" => None,
            _ => return None,
        };
        Some(Self { ms, level: level.to_owned(), message: message.to_owned() })
    }
}

impl std::fmt::Display for LogLine {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self.ms {
            Some(ms) => write!(f, "{}.{:03} {} {}", ms / 1000, ms % 1000, self.level, self.message),
            None => write!(f, "- {} {}", self.level, self.message),
        }
    }
}

/// Why a log is not read.
#[derive(Debug)]
pub enum LogError {
    /// The reader is not there.
    Build(BuildError),
    /// A file or a process failed.
    Io(io::Error),
    /// The reader refuses, or writes what is no line.
    Reader(String),
}

impl std::fmt::Display for LogError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Build(error) => error.fmt(f),
            Self::Io(error) => write!(f, "the log is not read: {error}"),
            Self::Reader(said) => write!(f, "the log's reader says: {said}"),
        }
    }
}

impl std::error::Error for LogError {}

impl From<BuildError> for LogError {
    fn from(error: BuildError) -> Self {
        Self::Build(error)
    }
}

impl From<io::Error> for LogError {
    fn from(error: io::Error) -> Self {
        Self::Io(error)
    }
}

/// Reads the frames that `image` sent.
///
/// # Errors
/// The reader does not build or start, or `image` is none that logs.
pub fn read_log(image: &Path, frames: &[u8]) -> Result<Vec<LogLine>, LogError> {
    let mut reader = Command::new(log_reader()?);
    reader.arg(image).stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped());
    let mut child = reader.spawn()?;
    let input = child.stdin.take();
    let read = std::thread::scope(|scope| {
        // Beside the reading, or both would wait once a pipe is full. A reader that refuses hangs up.
        scope.spawn(move || input.map(|mut input| input.write_all(frames)));
        child.wait_with_output()
    })?;
    if !read.status.success() {
        return Err(LogError::Reader(String::from_utf8_lossy(&read.stderr).into_owned()));
    }
    let lines = String::from_utf8_lossy(&read.stdout).into_owned();
    let line = |line: &str| LogLine::parse(line).ok_or_else(|| LogError::Reader(line.to_owned()));
    lines.lines().map(line).collect()
}

/// A file that takes the lines of a board's log as they come.
#[derive(Debug)]
pub struct LogFile {
    file: File,
    reader: &'static Path,
    listener: UnixListener,
    socket: PathBuf,
    _folder: TempDir,
}

impl LogFile {
    /// Makes the file, empty, and the socket for the frames.
    ///
    /// # Errors
    /// The reader does not build; the file cannot be made.
    pub fn create(path: &Path) -> Result<Self, LogError> {
        let file = File::create(path)
            .map_err(|error| io::Error::new(error.kind(), format!("{}: {error}", path.display())))?;
        let reader = log_reader()?;
        let folder = TempDir::new()?;
        let socket = folder.path().join("log");
        let listener = UnixListener::bind(&socket)?;
        Ok(Self { file, reader, listener, socket, _folder: folder })
    }

    /// Where the board is to send its frames.
    #[must_use]
    pub fn socket(&self) -> &Path {
        &self.socket
    }

    /// Writes what a board sends that runs `image`, until it ends. It was started already, with [`LogFile::socket`].
    ///
    /// # Errors
    /// The reader does not start.
    pub fn follow(self, image: &Path) -> Result<Following, LogError> {
        let (frames, _) = self.listener.accept()?;
        let mut reader = Command::new(self.reader);
        reader.arg(image).stdin(OwnedFd::from(frames)).stdout(self.file);
        Ok(Following(reader.spawn()?))
    }
}

/// A log that is being written. Dropping it waits until the last line is: the board's power is to be cut before.
#[derive(Debug)]
pub struct Following(Child);

impl Drop for Following {
    fn drop(&mut self) {
        let _ = self.0.wait();
    }
}
