//! What was counted over many runs.

use bevelbook_core::link::{Decoder, Message};
use std::fmt;
use std::ops::AddAssign;

/// Counts.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) struct Tally {
    pub(crate) seeds: u64,
    pub(crate) real: u64,
    pub(crate) saved: u64,
    pub(crate) not_saved: u64,
    pub(crate) cuts: u64,
    pub(crate) starts: u64,
    pub(crate) kills: u64,
    /// How often servers went, and how many of their commits were not answered.
    pub(crate) servers: u64,
    pub(crate) unanswered: u64,
    pub(crate) notes: u64,
    pub(crate) frames: u64,
    pub(crate) damaged: u64,
    pub(crate) bad: u64,
    pub(crate) virtual_ms: u64,
    /// Bytes of records in batches that had no room for another, and of their frames.
    pub(crate) payload: u64,
    pub(crate) wire: u64,
}

/// A frame shorter than this holds no full batch.
const FULL: usize = 190;

impl Tally {
    /// A frame of the keypad went out.
    pub(crate) fn sent(&mut self, bytes: &[u8]) {
        self.frames += 1;
        if bytes.len() < FULL {
            return;
        }
        let mut decoder = Decoder::new();
        let mut rest = bytes;
        if let Some(frame) = decoder.next(&mut rest)
            && let Ok(Message::Batch(batch)) = Message::decode(frame.kind, frame.payload)
            && batch.through < batch.next
        {
            self.payload += batch.records.packed_len() as u64;
            self.wire += bytes.len() as u64;
        }
    }
}

impl AddAssign for Tally {
    fn add_assign(&mut self, other: Self) {
        self.seeds += other.seeds;
        self.real += other.real;
        self.saved += other.saved;
        self.not_saved += other.not_saved;
        self.cuts += other.cuts;
        self.starts += other.starts;
        self.kills += other.kills;
        self.servers += other.servers;
        self.unanswered += other.unanswered;
        self.notes += other.notes;
        self.frames += other.frames;
        self.damaged += other.damaged;
        self.bad += other.bad;
        self.virtual_ms += other.virtual_ms;
        self.payload += other.payload;
        self.wire += other.wire;
    }
}

impl fmt::Display for Tally {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let hours = self.virtual_ms / 3_600_000;
        writeln!(
            f,
            "{} seeds, {} of them on the real book too; {hours} hours of the bench",
            self.seeds, self.real
        )?;
        writeln!(f, "{} records shown as saved, {} as not saved", self.saved, self.not_saved)?;
        writeln!(f, "{} power cuts, {} starts, {} consoles killed", self.cuts, self.starts, self.kills)?;
        writeln!(f, "{} times a server went, {} commits not answered", self.servers, self.unanswered)?;
        write!(
            f,
            "{} frames of keypads, {} frames damaged, {} bad frames accepted",
            self.frames, self.damaged, self.bad
        )?;
        if self.wire > 0 {
            let percent = self.payload as f64 * 100.0 / self.wire as f64;
            write!(f, "; records are {percent:.1} % of full batches on the wire")?;
        }
        Ok(())
    }
}
