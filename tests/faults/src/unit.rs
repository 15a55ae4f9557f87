//! One keypad: its chip, and the production application over it while there is power.

use crate::chip::{Chip, LAYOUT, Try};
use crate::hand::Looked;
use crate::oracle::{Broken, Shown};
use bevelbook_core::link::KeypadStore;
use bevelbook_core::record::{Clock, JournalId, Stored};
use bevelbook_keypad::app::App;
use bevelbook_keypad::memory::faults::{Cut, Fault};
use bevelbook_keypad::memory::{BeginError, Consent, Memory, OpenError};
use bevelbook_keypad::screen::Body;
use std::collections::VecDeque;

/// How long a keypad is without power behind a cut.
pub(crate) const DARK_MS: u64 = 500;

/// A keypad.
#[derive(Debug)]
pub(crate) struct Unit {
    pub(crate) chip: Chip,
    pub(crate) app: Option<Box<App<Chip>>>,
    pub(crate) journal: JournalId,
    /// When its clock was at 0, and when its power comes back.
    pub(crate) started_ms: u64,
    pub(crate) back_ms: Option<u64>,
    /// The cuts that wait for the next starts, one each, and the journal that is to be begun.
    pub(crate) next_cuts: VecDeque<Cut>,
    pub(crate) begin: Option<JournalId>,
    /// One read in so many is not answered, and one write in so many is disturbed.
    pub(crate) disturbed: [u64; 2],
    /// What was tried of a record of which the display does not say yet whether it is saved.
    pub(crate) open: Vec<Try>,
    pub(crate) copy: Option<crate::chip::Memory>,
    /// The number of the last start that came to work; 0 where starts may share one, as with a mark that is worn out.
    pub(crate) boot: u16,
    pub(crate) worn: bool,
    /// Whether the display already said that something was not saved.
    pub(crate) said_not_saved: bool,
    /// The book may have more of it than itself.
    pub(crate) rolled_back: bool,
    /// What it was last found to advise by.
    pub(crate) looked: Option<Looked>,
}

/// What came of a start.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Started {
    AtWork,
    /// The power went, or the memory did not answer: it is tried again.
    Not,
}

impl Unit {
    pub(crate) fn new(pages: crate::chip::Memory, journal: JournalId) -> Self {
        Self {
            chip: Chip::new(pages),
            app: None,
            journal,
            started_ms: 0,
            back_ms: None,
            next_cuts: VecDeque::new(),
            begin: None,
            disturbed: [0; 2],
            open: Vec::new(),
            copy: None,
            boot: 0,
            worn: false,
            said_not_saved: false,
            rolled_back: false,
            looked: None,
        }
    }

    /// Milliseconds since it was started.
    pub(crate) const fn ticks(&self, now_ms: u64) -> u64 {
        now_ms.saturating_sub(self.started_ms)
    }

    /// The power is gone; it comes back by itself.
    pub(crate) fn darken(&mut self, now_ms: u64) {
        self.app = None;
        self.back_ms = Some(now_ms + DARK_MS);
    }

    /// Whether the power went while it was at work.
    pub(crate) fn is_cut(&self) -> bool {
        self.app.is_some() && self.chip.pages().is_off()
    }

    /// Switches it on; with a clock chip that says so, if it has one.
    pub(crate) fn start(&mut self, now_ms: u64, clock: Option<Clock>) -> Result<Started, Broken> {
        self.app = None;
        self.back_ms = None;
        self.started_ms = now_ms;
        let mut pages = self.chip.pages();
        pages.power_on();
        if let Some(cut) = self.next_cuts.pop_front() {
            pages.cut_at(cut);
        }
        drop(pages);
        let Some(mut memory) = self.open()? else {
            self.darken(now_ms);
            return Ok(Started::Not);
        };
        clock.into_iter().for_each(|said| memory.started_at(said));
        let boot = memory.boot();
        if memory.journal() == self.journal && boot <= self.boot && boot < u16::MAX {
            return Err(format!("start {boot} came behind start {}", self.boot));
        }
        self.journal = memory.journal();
        self.boot = if self.worn { 0 } else { boot };
        self.app = Some(Box::new(App::new(memory, "keypad")));
        if self.is_cut() {
            self.darken(now_ms);
            return Ok(Started::Not);
        }
        Ok(Started::AtWork)
    }

