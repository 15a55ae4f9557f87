//! What shows, when it is to be drawn anew, and how far a held key has come toward its long press.

use super::begin::{self, Closed};
use super::sound::Sound;
use super::{Device, State, restarts};
use crate::app::saved::SavedOrNot;
use crate::keys::HOLD_MS;
use crate::log;
use crate::memory::Pages;
use crate::screen::{Answers, Canvas, HOLD_STEPS, Held, Screen, graphics};

/// How often the screen is looked at anew when nothing happened: the console may have gone.
pub(super) const LOOK_MS: u64 = 500;

impl<P: Pages> Device<P> {
    /// What shows now.
    #[must_use]
    pub fn screen(&self, now_ms: u64) -> Screen {
        let mut screen = match &self.state {
            _ if self.restarts > 0 => restarts::screen(self.restarts),
            State::Open(app, None) => app.screen(now_ms),
            State::Open(app, Some(found)) => found.over(app.screen(now_ms)),
            State::Closed(closed) => closed.screen(),
            State::Between => begin::between(),
        };
        screen.header.hold = self.hold(&screen.answers, now_ms);
        screen
    }

    /// Whether what shows differs from what was drawn last, as far as this call can tell; it then is to be drawn. It
    /// costs next to nothing when nothing happened.
    pub fn redraw(&mut self, now_ms: u64) -> bool {
        if now_ms >= self.look_ms {
            self.try_again();
            if self.look(now_ms) {
                return true;
            }
        }
        self.grow(now_ms)
    }

    /// What is to sound since this was last asked, where there is a buzzer.
    pub const fn sound(&mut self) -> Option<Sound> {
        self.sounds.take()
    }

    /// A chip that did not answer may have been disturbed for a while. Apart: going to work needs a deep stack, and what is
    /// looked at is not to lie there then.
    #[inline(never)]
    fn try_again(&mut self) {
        self.try_closed(Closed::open_if_silent);
    }

    /// How far a key that is held has come toward its long press, in [`HOLD_STEPS`], where that does something.
    fn hold(&self, answers: &Answers, now_ms: u64) -> u8 {
        let Some((key, ms)) = self.keys.holding(now_ms as u32) else { return 0 };
        let does = self.app().is_none() || answers.held(key) != Held::Nothing;
        // A press that is not to be a long one is over before it shows.
        if !does || ms < HOLD_MS / 4 {
            return 0;
        }
        (ms * u32::from(HOLD_STEPS) / HOLD_MS).min(HOLD_STEPS.into()) as u8
    }

    /// Follows the key that is held; whether that changes the header of what shows.
    fn grow(&mut self, now_ms: u64) -> bool {
        let hold = self.shown.as_ref().map_or(0, |shown| self.hold(&shown.answers, now_ms));
        let grown =
            self.shown.as_mut().is_some_and(|shown| core::mem::replace(&mut shown.header.hold, hold) != hold);
        self.only_header |= grown;
        grown
    }

    #[inline(never)]
    fn look(&mut self, now_ms: u64) -> bool {
        self.look_ms = now_ms + LOOK_MS;
        let screen = self.screen(now_ms);
        if self.shown.as_ref() == Some(&screen) {
            return false;
        }
        let console = screen.header.console;
        if console != self.shown.as_ref().is_some_and(|shown| shown.header.console) {
            log::line!(info, "console here: {=bool}", console);
        }
        let logged = match &mut self.state {
            State::Open(app, _) => core::mem::take(&mut app.logged),
            State::Closed(_) | State::Between => SavedOrNot::default(),
        };
        self.sounds.hear(self.shown.as_ref(), &screen, logged);
        self.shown = Some(screen);
        self.only_header = false;
        true
    }

    /// Draws what [`Device::redraw`] last found, always on the same canvas: at times the header alone.
    pub fn draw(&self, canvas: &mut Canvas) {
        match &self.shown {
            Some(screen) if self.only_header => graphics::draw_header(screen, canvas),
            Some(screen) => graphics::draw(screen, canvas),
            None => {}
        }
    }
}
