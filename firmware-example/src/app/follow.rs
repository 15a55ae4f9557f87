//! What the console changes while somebody works: cards come and go, jobs are filed, the station is stated.

use super::entry::Entry;
use super::job::{self, Answered, OpenJob};
use super::sizing::SizingEntry;
use super::view::View;
use super::{App, MARK_MS};
use crate::log;
use crate::memory::Pages;
use bevelbook_core::link::{End, MAX_WIRE};
use bevelbook_core::record::{PairId, Step};
use bevelbook_core::sizing::Sizing;

impl<P: Pages> End for App<P> {
    fn feed(&mut self, bytes: &[u8], now_ms: u64) {
        let (revision, cards, dropped) =
            (self.card_revision(), self.memory.card_changes(), self.session.dropped());
        let station = self.memory.station();
        self.session.feed(&mut self.memory, bytes, now_ms);
        let dropped_now = self.session.dropped();
        // Told when the number has doubled, so that a noisy line does not fill the log.
        if dropped.leading_zeros() != dropped_now.leading_zeros() {
            log::line!(warn, "line: {=u32} runs of bytes dropped", dropped_now);
        }
        let changed = [
            self.memory.card_changes() != cards,
            self.card_revision() != revision,
            self.memory.station() != station,
        ];
        let followed = self.follow(changed);
        self.show_silence(&followed);
        self.mind_eye(now_ms);
    }

    fn poll_transmit<'b>(&mut self, buffer: &'b mut [u8; MAX_WIRE], now_ms: u64) -> Option<&'b [u8]> {
        if self.is_silent() && now_ms >= self.again_ms {
            self.ask_again(now_ms);
        }
        if now_ms >= self.mark_ms {
            self.mark_ms = now_ms + MARK_MS;
            // A hint, which is written again.
            let _ = self.memory.mark();
        }
        self.session.poll_transmit(&mut self.memory, buffer, now_ms)
    }
}

impl<P: Pages> App<P> {
    /// Takes up what changed: cards came or went, that of the job in hand among them, or the station reads otherwise.
    fn follow(&mut self, [came_or_went, of_job, station]: [bool; 3]) -> Answered {
        // With a page that does not answer all is told anew anyway, as soon as it does.
        if self.is_silent() {
            return Ok(());
        }
        if came_or_went {
            self.follow_filing()?;
        }
        if of_job {
            self.refresh()?;
        }
        if station {
            self.follow_station()?;
        }
        if came_or_went && matches!(self.view, View::Jobs { .. }) {
            self.choose_job()?;
        }
        Ok(())
    }

    fn card_revision(&self) -> Option<u32> {
        let id = self.job.as_ref()?.id();
        self.memory.find_card(id).map(|card| card.revision)
    }

    /// A card of the job in hand came or went. What is being entered stays, as long as it is still asked for; an
    /// advised size is advised anew when somebody else logged a pass of that lens.
    #[inline(never)]
    fn refresh(&mut self) -> Answered {
        let Some((id, told)) = self.job.as_ref().map(|job| (job.id(), job.told)) else { return Ok(()) };
        let before = self.job.as_ref().map(|job| self.asked(job));
        self.load(id)?;
        // What the console took away is closed there: nothing more is asked for, whatever of it is still to be told.
        if told {
            self.job.take_if(|job| !job.told);
        }
        let after = self.job.as_ref().map(|job| self.asked(job));
        if after.is_none() {
            return self.choose_job();
        }
        if before != after {
            self.begin_step()?;
            if matches!(self.view, View::Guard(_) | View::Remake { .. }) {
                self.back()?;
            }
        }
        Ok(())
    }

    /// Where the job in hand has become an order's, that order is in hand from now on.
    #[inline(never)]
    fn follow_filing(&mut self) -> Answered {
        if self.load_owner()? {
            self.begin_step()?;
            if !matches!(self.view, View::Menu(_) | View::Jobs { .. }) {
                self.back()?;
            }
        }
        Ok(())
    }

    /// Takes the order that the job in hand is filed under in hand. Whether there is one.
    pub(super) fn load_owner(&mut self) -> Answered<bool> {
        let own = self.job.as_ref().filter(|job| !job.told).map(OpenJob::id);
        let Some(own) = own else { return Ok(false) };
        let Some(owner) = job::owner(&mut self.memory, own)? else { return Ok(false) };
        self.load(owner)?;
        Ok(true)
    }

    /// The console said something else of the station. A size that is being changed stays, as long as it reads as it did.
    fn follow_station(&mut self) -> Answered {
        let dial = job::dial(&mut self.memory)?;
        match self.entry {
            Entry::Sizing(entry) if entry.is_changing() && Some(entry.dial) == dial => {}
            Entry::Sizing(SizingEntry { eye, .. }) | Entry::NoDial(eye) => {
                self.begin_sizing(eye)?;
                if matches!(self.view, View::Step | View::Guard(_)) {
                    self.back()?;
                }
            }
            _ => {}
        }
        Ok(())
    }

    /// What the screen of a step rests on.
    fn asked(&self, job: &OpenJob) -> (Step, PairId, Option<Sizing>) {
        let sizing = match &self.entry {
            Entry::Sizing(entry) if !entry.is_changing() => Some(job.state().lens(entry.eye).sizing),
            _ => None,
        };
        (self.step_of(job), job.state().pair, sizing)
    }
}
