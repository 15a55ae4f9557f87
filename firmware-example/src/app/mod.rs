//! The keypad application: presses in, records and screens out.
//!
//! **A line, not menus.** The next expected step of the job always stands on the screen, and the expected answer is one
//! press. The eye changes by itself, and is all that shows for a moment. While sizing, the four arrows are what the hand
//! felt: up much too big, right a touch too big, down fits, left loose; the centre changes the size first, and there the
//! guard acts. Readings stand at what is ordered: the centre says "sharp here", the arrows nudge first.
//!
//! Held keys: left goes back one figure of what is being entered, and at its first figure undoes the last record of this
//! job (by a record that voids it); the centre offers everything else, and what is being entered waits behind it; up while
//! sizing says that the pass was broken off.
//!
//! A record is saved, and only then shown as done, when the memory has written and read it back. The application does
//! no input or output of its own: [`App::press`], [`App::screen`], and bytes as an [`End`](bevelbook_core::link::End) of
//! the link, with the time in milliseconds since the keypad was started as an argument.

mod back;
mod centres;
mod choose;
mod entry;
mod finding;
mod follow;
mod job;
mod legend;
mod line;
mod mark;
mod off;
mod reading;
pub(crate) mod saved;
mod screens;
mod silence;
mod sizing;
mod station;
mod store;
#[cfg(test)]
mod tests;
mod view;
mod words;

use crate::keys::{Key, Press};
use crate::log;
use crate::memory::{AppendError, Memory, Pages, Urgency};
use crate::screen::{Answers, Body, Header, Line, Screen, Tone};
use bevelbook_core::link::KeypadSession;
use bevelbook_core::prescription::Eye;
use bevelbook_core::record::{Bench, JobId, JobState, STEPS, Step, Stored};
use bevelbook_core::sizing::{Advice, Dial};
use entry::Entry;
use heapless::Vec;
use job::{Answered, OpenJob, Unanswered};
use saved::SavedOrNot;
use view::View;

/// How long presses are ignored after an outcome was recorded, in milliseconds: a wet finger presses twice.
pub const LOCK_OUT_MS: u64 = 300;

/// How long what the console acknowledged may stay without a mark, in milliseconds: a power cut soon after the last record is
/// to find it told, and its pages are to wear no faster than others.
const MARK_MS: u64 = 600_000;

/// The application over its memory.
#[derive(Debug)]
pub struct App<P: Pages> {
    pub(crate) memory: Memory<P>,
    pub(crate) logged: SavedOrNot,
    session: KeypadSession,
    job: Option<OpenJob>,
    /// The step of the job in hand that stands there, behind whatever else shows, with what is entered so far.
    entry: Entry,
    view: View,
    /// Outstanding steps of the job in hand that are passed over.
    skipped: Vec<Step, STEPS>,
    /// The dial by which a size was last shown.
    read_by: Option<Dial>,
    /// Presses before this time are ignored.
    locked_until_ms: u64,
    /// Until when it shows that one was.
    too_fast_until_ms: u64,
    /// When a page that does not answer is asked again.
    again_ms: u64,
    /// When it is marked again how far the console has everything.
    mark_ms: u64,
    /// The eye that was in hand last in this job.
    last_eye: Option<Eye>,
    /// Until when the eye in hand is all that shows.
    beat_until_ms: u64,
}

impl<P: Pages> App<P> {
    /// Starts on an open memory, at the job that was in hand last. `name` is what the console shows until the keypad is
    /// adopted.
    #[must_use]
    pub fn new(memory: Memory<P>, name: &str) -> Self {
        let mut app = Self::idle(memory, name);
        app.resume();
        app
    }

    /// With no job in hand yet; [`App::resume`] is to follow. Apart, so that it can be put in its place first: what
    /// looks for the job needs a deep stack, and moving an application does too.
    pub(crate) fn idle(memory: Memory<P>, name: &str) -> Self {
        let session = KeypadSession::new(name, env!("CARGO_PKG_VERSION"));
        let (entry, view) = (Entry::Done, View::Menu(0));
        let skipped = Vec::new();
        let (job, read_by, locked_until_ms, again_ms, mark_ms) = (None, None, 0, 0, MARK_MS);
        let (last_eye, beat_until_ms, too_fast_until_ms) = (None, 0, 0);
        Self {
            memory,
            logged: SavedOrNot::default(),
            session,
            job,
            entry,
            view,
            skipped,
            read_by,
            locked_until_ms,
            too_fast_until_ms,
            again_ms,
            mark_ms,
            last_eye,
            beat_until_ms,
        }
    }

