//! A key that is held shows how far it has come toward its long press: in the header alone, which is cheap to draw.

use super::Device;
use crate::keys::HOLD_MS;
use crate::memory::Pages;
use crate::screen::{Answers, HOLD_STEPS, Held};

impl<P: Pages> Device<P> {
    /// How far a key that is held has come, in [`HOLD_STEPS`], where a long press of it does something.
    pub(super) fn hold(&self, answers: &Answers, now_ms: u64) -> u8 {
        let does = |key| self.app().is_none() || answers.held(key) != Held::Nothing;
        let held = self.keys.holding(now_ms as u32);
        // A press that is not to be a long one is over before it shows.
        let long = held.filter(|(key, ms)| *ms >= HOLD_MS / 4 && does(*key)).map_or(0, |(_, ms)| ms);
        (long * u32::from(HOLD_STEPS) / HOLD_MS).min(HOLD_STEPS.into()) as u8
    }

    /// Follows the key that is held; whether that changes the header of what shows.
    pub(super) fn grow(&mut self, now_ms: u64) -> bool {
        let hold = self.shown.as_ref().map_or(0, |shown| self.hold(&shown.answers, now_ms));
        self.only_header = true;
        self.shown.as_mut().is_some_and(|shown| core::mem::replace(&mut shown.header.hold, hold) != hold)
    }
}
