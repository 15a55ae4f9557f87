//! Frames on a byte stream.
//!
//! ```text
//! 00 | COBS( kind u8 | tag u8 | session u16 LE | payload | CRC-32C u32 LE ) | 00
//! ```
//!
//! - At most [`MAX_RAW`] bytes before COBS, so at most [`MAX_WIRE`] on the wire. The leading `00` ends whatever noise
//!   came while the line was idle.
//! - `kind` says which message the payload is ([`super::message`]). `session` is the host's choice; 0 is none. `tag`
//!   numbers a request and is repeated by its answer, so that a late answer is never taken for another's; 0 on what
//!   nobody asked for.
//! - The CRC is CRC-32C (polynomial 0x1EDC6F41, as in RFC 3720 B.4) over everything before it. A CRC promises nothing
//!   about single bits once COBS lies over it; with 32 bits a damaged frame passes once in 2³² or so.
//! - What is not a frame is dropped and counted: a wrong CRC, broken COBS, a run that is too long. The reader is ready
//!   for the next frame after any `00`.

use super::checksum::Checksum;

/// The longest frame before COBS, in bytes.
pub const MAX_RAW: usize = 240;
/// The bytes of a frame that are not payload: kind, tag, session, CRC.
pub const OVERHEAD: usize = 8;
/// The longest payload, in bytes.
pub const MAX_PAYLOAD: usize = MAX_RAW - OVERHEAD;
/// The longest frame on the wire, in bytes: one of COBS, a `00` on either side.
pub const MAX_WIRE: usize = MAX_COBS + 2;
/// A run of this many bytes without a `00` is counted as dropped while it still goes on.
pub const MAX_RUN: usize = 512;

/// COBS adds one byte to anything shorter than 254.
const MAX_COBS: usize = MAX_RAW + 1;
const HEADER: usize = 4;

/// One frame, its payload borrowed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Frame<'b> {
    /// Which message it carries.
    pub kind: u8,
    /// The number of the request, or of the request that it answers; 0 on what nobody asked for.
    pub tag: u8,
    /// The session it belongs to; 0 is none.
    pub session: u16,
    /// The message, at most [`MAX_PAYLOAD`] bytes.
    pub payload: &'b [u8],
}

/// A payload that no frame holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("a payload of {length} bytes does not fit a frame; {MAX_PAYLOAD} do")]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct TooLong {
    /// Its length in bytes; [`MAX_PAYLOAD`] are possible.
    pub length: usize,
}

impl Frame<'_> {
    /// Its bytes on the wire, `00` on either side, in `buffer`.
    ///
    /// # Errors
    /// The payload is longer than [`MAX_PAYLOAD`].
    pub fn encode<'w>(&self, buffer: &'w mut [u8; MAX_WIRE]) -> Result<&'w [u8], TooLong> {
        let too_long = TooLong { length: self.payload.len() };
        if self.payload.len() > MAX_PAYLOAD {
            return Err(too_long);
        }
        let mut raw = [0; MAX_RAW];
        let [low, high] = self.session.to_le_bytes();
        raw[..HEADER].copy_from_slice(&[self.kind, self.tag, low, high]);
        let end = HEADER + self.payload.len();
        raw[HEADER..end].copy_from_slice(self.payload);
        let sum = Checksum::of(&raw[..end]);
        raw[end..end + 4].copy_from_slice(&sum.to_le_bytes());
        let used = cobs::try_encode_including_sentinels(&raw[..end + 4], buffer).map_err(|_| too_long)?;
        Ok(&buffer[..used])
    }
}

/// Finds the frames in a stream of bytes, however it was cut into pieces. Holds one frame.
#[derive(Clone, Debug)]
pub struct Decoder {
    buffer: [u8; MAX_COBS],
    /// Bytes since the last `00`, or since the run was last counted as dropped.
    run: usize,
    /// The run was already too long: nothing in it counts until the next `00`.
    spoiled: bool,
    dropped: u32,
}

impl Default for Decoder {
    fn default() -> Self {
        Self { buffer: [0; MAX_COBS], run: 0, spoiled: false, dropped: 0 }
    }
}

impl Decoder {
    /// A reader at the start of a stream.
    pub fn new() -> Self {
        Self::default()
    }

    /// Takes one byte; gives the frame that it completes.
    pub fn push(&mut self, byte: u8) -> Option<Frame<'_>> {
        let end = self.step(byte)?;
        Some(self.lend(end))
    }

    /// Takes bytes off the front of `bytes` until a frame is complete; gives it, or `None` when all are taken.
    pub fn next<'d>(&'d mut self, bytes: &mut &[u8]) -> Option<Frame<'d>> {
        while let [first, rest @ ..] = *bytes {
            *bytes = rest;
            if let Some(end) = self.step(*first) {
                return Some(self.lend(end));
            }
        }
        None
    }

    /// How many runs of bytes were no frame, up to `u32::MAX`.
    pub const fn dropped(&self) -> u32 {
        self.dropped
    }

    /// Takes one byte; gives the length of header and payload when that completes a frame.
    fn step(&mut self, byte: u8) -> Option<usize> {
        if byte != 0 {
            if let Some(place) = self.buffer.get_mut(self.run) {
                *place = byte;
            }
            self.run += 1;
            if self.run == MAX_RUN {
                self.drop_run();
                self.spoiled = true;
            }
            return None;
        }
        let run = core::mem::take(&mut self.run);
        let spoiled = core::mem::take(&mut self.spoiled);
        if run == 0 {
            return None;
        }
        let end = if spoiled { None } else { self.check(run) };
        if end.is_none() {
            self.drop_run();
        }
        end
    }

    /// Undoes COBS over the first `run` bytes of the buffer and checks the CRC.
    fn check(&mut self, run: usize) -> Option<usize> {
        let length = cobs::decode_in_place(self.buffer.get_mut(..run)?).ok()?;
        let (checked, sum) = self.buffer.get(..length)?.split_last_chunk::<4>()?;
        let good = checked.len() >= HEADER && Checksum::of(checked) == u32::from_le_bytes(*sum);
        good.then_some(checked.len())
    }

    fn lend(&self, end: usize) -> Frame<'_> {
        let (header, payload) = self.buffer[..end].split_at(HEADER);
        let session = u16::from_le_bytes([header[2], header[3]]);
        Frame { kind: header[0], tag: header[1], session, payload }
    }

    fn drop_run(&mut self) {
        self.run = 0;
        self.dropped = self.dropped.saturating_add(1);
    }
}
