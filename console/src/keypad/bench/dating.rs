//! From a keypad's ticks to wall time.
//!
//! A boot is dated by an anchor: the keypad's ticks beside the console's clock. Anchors come at each hello and every
//! minute; for a boot that an earlier run of the console had an anchor of, a dated record of that boot in the book
//! serves as one. A boot that never met a console stays undated.

use std::collections::HashMap;

/// What is known of a keypad's boots.
#[derive(Clone, Debug, Default)]
pub(super) struct Dating {
    /// Ticks and wall time of each boot, in milliseconds.
    anchors: HashMap<u32, (u32, i64)>,
}

impl Dating {
    /// From dated records of the same journal: boot, ticks and wall time of each.
    pub(super) fn from_book(dated: &[(u32, u32, i64)]) -> Self {
        let anchors = dated.iter().map(|(boot, ticks, utc_ms)| (*boot, (*ticks, *utc_ms)));
        Self { anchors: anchors.collect() }
    }

    pub(super) fn anchor(&mut self, boot: u32, ticks: u32, utc_ms: i64) {
        self.anchors.insert(boot, (ticks, utc_ms));
    }

    /// Milliseconds since 1970-01-01 UTC. Ticks wrap: the record counts as within 24.8 days of its anchor.
    pub(super) fn utc_ms(&self, boot: u32, ticks: u32) -> Option<i64> {
        let (anchor, utc_ms) = self.anchors.get(&boot)?;
        let since = ticks.wrapping_sub(*anchor).cast_signed();
        Some(utc_ms.saturating_add(since.into()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_record_is_dated_by_its_own_boot_before_and_behind_the_anchor_and_across_the_wrap() {
        let mut dating = Dating::default();
        dating.anchor(3, 1000, 50_000);
        assert_eq!(dating.utc_ms(3, 400), Some(49_400));
        assert_eq!(dating.utc_ms(3, 1500), Some(50_500));
        assert_eq!(dating.utc_ms(2, 1500), None, "that boot never met a console");
        dating.anchor(4, 10, 50_000);
        assert_eq!(dating.utc_ms(4, u32::MAX - 9), Some(49_980));
    }
}
