//! What a keypad's own clock said in one of its starts, and what follows of the time of a record.

use super::holding::Fact;
use crate::store::Entry;
use bevelbook_core::record::{Bench, Clock, Stored};

/// How far a clock of its own may be off: a crystal of 20 in a million for half a year; from memory, unconfirmed.
pub(super) const CLOCK_OFF_MS: i64 = 5 * 60_000;

/// What the clock of a keypad said in one of its starts.
#[derive(Clone, Copy, Debug)]
pub(super) struct ClockSaid {
    pub(super) seq: u32,
    pub(super) boot: u32,
    pub(super) ticks: u32,
    pub(super) utc_ms: i64,
}

impl ClockSaid {
    fn said(seq: u32, boot: u32, ticks: u32, fact: &Bench) -> Option<Self> {
        let Bench::Clock(Clock { utc_s: Some(utc_s) }) = fact else { return None };
        Some(Self { seq, boot, ticks, utc_ms: i64::from(*utc_s) * 1000 })
    }

    /// What a record says that it said.
    pub(super) fn by(record: &Stored) -> Option<Self> {
        Self::said(record.seq, record.boot, record.ticks, &record.fact().ok()?)
    }

    /// What a record of the book says that it said.
    pub(super) fn read(entry: &Entry) -> Option<Self> {
        let Fact::Bench(fact) = Fact::read(entry.kind, &entry.payload) else { return None };
        Self::said(entry.id.seq, entry.boot?, entry.ticks?, &fact)
    }

    /// The time at those ticks of the same start, behind what it said, in milliseconds since 1970-01-01 UTC.
    pub(super) fn at(self, ticks: u32) -> Option<i64> {
        self.utc_ms.checked_add(ticks.wrapping_sub(self.ticks).into())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_start_is_dated_for_as_long_as_its_ticks_do_not_wrap() {
        let said = ClockSaid { seq: 1, boot: 1, ticks: 0, utc_ms: 1_795_877_615_000 };
        // 24 days and 20 hours are half of what ticks count.
        for ticks in [0, 1, i32::MAX as u32, 1 << 31, 30 * 86_400_000, u32::MAX] {
            assert_eq!(said.at(ticks), Some(1_795_877_615_000 + i64::from(ticks)), "{ticks}");
        }
    }
}