    /// Takes the job in hand up again, or asks for one.
    pub(crate) fn resume(&mut self) {
        let resumed = self.try_resume();
        self.show_silence(&resumed);
    }

    fn try_resume(&mut self) -> Answered {
        match self.job_in_hand()? {
            Some(id) => self.open(id),
            // On the way the jobs were listed already.
            None if matches!(self.view, View::Jobs { .. }) => Ok(()),
            None => self.choose_job(),
        }
    }

    /// The memory, for looking it over.
    #[must_use]
    pub const fn memory(&self) -> &Memory<P> {
        &self.memory
    }

    /// The state of the job in hand, as the bench is advised by it.
    #[must_use]
    pub fn in_hand(&self) -> Option<&JobState> {
        self.job.as_ref().map(OpenJob::state)
    }

    /// The time once each time a console tells it, in seconds since 1970-01-01 UTC.
    pub(crate) fn told_utc_s(&mut self, now_ms: u64) -> Option<u32> {
        let utc_ms = self.session.take_told_utc_ms(now_ms)?;
        u32::try_from((utc_ms.checked_add(500)?) / 1000).ok()
    }

    /// What the book tells of the job in hand, as its card has it.
    #[must_use]
    pub fn told_by_book(&self) -> Option<&Advice> {
        self.job.as_ref()?.known(Eye::Right).advice
    }

    /// The record of that number; none for a gap.
    ///
    /// # Errors
    /// The memory does not answer.
    pub fn record_at(&mut self, seq: u32) -> Result<Option<Stored>, P::Error> {
        self.memory.read(seq)
    }

    /// Gives the memory back.
    #[must_use]
    pub fn into_memory(self) -> Memory<P> {
        self.memory
    }

    /// Takes a press.
    pub fn press(&mut self, press: Press, now_ms: u64) {
        if self.ignores(now_ms) {
            return;
        }
        if self.is_silent() {
            return self.ask_again(now_ms);
        }
        self.beat_until_ms = 0;
        let taken = self.take_press(press, now_ms);
        self.show_silence(&taken);
        self.mind_eye(now_ms);
    }

    fn take_press(&mut self, press: Press, now_ms: u64) -> Answered {
        match (press, &self.view) {
            (Press { key: Key::Left, held: true }, _) => return self.go_back(now_ms),
            (Press { key: Key::Centre, held: true }, View::Guard(_)) => return self.insist(),
            (Press { key: Key::Centre, held: true }, View::Step | View::Jobs { .. }) => {
                self.view = View::Menu(0);
            }
            (Press { key: Key::Up, held: true }, View::Step) => return self.broken_off(now_ms),
            (Press { held: true, .. }, _) => {}
            (Press { key, .. }, View::Step) => return self.press_step(key, now_ms),
            (Press { key: Key::Centre, .. }, View::Notice(..)) => return self.enter(),
            (Press { key: Key::Centre, .. }, View::Guard(_)) => return self.back(),
            (Press { .. }, View::Notice(..) | View::Guard(_)) => {}
            (Press { key, .. }, _) => return self.press_choice(key, now_ms),
        }
        Ok(())
    }

    /// When it is to be asked again at the latest what it transmits.
    #[must_use]
    pub fn next_deadline(&self, now_ms: u64) -> Option<u64> {
        let sends = self.session.next_deadline(&self.memory, now_ms);
        let asks = self.is_silent().then_some(self.again_ms);
        sends.into_iter().chain(asks).min()
    }

    /// What shows now.
    #[must_use]
    pub fn screen(&self, now_ms: u64) -> Screen {
        let beat = Body::Eye(self.eye().unwrap_or(Eye::Right));
        let header = self.header(now_ms);
        let mut screen = Screen { header, body: beat, answers: Answers::default(), tone: Tone::Plain };
        if !self.beats(now_ms) {
            let skipped = self.job.as_ref().map_or(0, |job| self.outstanding(job).len());
            self.view.show(&mut screen, &self.entry, self.job.as_ref(), skipped);
            screen.answers.held = self.held();
        }
        screen
    }

