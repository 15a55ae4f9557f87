//! From a keypad's ticks to wall time.
//!
//! A boot is dated by an anchor: the keypad's ticks beside the console's clock. Anchors come at each hello and every
//! minute; for a boot that an earlier run of the console had an anchor of, a dated record of that boot in the book
//! serves as one. A boot that never met a console is not dated here; what was logged in it was made between the meetings before
//! and behind it, which the book is told for that.

use crate::desk::Met;
use bevelbook_core::record::JournalId;
use std::collections::BTreeMap;

/// By how much the ticks of a boot and the console's clock may have gone apart since their anchor, in milliseconds: an hour, for
/// a clock that was set back meanwhile too.
const DRIFT_MS: i64 = 3_600_000;

/// What is known of a keypad's boots.
#[derive(Clone, Debug, Default)]
pub(super) struct Dating {
    /// Ticks and wall time of each boot, in milliseconds, and whether the book was told.
    anchors: BTreeMap<u32, (u32, i64, bool)>,
}

impl Dating {
    /// Takes dated records of the same journal, oldest first: boot, ticks and wall time of each. What was seen on the line
    /// stays.
    pub(super) fn know(&mut self, dated: &[(u32, u32, i64)]) {
        for (boot, ticks, utc_ms) in dated.iter().rev() {
            self.anchors.entry(*boot).or_insert((*ticks, *utc_ms, true));
        }
    }

    pub(super) fn anchor(&mut self, boot: u32, ticks: u32, utc_ms: i64) {
        self.anchors.insert(boot, (ticks, utc_ms, false));
    }

    /// Milliseconds since 1970-01-01 UTC of a record that is there at `now_utc_ms`. Ticks wrap: it counts as within 24.8 days of
    /// its anchor, but was not made later than now; then it is the one before that.
    pub(super) fn utc_ms(&self, boot: u32, ticks: u32, now_utc_ms: i64) -> Option<i64> {
        let (anchor, utc_ms, _) = self.anchors.get(&boot)?;
        let since = i64::from(ticks.wrapping_sub(*anchor).cast_signed());
        let at = utc_ms.saturating_add(since);
        Some(if at > now_utc_ms.saturating_add(DRIFT_MS) { at.saturating_sub(1 << 32) } else { at })
    }

    /// The meetings before and behind a boot that is not dated, of which the book was not told yet.
    pub(super) fn round(&self, journal: JournalId, boot: u32) -> Vec<Met> {
        let before = self.anchors.range(..boot).next_back().map(|(boot, _)| *boot);
        let behind = self.anchors.range(boot..).next().map(|(boot, _)| *boot);
        let untold = |boot: u32| match self.anchors.get(&boot) {
            Some((ticks, utc_ms, false)) => Some(Met { journal, boot, ticks: *ticks, utc_ms: *utc_ms }),
            _ => None,
        };
        before.into_iter().chain(behind).filter_map(untold).collect()
    }

    /// The book has those meetings.
    pub(super) fn told(&mut self, met: &[Met]) {
        for met in met {
            if let Some((_, _, told)) = self.anchors.get_mut(&met.boot) {
                *told = true;
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const NOW: i64 = 60_000;

    #[test]
    fn a_record_is_dated_by_its_own_boot_before_and_behind_the_anchor_and_across_the_wrap() {
        let mut dating = Dating::default();
        dating.anchor(3, 1000, 50_000);
        assert_eq!(dating.utc_ms(3, 400, NOW), Some(49_400));
        assert_eq!(dating.utc_ms(3, 1500, NOW), Some(50_500));
        assert_eq!(dating.utc_ms(2, 1500, NOW), None, "that boot never met a console");
        dating.anchor(4, 10, 50_000);
        assert_eq!(dating.utc_ms(4, u32::MAX - 9, NOW), Some(49_980));
        // A keypad that ran for 26 days before it met a console.
        let day_ms = 86_400_000;
        dating.anchor(5, 26 * day_ms, i64::from(26 * day_ms) + 7);
        let now = i64::from(26 * day_ms) + 8;
        assert_eq!(dating.utc_ms(5, 1000, now), Some(1007), "never later than it is taken in");
    }
}