    fn open(&mut self) -> Result<Option<Memory<Chip>>, Broken> {
        if let Some(id) = self.begin {
            match Memory::begin(self.chip.clone(), LAYOUT, id, Consent::GiveUpRecords) {
                Ok((memory, _)) => {
                    self.begin = None;
                    return Ok(Some(memory));
                }
                // It was begun before the power went.
                Err(BeginError::KnownId(_)) => self.begin = None,
                Err(BeginError::Storage(fault) | BeginError::Open(OpenError::Storage(fault))) => {
                    return gone(fault);
                }
                Err(error) => return Err(format!("no journal can be begun: {error:?}")),
            }
        }
        match Memory::open(self.chip.clone(), LAYOUT) {
            Ok((memory, _)) => Ok(Some(memory)),
            Err(OpenError::Storage(fault)) => gone(fault),
            Err(error) => Err(format!("the memory does not open: {error:?}")),
        }
    }

    /// An old copy of its memory is put back.
    pub(crate) fn roll_back(&mut self, copy: crate::chip::Memory, now_ms: u64) {
        *self.chip.pages() = copy;
        (self.rolled_back, self.boot) = (true, 0);
        self.darken(now_ms);
    }

    /// Reads a record as the application does, with the chip answering.
    pub(crate) fn read(&mut self, seq: u32) -> Option<Stored> {
        self.disturb([0; 2]);
        let record = self.app.as_mut().and_then(|app| app.record_at(seq).ok().flatten());
        self.disturb(self.disturbed);
        record
    }

    /// Disturbs the bus.
    pub(crate) fn disturb(&self, [reads, writes]: [u64; 2]) {
        let mut pages = self.chip.pages();
        pages.leave_unanswered(reads);
        pages.disturb_writes(writes);
    }

    /// What was tried since this was last asked, and how it shows; nothing while that is open. A press may make several
    /// records: those before the one that is open are saved, and may leave, before the display tells of any.
    pub(crate) fn take_tries(&mut self, now_ms: u64) -> Option<(Vec<Try>, Shown)> {
        self.open.extend(self.chip.take_tries());
        let shown = match &self.app {
            _ if self.open.is_empty() => return None,
            None => Shown::Nothing,
            Some(_) if self.is_cut() => Shown::Nothing,
            Some(app) if app.memory().is_unsettled() => {
                let next = KeypadStore::next(app.memory());
                let (saved, open) = self.open.drain(..).partition(|this: &Try| this.record.seq < next);
                self.open = open;
                return Some((saved, Shown::Nothing)).filter(|(saved, _): &(Vec<Try>, _)| !saved.is_empty());
            }
            Some(_) if self.says_not_saved(now_ms) => Shown::NotSaved,
            Some(_) => Shown::Saved,
        };
        Some((std::mem::take(&mut self.open), shown))
    }

    /// Whether the display says that something was not saved.
    pub(crate) fn says_not_saved(&self, now_ms: u64) -> bool {
        let screen = self.app.as_ref().map(|app| app.screen(self.ticks(now_ms)));
        screen.is_some_and(|screen| {
            matches!(screen.body, Body::Message { title, .. } if title.as_str().contains("NOT SAVED"))
        })
    }
}

/// Power that goes and a chip that does not answer are tried again.
fn gone<T>(fault: Fault) -> Result<Option<T>, Broken> {
    match fault {
        Fault::NoSuchPage { page, .. } => Err(format!("page {page} was asked for")),
        _ => Ok(None),
    }
}
