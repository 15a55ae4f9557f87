//! What was measured is looked at, and what is off can be measured or made again right there. It is saved all the same; what
//! is measured again counts instead.

use super::App;
use super::centres::CentresEntry;
use super::entry::Entry;
use super::finding::{self, Again};
use super::job::{Answered, OpenJob};
use super::reading::ReadingEntry;
use super::view::{Choice, View};
use super::words;
use crate::keys::Key;
use crate::memory::Pages;
use crate::screen::{Body, Tone};
use bevelbook_core::record::{Bench, CentreDistance, Reading, Stage};
use bevelbook_core::tolerance::{Limits, Look};

impl<P: Pages> App<P> {
    #[inline(never)]
    pub(super) fn save_reading(&mut self, reading: Reading, now_ms: u64) -> Answered {
        let slip = self.slip(&reading);
        if !self.record(&Bench::Reading(reading), now_ms)? {
            return Ok(());
        }
        let eye = reading.lens.eye;
        let again = Again { eye: Some(eye), reading: Some((eye, reading.stage)) };
        match slip {
            Some(said) => self.view = View::Off { said, again },
            None => self.say_look(self.look_at_reading(&reading), again),
        }
        Ok(())
    }

    /// The likely mistake behind a reading. It is saved all the same; a held left key undoes it.
    fn slip(&self, reading: &Reading) -> Option<Body> {
        let (job, limits) = self.limits()?;
        let eye = reading.lens.eye;
        let slips = limits.slips(eye, &job.card.eyes, reading.read.power());
        slips.first().map(|slip| words::slip(*slip, eye))
    }

    /// What a reading that is saved comes to by the limits of its job.
    #[inline(never)]
    fn look_at_reading(&self, reading: &Reading) -> Look {
        let Some((job, limits)) = self.limits() else { return Look::NotCovered };
        let eye = reading.lens.eye;
        let ordered = job.ordered(eye);
        let read = match reading.stage {
            Stage::Uncut => job.card.order().thinned(job.state().uncut())[eye.index()],
            Stage::Mounted => reading.read(),
        };
        let of_lens = match ordered.wanted.is_judged() {
            true => limits.eye(reading.stage, eye, ordered, &read),
            false => Look::NotCovered,
        };
        // The prism counts for the pair, once all are read that count.
        let measured = job.state().measured();
        let mut eyes = job.wanted().into_iter().zip(&measured.eyes);
        let both = eyes.all(|(wanted, eye)| !wanted.is_paired() || eye.prism.is_some());
        match of_lens {
            Look::Within | Look::NotCovered if reading.stage == Stage::Mounted && both => {
                limits.prism(&job.card.order(), &measured)
            }
            of_lens => of_lens,
        }
    }

    #[inline(never)]
    pub(super) fn save_centres(&mut self, distance: CentreDistance, now_ms: u64) -> Answered {
        if self.record(&Bench::CentreDistance(distance), now_ms)?
            && let Some((job, limits)) = self.limits()
        {
            let look = limits.centres(&job.card.order(), &job.state().measured());
            self.say_look(look, Again { eye: None, reading: None });
        }
        Ok(())
    }

    /// The job in hand and what it is judged by; none where nothing is ordered.
    fn limits(&self) -> Option<(&OpenJob, &Limits)> {
        let job = self.job.as_ref()?;
        Some((job, job.card.limits.as_ref()?))
    }

    /// Says what is to be said of a look, if anything: nothing of what is within, or of what has no figure.
    #[inline(never)]
    fn say_look(&mut self, look: Look, again: Again) {
        if let Some((found, said)) = finding::off(&look) {
            self.view = View::Off { said, again: again.of(&found) };
        } else if look == Look::SeeConsole {
            self.view = View::Notice(finding::see_console(), Tone::Warning);
        }
    }

    /// A short press while something is off.
    #[inline(never)]
    pub(super) fn press_off(&mut self, key: Key, again: Again) -> Answered {
        let Some(job) = &self.job else { return self.back() };
        match key {
            Key::Centre => return self.enter(),
            Key::Left => {
                self.entry = match again.reading {
                    Some((eye, stage)) => Entry::Reading(ReadingEntry::new(job, eye, stage, self.flow())),
                    None => Entry::Centres(CentresEntry::new(job)),
                };
                return self.back();
            }
            Key::Right => {
                // A pair does not say which of its lenses it is.
                let made = again.eye.filter(|eye| job.ordered(*eye).wanted.is_made());
                self.view = made.map_or_else(|| Choice::remake_in_menu(job), View::remake);
            }
            Key::Up | Key::Down => {}
        }
        Ok(())
    }
}
