//! What a buzzer sounds, for ears at a machine: nobody looks up for it, and nobody needs it, since the screen says the same.
//!
//! Known by their rhythm, so that a buzzer of one tone will do.

use crate::app::saved::SavedOrNot;
use crate::screen::{Screen, Tone};

/// Something that is heard.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sound {
    /// A record is saved.
    Saved,
    /// What was asked is refused.
    Refused,
    /// The other eye is in hand now.
    OtherEye,
}

impl Sound {
    /// Milliseconds of sound and of silence, in turn.
    #[must_use]
    pub const fn rhythm(self) -> &'static [u16] {
        match self {
            Self::Saved => &[40],
            Self::Refused => &[90, 60, 90, 60, 90],
            Self::OtherEye => &[40, 60, 160],
        }
    }
}

/// What is to sound, by what shows.
#[derive(Debug, Default)]
pub(super) struct Sounds {
    due: Option<Sound>,
}

impl Sounds {
    /// What is to sound since this was last asked.
    pub(super) const fn take(&mut self) -> Option<Sound> {
        self.due.take()
    }

    /// Compares what showed with what shows now, and what was logged meanwhile. What says more goes before. A number that a page did not
    /// keep is no record, so it goes by what the application says of its facts.
    pub(super) fn hear(&mut self, before: Option<&Screen>, now: &Screen, logged: SavedOrNot) {
        let Some(before) = before else { return };
        let other = |eye| before.header.eye.is_some_and(|was| was != eye);
        if logged.not || now.tone == Tone::Refusal && before.tone != Tone::Refusal {
            self.due = Some(Sound::Refused);
        } else if now.header.eye.is_some_and(other) {
            self.due = Some(Sound::OtherEye);
        } else if logged.saved {
            self.due = Some(Sound::Saved);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::device::{Device, State};
    use crate::keys::{Key, Press};
    use crate::memory::Layout;
    use crate::memory::faults::FaultyPages;
    use bevelbook_core::prescription::Eye;

    #[test]
    fn what_is_saved_sounds_once_and_a_step_through_a_menu_does_not() {
        let layout = Layout::new(64, 0, 0).unwrap();
        let mut device = Device::start(FaultyPages::<64>::blank(), layout, "test", 1);
        let mut pressed = |press| {
            device.press(press, 0);
            device.redraw(0);
            let sound = device.sound();
            assert_eq!(device.sound(), None, "told once");
            sound
        };
        let centre = Press::short(Key::Centre);
        // A log is begun, the menu opened, and in it what opens a job here.
        assert_eq!([Press::long(Key::Centre); 2].map(&mut pressed), [None; 2]);
        assert_eq!([Press::short(Key::Down); 6].map(&mut pressed), [None; 6]);
        assert_eq!([centre; 2].map(&mut pressed), [None, Some(Sound::Saved)]);
    }

    #[test]
    fn what_no_page_keeps_sounds_refused_and_not_saved() {
        let layout = Layout::new(64, 0, 0).unwrap();
        let mut device = Device::start(FaultyPages::<64>::blank(), layout, "test", 1);
        let press = |device: &mut Device<FaultyPages<64>>, press| {
            device.press(press, 0);
            device.redraw(0);
            device.sound()
        };
        let [down, centre, held] =
            [Press::short(Key::Down), Press::short(Key::Centre), Press::long(Key::Centre)];
        for key in [held, held, down, down, down, down, down, down, centre] {
            press(&mut device, key);
        }
        let State::Open(app, _) = &mut device.state else { panic!("no journal is begun") };
        (0..64).for_each(|page| app.memory.pages.stick(page));
        assert_eq!(press(&mut device, centre), Some(Sound::Refused));
    }

    #[test]
    fn what_says_more_goes_before_and_a_refusal_that_stands_is_silent() {
        let device = Device::new(FaultyPages::<64>::blank(), Layout::new(64, 0, 0).unwrap(), "test", 1);
        let mut sounds = Sounds::default();
        let mut heard = |before: &Screen, now: &Screen, saved, not| {
            sounds.hear(Some(before), now, SavedOrNot { saved, not });
            sounds.take()
        };
        let of = |eye, tone| {
            let mut screen = device.screen(0);
            (screen.header.eye, screen.tone) = (eye, tone);
            screen
        };
        let [right, left] = [Eye::Right, Eye::Left].map(|eye| of(Some(eye), Tone::Plain));
        let stop = of(Some(Eye::Right), Tone::Refusal);
        let none = of(None, Tone::Plain);
        assert_eq!(heard(&none, &right, false, false), None, "nothing was logged meanwhile");
        assert_eq!(heard(&right, &right, true, false), Some(Sound::Saved));
        assert_eq!(heard(&right, &left, true, false), Some(Sound::OtherEye));
        assert_eq!(heard(&left, &none, false, false), None);
        assert_eq!(heard(&right, &stop, false, false), Some(Sound::Refused));
        assert_eq!(heard(&stop, &stop, false, false), None);
        assert_eq!(
            heard(&stop, &stop, false, true),
            Some(Sound::Refused),
            "nothing was saved, whatever else shows"
        );
    }
}
