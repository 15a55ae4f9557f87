//! Choosing: a job, something else to do, the rim of a new job, the dial.

use super::job::{self, Answered, OpenJob};
use super::station::StationEntry;
use super::view::{CARDS, Choice, JOBS, JobLine, OWN_JOBS, View, WHYS};
use super::{App, LOCK_OUT_MS, finding, words};
use crate::keys::Key;
use crate::memory::{Pages, Subject};
use crate::screen::{Body, Tone};
use bevelbook_core::record::{Bench, JobId, Opened, Progress, RecordId, StationEvent};
use bevelbook_core::sizing::Rim;
use heapless::Vec;

impl<P: Pages> App<P> {
    /// What is ordered; the centre goes on.
    pub(super) fn show_order(&mut self) {
        if let Some(job) = &self.job {
            self.view = View::Notice(words::ordered(job), Tone::Plain);
        }
    }

    /// Offers the jobs that the keypad has cards of, by the days on which they are due, and behind them those opened here, newest first.
    #[inline(never)]
    pub(super) fn choose_job(&mut self) -> Answered {
        let before = match &self.view {
            View::Jobs { jobs, selected } => jobs.get(*selected).map(|job| job.id),
            _ => self.job.as_ref().map(OpenJob::id),
        };
        self.list_none();
        for id in self.memory.card_jobs().into_iter().take(CARDS) {
            let heading = job::heading(&mut self.memory, id)?;
            if let Some(heading) = heading.filter(|heading| !heading.gone) {
                // The console tells of a job when it is put away.
                let in_hand = self.job.as_ref().filter(|job| job.id() == id);
                let done = in_hand.map_or(heading.progress == Progress::Done, |job| {
                    self.outstanding(job).is_empty() && finding::is_good(job)
                });
                self.list(JobLine::new(id, &heading, done));
            }
        }
        if let View::Jobs { jobs, .. } = &mut self.view {
            sort(jobs);
        }
        self.add_own()?;
        if let View::Jobs { jobs, selected } = &mut self.view {
            *selected = before.and_then(|id| jobs.iter().position(|job| job.id == id)).unwrap_or(0);
        }
        Ok(())
    }

    /// Shows a list of no jobs yet: it grows where it stands, and not on the stack.
    #[inline(never)]
    fn list_none(&mut self) {
        self.view = View::Jobs { jobs: Vec::new(), selected: 0 };
    }

    #[inline(never)]
    fn list(&mut self, line: JobLine) {
        if let View::Jobs { jobs, .. } = &mut self.view {
            // There is room for both bounds.
            let _ = jobs.push(line);
        }
    }

    fn listed(&self) -> &[JobLine] {
        match &self.view {
            View::Jobs { jobs, .. } => jobs,
            _ => &[],
        }
    }

    /// Adds the newest jobs that were opened here, as far back as the journal reads, unless the console sent a card of
    /// them or of the order that they are filed under.
    fn add_own(&mut self) -> Answered {
        let most = (self.listed().len() + OWN_JOBS).min(JOBS);
        let mut seq = self.memory.next();
        while seq > self.memory.oldest() && self.listed().len() < most {
            seq -= 1;
            if let Some(Bench::Opened(Opened { job: id, .. })) =
                job::fact_about(&mut self.memory, seq, Subject::Opened)?
                && self.memory.find_card(id).is_none()
                && !self.listed().iter().any(|job| job.stands_for(id))
            {
                self.list(JobLine::own(id));
            }
        }
        Ok(())
    }

    /// The job of the newest own record, unless that only spoke of the station; the order that it is filed under, if any.
    #[inline(never)]
    pub(super) fn job_in_hand(&mut self) -> Answered<Option<JobId>> {
        /// How far back is looked: what is older was hardly in hand.
        const BACK: u32 = 16;
        let next = self.memory.next();
        for seq in (self.memory.oldest().max(next.saturating_sub(BACK))..next).rev() {
            let Some(id) = job::own_fact(&mut self.memory, seq)?.as_ref().and_then(Bench::job) else {
                continue;
            };
            if self.memory.find_card(id).is_some() {
                return Ok(Some(id));
            }
            self.choose_job()?;
            let View::Jobs { jobs, .. } = &self.view else { break };
            let listed = jobs.iter().find(|job| job.stands_for(id)).map(|job| job.id);
            return Ok(listed.or((seq > self.memory.acknowledged()).then_some(id)));
        }
        Ok(None)
    }

