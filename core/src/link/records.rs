//! Records on the wire: as many as fit a frame.

use crate::bytes::put;
use crate::record::Stored;
use core::fmt;
use heapless::Vec;
use postcard::experimental::max_size::MaxSize;
use serde::{Deserialize, Serialize};

/// The most bytes that the records of one batch take.
pub const MAX_RUN_BYTES: usize = 205;

/// Records in rising order, packed one behind the other into at most [`MAX_RUN_BYTES`] bytes: three of the longest,
/// seven or so of the usual.
#[derive(Clone, Default, PartialEq, Eq, Serialize, Deserialize, MaxSize)]
pub struct RecordRun {
    packed: Vec<u8, MAX_RUN_BYTES>,
}

impl RecordRun {
    /// No records.
    pub const fn new() -> Self {
        Self { packed: Vec::new() }
    }

    /// Puts `record` behind the others, or leaves the run as it was and says `false`: it does not fit any more.
    pub fn push(&mut self, record: &Stored) -> bool {
        let mut buffer = [0; Stored::POSTCARD_MAX_SIZE];
        put(record, &mut buffer).is_ok_and(|bytes| self.packed.extend_from_slice(bytes).is_ok())
    }

    /// Its records. Ends early at bytes that are no record ([`RecordRun::is_whole`]).
    pub fn iter(&self) -> Records<'_> {
        Records { rest: &self.packed }
    }

    /// Whether all of its bytes are records, numbered upwards within `from..through`.
    pub fn is_whole(&self, from: u32, through: u32) -> bool {
        let mut records = self.iter();
        let mut least = from;
        for record in records.by_ref() {
            if !(least..through).contains(&record.seq) {
                return false;
            }
            least = record.seq + 1;
        }
        records.rest.is_empty()
    }

    /// Whether it holds none.
    pub fn is_empty(&self) -> bool {
        self.packed.is_empty()
    }

    /// The bytes its records take on the wire.
    pub fn packed_len(&self) -> usize {
        self.packed.len()
    }
}

impl fmt::Debug for RecordRun {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_list().entries(self.iter()).finish()
    }
}

impl<'r> IntoIterator for &'r RecordRun {
    type Item = Stored;
    type IntoIter = Records<'r>;
    fn into_iter(self) -> Records<'r> {
        self.iter()
    }
}

/// The records of a [`RecordRun`], oldest first.
#[derive(Clone, Debug)]
pub struct Records<'r> {
    rest: &'r [u8],
}

impl Iterator for Records<'_> {
    type Item = Stored;

    fn next(&mut self) -> Option<Stored> {
        let (record, rest) = postcard::take_from_bytes(self.rest).ok()?;
        self.rest = rest;
        Some(record)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::record::MAX_ENCODED;

    fn record(seq: u32, length: usize) -> Stored {
        let data = core::iter::repeat_n(7, length).collect();
        Stored { seq, boot: 3, ticks: 70_000, kind: 2, data }
    }

    #[test]
    fn a_run_takes_what_fits_and_keeps_its_order() {
        let mut run = RecordRun::new();
        let taken = (1..).take_while(|seq| run.push(&record(*seq, 18))).count();
        assert_eq!(taken, 8);
        assert!(run.iter().map(|record| record.seq).eq(1..9));
        assert!(run.is_whole(1, 9));
        assert!(!run.is_whole(1, 8) && !run.is_whole(2, 9));
    }

    #[test]
    fn the_longest_records_fit_three_to_a_run() {
        let longest = |seq| Stored { seq, boot: u32::MAX, ticks: u32::MAX, ..record(1, MAX_ENCODED) };
        let mut run = RecordRun::new();
        assert_eq!((u32::MAX - 5..).take_while(|seq| run.push(&longest(*seq))).count(), 3);
    }

    #[test]
    fn a_run_that_is_cut_or_goes_back_is_not_whole() {
        let mut run = RecordRun::new();
        assert!(run.push(&record(5, 4)) && run.push(&record(5, 4)));
        assert!(!run.is_whole(1, 100));
        let mut run = RecordRun::new();
        assert!(run.push(&record(5, 4)));
        run.packed.pop();
        assert!(!run.is_whole(1, 100));
        assert_eq!(run.iter().count(), 0);
    }
}
