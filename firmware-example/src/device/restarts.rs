//! What is said when defects that follow on each other started the board again.

use crate::screen::{Answers, Body, Header, Screen, Tone};

/// After so many in a row.
pub(super) fn screen(in_a_row: u8) -> Screen {
    let times = in_a_row.min(99);
    let said =
        format_args!("by a defect, {times} times\nwhat was saved stays.\nits log says where\nthe defect is");
    let body = Body::message("restarted by itself", said);
    Screen { header: Header::default(), body, answers: Answers::centre("OK"), tone: Tone::Warning }
}

#[cfg(test)]
mod tests {
    use super::super::Device;
    use crate::defect::MANY;
    use crate::keys::{Key, Press};
    use crate::memory::Layout;
    use crate::memory::faults::FaultyPages;
    use crate::screen::cut;
    use crate::screen::text::render;

    #[test]
    fn they_are_told_before_the_memory_is_opened_until_they_were_seen() {
        let shows = |device: &Device<FaultyPages<64>>, what: &str| {
            let shown = std::format!("{}", render(&device.screen(0)));
            assert!(shown.contains(what), "no `{what}` on\n{shown}");
        };
        let layout = Layout::new(64, 0, 0).unwrap();
        let mut device = Device::new(FaultyPages::blank(), layout, "test", 8);
        assert!(!device.restarted(MANY - 1));
        shows(&device, "memory is silent");
        cut::take();
        assert!(device.restarted(u8::MAX) && device.shown.is_some(), "it can be drawn");
        shows(&device, "by a defect, 99 times");
        device.open();
        device.press(Press::short(Key::Up), 10);
        shows(&device, "by a defect, 99 times");
        device.press(Press::short(Key::Centre), 20);
        assert_eq!(cut::take(), [""; 0]);
        shows(&device, "first start");
    }
}