    fn header(&self, now_ms: u64) -> Header {
        let job = match &self.job {
            Some(OpenJob { card, told: true, .. }) => Line::new(card.number),
            Some(_) => Line::new("walk-in"),
            None => Line::default(),
        };
        let unsynced = u16::try_from(self.memory.unacknowledged()).unwrap_or(u16::MAX);
        let console = self.session.console_present(now_ms);
        Header { job, eye: self.eye(), unsynced, console, too_fast: now_ms < self.too_fast_until_ms, hold: 0 }
    }

    /// Saves a fact and takes it into the job in hand. Whether it was saved; if not, the screen says why.
    #[inline(never)]
    fn save(&mut self, fact: &Bench, now_ms: u64) -> Answered<bool> {
        // The lens in hand may use the reserve: it should be finished. So may the new lens of an eye whose former one was
        // just said to be spoiled: the two are one answer.
        let urgency = match fact {
            Bench::Pass(_)
            | Bench::Reading(_)
            | Bench::Check(_)
            | Bench::CentreDistance(_)
            | Bench::NewLens(_)
            | Bench::Void(_) => Urgency::FinishLens,
            _ => Urgency::Ordinary,
        };
        // Ticks wrap after 49.7 days of one boot; the console orders by number.
        let ticks = now_ms as u32;
        match self.memory.append_fact(fact, ticks, urgency) {
            Ok(seq) => {
                log::line!(info, "saved {=u32}: {}", seq, fact);
                self.logged.saved = true;
                if let Some(job) = &mut self.job {
                    job.take(seq, fact);
                }
                Ok(true)
            }
            Err(_) if self.memory.is_unsettled() => Err(Unanswered),
            Err(error) => {
                self.say_not_saved(&error);
                Ok(false)
            }
        }
    }

    #[inline(never)]
    fn say_not_saved(&mut self, error: &AppendError<P::Error>) {
        const WORN: &str = "memory did not take\nit. Press again; if\nit stays, replace it";
        let waiting = self.memory.unacknowledged();
        let (why, said) = match error {
            AppendError::Full { .. } => (log::word!("no room"), ""),
            AppendError::Spent { .. } => (
                log::word!("numbers are used up"),
                "log is used up: let\nthe console take all,\nstart, up+down held",
            ),
            AppendError::ReadBack { .. } => (log::word!("pages do not keep it"), WORN),
            AppendError::TooLong(_) => (log::word!("too long"), WORN),
            AppendError::Storage(_) | AppendError::Unsettled => (log::word!("no answer"), WORN),
        };
        log::line!(error, "not saved ({=istr}), {=u32} wait", why, waiting);
        let title = "NOT SAVED";
        let said = match error {
            AppendError::Full { .. } => {
                Body::message(title, format_args!("memory is full:\n{waiting} wait\nconnect the console"))
            }
            _ => Body::message(title, said),
        };
        self.logged.not = true;
        self.view = View::Notice(said, Tone::Warning);
    }

    /// Opens a job and shows its next step; before it what is unusual about the order.
    #[inline(never)]
    fn open(&mut self, id: JobId) -> Answered {
        self.skipped.clear();
        self.last_eye = None;
        self.load(id)?;
        if self.job.as_ref().is_some_and(OpenJob::is_unusual) {
            self.show_order();
            return self.begin_step();
        }
        self.enter()
    }

    /// Takes job `id` in hand as card and journal tell it. Where one of them does not answer it is not to be worked on.
    #[inline(never)]
    fn load(&mut self, id: JobId) -> Answered {
        // While a page does not answer it is still called as it was.
        let told = self.job.as_ref().filter(|job| job.id() == id && job.told).map(|job| job.card.number);
        let job = OpenJob::begin(&mut self.job, id);
        (job.told, job.card.number) = (told.is_some(), told.unwrap_or(0));
        job.fill(&mut self.memory)?;
        if job.card.gone {
            self.job = None;
        }
        Ok(())
    }
}
