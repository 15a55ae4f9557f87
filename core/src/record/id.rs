//! Who is meant: journals, records, jobs, lenses.

use crate::bytes::coded;
use crate::prescription::Eye;
use core::fmt;
use postcard::experimental::max_size::MaxSize;
use serde::{Deserialize, Serialize};

coded! {
    /// A numbered sequence of records of one writer. Made from real entropy when the journal is begun; shown as 16
    /// hexadecimal digits.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, MaxSize)]
    #[cfg_attr(feature = "defmt", derive(defmt::Format))]
    pub struct JournalId(pub u64);
}

impl fmt::Display for JournalId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:016x}", self.0)
    }
}

coded! {
    /// One record: its journal and its number there, counted from 1 without a gap.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, MaxSize)]
    #[cfg_attr(feature = "defmt", derive(defmt::Format))]
    pub struct RecordId {
        /// The journal it was written to.
        pub journal: JournalId,
        /// Its number in that journal.
        pub seq: u32,
    }
}

impl fmt::Display for RecordId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}:{}", self.journal, self.seq)
    }
}

coded! {
    /// A job, whoever opened it.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, MaxSize)]
    #[cfg_attr(feature = "defmt", derive(defmt::Format))]
    pub struct JobId(pub u64);
}

impl JobId {
    /// The job that is opened by the record `opening`.
    ///
    /// Console and keypad need not agree on a number: the pair (journal, number) is unique, and this mixes it into
    /// 64 bits that collide by chance only (once in 2³² jobs or so).
    pub const fn opened_by(opening: RecordId) -> Self {
        Self(opening.mixed())
    }
}

impl RecordId {
    /// Two rounds of a bijective mixer with full avalanche (the finaliser of splitmix64).
    const fn mixed(self) -> u64 {
        mix(mix(self.journal.0) ^ (self.seq as u64).wrapping_mul(0x9e37_79b9_7f4a_7c15))
    }
}

const fn mix(mut bits: u64) -> u64 {
    bits = (bits ^ (bits >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    bits = (bits ^ (bits >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    bits ^ (bits >> 31)
}

impl fmt::Display for JobId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:016x}", self.0)
    }
}

/// A station: one dial and one wheel. It is in no record of the bench; a console says which records speak for it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct StationId(pub u64);

impl StationId {
    /// That for which everything speaks of which nothing else was said: a shop's only one, or its first.
    pub const FIRST: Self = Self(0);

    /// The station that is first told of by this record; known as [`JobId::opened_by`] knows a job.
    pub const fn told_by(record: RecordId) -> Self {
        Self(record.mixed())
    }
}

coded! {
    /// One piece of lens material: after a remake the eye has a new lens, and its sizing starts anew.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, MaxSize)]
    #[cfg_attr(feature = "defmt", derive(defmt::Format))]
    pub struct LensId {
        /// The job it is for.
        pub job: JobId,
        /// The eye it is for.
        pub eye: Eye,
        /// Its number for that eye, from 1.
        pub number: u8,
    }
}

coded! {
    /// Two lenses that stand in the frame together. What was measured on a pair does not hold for the next one.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, MaxSize)]
    #[cfg_attr(feature = "defmt", derive(defmt::Format))]
    pub struct PairId {
        /// The job.
        pub job: JobId,
        /// Lens numbers, right and left.
        pub numbers: [u8; 2],
    }
}

impl PairId {
    /// The first lenses of a job.
    pub const fn first(job: JobId) -> Self {
        Self { job, numbers: [1, 1] }
    }

    /// The lens of one eye.
    pub const fn lens(self, eye: Eye) -> LensId {
        LensId { job: self.job, eye, number: self.numbers[eye.index()] }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::HashSet;

    #[test]
    fn jobs_opened_by_neighbouring_records_differ() {
        let mut seen = HashSet::new();
        for journal in [0, 1, 2, u64::MAX] {
            for seq in 0..20_000 {
                let opening = RecordId { journal: JournalId(journal), seq };
                assert!(seen.insert(JobId::opened_by(opening)));
            }
        }
    }
}