    /// A short press on something to choose.
    #[inline(never)]
    pub(super) fn press_choice(&mut self, key: Key, now_ms: u64) -> Answered {
        match (&mut self.view, key) {
            (View::Off { again, .. }, _) => {
                let again = *again;
                return self.press_off(key, again);
            }
            (View::Station(entry), _) => {
                if let Some(dial) = entry.press(key) {
                    return self.station(StationEvent::Dial(dial), "station set", now_ms);
                }
            }
            (_, Key::Centre) => return self.choose(now_ms),
            (View::Jobs { jobs, selected }, _) => step(selected, jobs.len(), key),
            (View::Menu(selected), _) => step(selected, Choice::offered(self.job.as_ref()).len(), key),
            (View::Rims(selected), _) => step(selected, Rim::ALL.len(), key),
            (View::Remake { selected, .. }, _) => step(selected, WHYS, key),
            (View::Step | View::Notice(..) | View::Guard(_) | View::Silent { .. }, _) => {}
        }
        Ok(())
    }

    /// The chosen item of a list is taken.
    fn choose(&mut self, now_ms: u64) -> Answered {
        match &self.view {
            View::Jobs { jobs, selected } => match jobs.get(*selected).map(|job| job.id) {
                Some(id) => self.open(id),
                None => Ok(()),
            },
            View::Menu(selected) => match Choice::offered(self.job.as_ref()).get(*selected) {
                Some(choice) => self.take(*choice, now_ms),
                None => self.back(),
            },
            View::Rims(selected) => self.open_new(Rim::ALL[*selected % Rim::ALL.len()], now_ms),
            View::Remake { eye, selected } => self.spoil(*eye, *selected, now_ms),
            _ => Ok(()),
        }
    }

    #[inline(never)]
    fn take(&mut self, choice: Choice, now_ms: u64) -> Answered {
        match choice {
            Choice::Skip => return self.skip(),
            Choice::OtherJob => return self.choose_job(),
            Choice::NewJob => self.view = View::Rims(0),
            Choice::NewLens(eye) if self.job.is_some() => {
                // The finger that chose it shall not answer as well.
                self.locked_until_ms = now_ms + LOCK_OUT_MS;
                self.view = View::remake(eye);
            }
            Choice::GrindAgain(eye) => {
                self.begin_sizing(eye)?;
                return self.back();
            }
            Choice::Read(eye) => {
                self.begin_reading(eye);
                return self.back();
            }
            Choice::Order => self.show_order(),
            Choice::Keys => self.view = View::Notice(words::keys(), Tone::Plain),
            Choice::NewLens(_) | Choice::Back => return self.back(),
            Choice::StateDial => return self.state_dial(),
            Choice::NewWheel => return self.station(StationEvent::NewWheel, "new wheel: noted", now_ms),
            Choice::Recalibrated => {
                return self.station(StationEvent::Recalibrated, "recalibrated: noted", now_ms);
            }
        }
        Ok(())
    }

    /// Asks how the machine's size reads.
    pub(super) fn state_dial(&mut self) -> Answered {
        let dial = job::dial(&mut self.memory)?;
        self.view = View::Station(StationEntry::new(dial));
        Ok(())
    }

    #[inline(never)]
    fn station(&mut self, event: StationEvent, said: &str, now_ms: u64) -> Answered {
        if self.save(&Bench::Station(event), now_ms)? {
            self.view = View::Notice(Body::message(said, "centre: go on"), Tone::Plain);
        }
        Ok(())
    }

    /// Opens a job without an order; the console files it afterwards. Its identity comes from the record that opens it.
    #[inline(never)]
    fn open_new(&mut self, rim: Rim, now_ms: u64) -> Answered {
        let opening = RecordId { journal: self.memory.journal(), seq: self.memory.next() };
        let job = JobId::opened_by(opening);
        self.job = None;
        if self.save(&Bench::Opened(Opened { job, rim }), now_ms)? {
            self.open(job)?;
        }
        Ok(())
    }
}

/// Up and down a list, and round at its ends.
const fn step(selected: &mut usize, count: usize, key: Key) {
    let last = count.saturating_sub(1);
    *selected = match key {
        Key::Up if *selected == 0 => last,
        Key::Up => *selected - 1,
        Key::Down if *selected >= last => 0,
        Key::Down => *selected + 1,
        Key::Left | Key::Right | Key::Centre => *selected,
    };
}

/// By their places. Twelve at most, so that the library's way, in code and stack, would cost more than it saves.
fn sort(jobs: &mut [JobLine]) {
    for end in 1..jobs.len() {
        let mut at = end;
        while at > 0 && jobs[at].place() < jobs[at - 1].place() {
            jobs.swap(at, at - 1);
            at -= 1;
        }
    }
}
