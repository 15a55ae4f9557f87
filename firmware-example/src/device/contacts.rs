//! Keys that are looked at beside the board's loop.

use super::Device;
use crate::memory::Pages;

impl<P: Pages> Device<P> {
    /// As [`Device::keys`], with what the contacts did since the last call, at the times at which they did it:
    /// [`Changes::take`](crate::keys::Changes::take) of what an interrupt fills. Their clock is the low half of `now_ms`'s.
    pub fn keys_from(&mut self, mut change: impl FnMut() -> Option<(u8, u32)>, now_ms: u64) {
        // What was seen a moment after `now_ms`, or while the changes before it were worked on, lies behind it. The time of a key
        // never goes back: it would be taken for days.
        let mut latest = now_ms;
        while let Some((closed, at_ms)) = change() {
            let ago = (now_ms as u32).wrapping_sub(at_ms).cast_signed();
            let at_ms = now_ms.saturating_add_signed(-i64::from(ago));
            self.keys(self.levels, at_ms);
            self.keys(closed, at_ms);
            latest = latest.max(at_ms);
        }
        self.keys(self.levels, latest);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::keys::Changes;
    use crate::memory::Layout;
    use crate::memory::faults::FaultyPages;
    use crate::screen::text::render;
    use std::string::String;

    fn shown(device: &Device<FaultyPages<64>>) -> String {
        std::format!("{}", render(&device.screen(0)))
    }

    #[test]
    fn presses_that_nobody_had_time_for_are_taken_at_their_own_times() {
        let layout = Layout::new(64, 0, 0).unwrap();
        let mut device = Device::start(FaultyPages::blank(), layout, "test", 1);
        let mut changes = Changes::new();
        // Shortly before the interrupt's clock wraps: up, then a centre that was held, while the loop stood still.
        let begun = u64::from(u32::MAX) - 500;
        for (closed, after) in [(0b1, 10), (0, 90), (0b1_0000, 200), (0, 1100)] {
            changes.look(closed, (begun + after) as u32);
        }
        device.keys_from(|| changes.take().filter(|(closed, _)| *closed < 0b1_0000), begun + 150);
        assert!(shown(&device).contains("up works"), "{}", shown(&device));
        changes.look(0b1_0000, (begun + 200) as u32);
        changes.look(0, (begun + 1100) as u32);
        // The last was seen after the time that the loop goes by.
        device.keys_from(|| changes.take(), begun + 1099);
        assert!(device.app().is_some(), "the held centre began a journal: {}", shown(&device));
    }

    #[test]
    fn a_key_that_closes_while_others_are_worked_on_is_not_held() {
        let layout = Layout::new(64, 0, 0).unwrap();
        let mut device = Device::start(FaultyPages::blank(), layout, "test", 1);
        let mut changes = Changes::new();
        changes.look(0b1_0000, 5001);
        device.keys_from(|| changes.take(), 5000);
        assert!(device.app().is_none(), "touched for a moment it begins no journal: {}", shown(&device));
        changes.look(0, 5010);
        device.keys_from(|| changes.take(), 5100);
        assert!(shown(&device).contains("press each key"), "it only bounced: {}", shown(&device));
    }
    #[test]
    fn a_key_that_counts_from_behind_the_time_of_the_picture_has_not_come_far() {
        let layout = Layout::new(64, 0, 0).unwrap();
        let mut device = Device::start(FaultyPages::<64>::blank(), layout, "test", 1);
        let mut changes = Changes::new();
        // The centre, and long enough behind it another contact.
        changes.look(0b1_0000, 5010);
        changes.look(0b1_1000, 5040);
        device.keys_from(|| changes.take(), 5000);
        device.redraw(5000);
        assert_eq!(device.screen(5000).header.hold, 0);
    }
}
