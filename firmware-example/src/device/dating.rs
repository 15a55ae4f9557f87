//! The device and a clock chip: what it said dates what is logged, and a console sets it.
//!
//! What it said is told once, as the keypad is started. It is kept beside the memory that is open until the first record of this start is to
//! be saved, and then stands before it, so that a start in which nothing is logged writes nothing.
//!
//! ```text
//! chip.read().map(|utc_s| device.clock(utc_s));               // once, when the device was started
//! device.told_utc_s(now_ms).map(|utc_s| chip.set(utc_s));     // in the board's loop: about once a minute it is told
//! ```

use super::begin::Found;
use super::{Device, State};
use crate::log;
use crate::memory::Pages;
use bevelbook_core::record::Clock;

impl<P: Pages> Device<P> {
    /// Takes what a clock chip said as the keypad was started: seconds since 1970-01-01 UTC, none where it stood still or was
    /// never set. It dates what is logged until the next start where no console does; the chip is set by
    /// [`Device::told_utc_s`]. A board without a chip, or whose chip does not answer, has nothing to say.
    pub fn clock(&mut self, utc_s: Option<u32>) {
        self.clock = Some(Clock { utc_s });
        self.date();
    }

    pub(super) fn date(&mut self) {
        if let State::Open(app, found) = &mut self.state
            && let Some(clock) = self.clock
        {
            app.memory.started_at(clock);
            log::line!(info, "the clock knows the time: {=bool}", clock.utc_s.is_some());
            if clock.utc_s.is_none() {
                found.get_or_insert(Found::ClockStood);
            }
        }
    }

    /// The time once each time a console tells it, in seconds since 1970-01-01 UTC: what a clock chip is set to.
    pub fn told_utc_s(&mut self, now_ms: u64) -> Option<u32> {
        match &mut self.state {
            State::Open(app, _) => app.told_utc_s(now_ms),
            State::Closed(_) | State::Between => None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::tests::{Bench, Faulty};
    use super::*;
    use crate::keys::Key;
    use bevelbook_core::record::Bench as Fact;

    #[test]
    fn what_a_clock_said_is_kept_whatever_the_memory_is_like_when_it_is_told() {
        let mut pages = Faulty::blank();
        let mut bench = Bench::on(&mut pages, 7);
        bench.device.clock(Some(1_795_867_200));
        bench.assert_shows("first start");
        bench.hold(Key::Centre);
        bench.assert_shows("no job here");
        bench.work();
        drop(bench);
        let mut bench = Bench::on(&mut pages, 8);
        bench.device.clock(None);
        bench.assert_shows("clock stood still");
        bench.press(Key::Centre);
        bench.assert_shows("sphere line");
        bench.press(Key::Centre);
        let mut said = |seq| match &mut bench.device.state {
            State::Open(app, _) => app.record_at(seq).unwrap().unwrap().fact().unwrap(),
            _ => panic!("it is open"),
        };
        assert_eq!(said(1), Fact::Clock(Clock { utc_s: Some(1_795_867_200) }));
        assert!(!matches!(said(2), Fact::Clock(_)));
    }
}
