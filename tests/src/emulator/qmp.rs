//! QEMU's own language for machines (QMP): one line of JSON a command, over a socket.

use serde_json::{Value, json};
use std::io::{self, BufRead, BufReader, Write};
use std::os::unix::net::UnixStream;
use std::path::Path;
use std::time::Duration;

/// How long QEMU may take to answer.
const ANSWER: Duration = Duration::from_secs(30);

/// QEMU did not do what it was told.
#[derive(Debug)]
pub enum QmpError {
    /// The socket failed: it has ended, most likely.
    Gone(io::Error),
    /// What it says is not understood.
    NotUnderstood(String),
    /// It refused.
    Refused {
        /// What it was told.
        command: String,
        /// Why it refused.
        why: String,
    },
}

impl std::fmt::Display for QmpError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Gone(error) => write!(f, "QEMU is gone: {error}"),
            Self::NotUnderstood(line) => write!(f, "QEMU says what is not understood: {line}"),
            Self::Refused { command, why } => write!(f, "QEMU refuses {command}: {why}"),
        }
    }
}

impl std::error::Error for QmpError {}

impl From<io::Error> for QmpError {
    fn from(error: io::Error) -> Self {
        Self::Gone(error)
    }
}

/// A conversation with a running QEMU.
#[derive(Debug)]
pub struct Qmp {
    lines: BufReader<UnixStream>,
}

impl Qmp {
    /// Opens the conversation on QEMU's socket.
    ///
    /// # Errors
    /// There is no such socket, or nobody answers.
    pub fn open(socket: &Path) -> Result<Self, QmpError> {
        let stream = UnixStream::connect(socket)?;
        stream.set_read_timeout(Some(ANSWER))?;
        let mut qmp = Self { lines: BufReader::new(stream) };
        qmp.line()?;
        qmp.tell("qmp_capabilities", &json!({}))?;
        Ok(qmp)
    }

    /// Gives a command and waits for its answer; events are passed over.
    ///
    /// # Errors
    /// It was refused, or QEMU is gone.
    pub fn tell(&mut self, command: &str, arguments: &Value) -> Result<Value, QmpError> {
        let line = json!({ "execute": command, "arguments": arguments }).to_string() + "\n";
        self.lines.get_mut().write_all(line.as_bytes())?;
        loop {
            let mut answer = self.line()?;
            if let Some(error) = answer.get("error") {
                return Err(QmpError::Refused { command: command.into(), why: error.to_string() });
            }
            if let Some(answer) = answer.get_mut("return") {
                return Ok(answer.take());
            }
        }
    }

    fn line(&mut self) -> Result<Value, QmpError> {
        let mut line = String::new();
        if self.lines.read_line(&mut line)? == 0 {
            return Err(QmpError::Gone(io::ErrorKind::UnexpectedEof.into()));
        }
        serde_json::from_str(&line).map_err(|_| QmpError::NotUnderstood(line))
    }
}
