//! What held keys do on the screen that shows, so that it stands there; the beat when the eye in hand changes; and presses that are
//! ignored.

use super::App;
use super::entry::Entry;
use super::view::View;
use crate::memory::Pages;
use crate::screen::{Held, HeldKeys};
use bevelbook_core::prescription::Eye;

/// How long the eye alone shows when it changes, in milliseconds.
pub(super) const BEAT_MS: u64 = 500;

/// How long it shows that a press was ignored, in milliseconds: longer than the eye alone does.
const TOO_FAST_MS: u64 = 2 * BEAT_MS;

impl<P: Pages> App<P> {
    /// Whether it ignores a press, since that comes too soon behind one that was recorded; this then shows for a moment.
    pub(super) const fn ignores(&mut self, now_ms: u64) -> bool {
        let too_fast = now_ms < self.locked_until_ms;
        self.too_fast_until_ms = if too_fast { now_ms + TOO_FAST_MS } else { 0 };
        too_fast
    }

    /// What held keys do here.
    pub(super) fn held(&self) -> HeldKeys {
        let can_undo = self.job.as_ref().is_some_and(|job| job.last.is_some());
        let undo = if can_undo { Held::Undo } else { Held::Nothing };
        let (left, centre) = match &self.view {
            View::Step if { self.entry }.back() || self.is_beside_the_line() => (Held::Back, Held::Menu),
            View::Step => (undo, Held::Menu),
            View::Notice(..) | View::Off { .. } => (undo, Held::Nothing),
            View::Jobs { .. } if self.job.is_none() => (Held::Nothing, Held::Menu),
            View::Jobs { .. } => (Held::Back, Held::Menu),
            View::Guard(_) => (Held::Back, Held::Insist),
            View::Menu(_) | View::Rims(_) | View::Station(_) | View::Remake { .. } => {
                (Held::Back, Held::Nothing)
            }
            View::Silent { .. } => (Held::Nothing, Held::Nothing),
        };
        let sizes = matches!((&self.view, &self.entry), (View::Step, Entry::Sizing(_)));
        HeldKeys { up: if sizes { Held::Stopped } else { Held::Nothing }, left, centre }
    }

    /// The eye in hand.
    pub(super) const fn eye(&self) -> Option<Eye> {
        self.view.eye(&self.entry)
    }

    /// Begins the beat when another eye is in hand than before in this job.
    pub(super) fn mind_eye(&mut self, now_ms: u64) {
        let Some(eye) = self.eye() else { return };
        if self.last_eye.replace(eye).is_some_and(|before| before != eye) {
            self.beat_until_ms = now_ms + BEAT_MS;
        }
    }

    /// Whether the eye alone shows. Keys act on what stands behind it: that is what the hand expects next.
    pub(super) const fn beats(&self, now_ms: u64) -> bool {
        self.eye().is_some() && now_ms < self.beat_until_ms
    }
}
