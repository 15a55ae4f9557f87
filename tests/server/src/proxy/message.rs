//! Where a message begins and ends.

use super::Way;
use std::io::Read;
use std::os::unix::net::UnixStream;

/// The codes in place of a version that ask whether a connection may be encrypted: TLS, and Kerberos.
const ENCRYPTION: [u32; 2] = [80_877_103, 80_877_104];

/// One message as it came.
#[derive(Debug)]
pub(super) struct Message {
    /// What it is; `None` where the protocol has no byte for it, at the start of a connection.
    kind: Option<u8>,
    bytes: Vec<u8>,
}

impl Message {
    pub(super) fn kind(&self) -> Option<u8> {
        self.kind
    }

    pub(super) fn bytes(&self) -> &[u8] {
        &self.bytes
    }

    /// What stands behind kind and length.
    pub(super) fn body(&self) -> &[u8] {
        self.bytes.get(if self.kind.is_some() { 5 } else { 4 }..).unwrap_or_default()
    }

    /// Whether one byte without a length is the answer.
    pub(super) fn asks_for_encryption(&self) -> bool {
        self.kind.is_none()
            && self.body().first_chunk().is_some_and(|code| ENCRYPTION.contains(&u32::from_be_bytes(*code)))
    }
}

/// Reads one end's messages.
#[derive(Debug)]
pub(super) struct Reader {
    stream: UnixStream,
    /// What comes first has a length alone.
    starts: bool,
}

impl Reader {
    pub(super) fn new(way: Way, stream: UnixStream) -> Self {
        Self { stream, starts: way == Way::ToServer }
    }

    pub(super) fn stream(&self) -> &UnixStream {
        &self.stream
    }

    /// The next message; `None` at the end. `one_byte` says of the message that begins whether it is one byte alone.
    pub(super) fn next(&mut self, one_byte: impl FnOnce() -> bool) -> Option<Message> {
        let first = self.take(1)?;
        if self.starts {
            let message = self.rest(None, first)?;
            self.starts = message.asks_for_encryption();
            return Some(message);
        }
        if one_byte() {
            // What is encrypted from here on has no messages to tell apart.
            return (first == b"N").then_some(Message { kind: None, bytes: first });
        }
        self.rest(first.first().copied(), first)
    }

    /// What belongs to a message that begins with these bytes.
    fn rest(&mut self, kind: Option<u8>, mut bytes: Vec<u8>) -> Option<Message> {
        let before = usize::from(kind.is_some());
        bytes.extend(self.take(before + 4 - bytes.len())?);
        let length = u32::from_be_bytes(*bytes.get(before..)?.first_chunk()?);
        bytes.extend(self.take((length as usize).checked_sub(4)?)?);
        Some(Message { kind, bytes })
    }

    fn take(&mut self, count: usize) -> Option<Vec<u8>> {
        let mut bytes = vec![0; count];
        self.stream.read_exact(&mut bytes).ok()?;
        Some(bytes)
    }
}
