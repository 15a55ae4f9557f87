//! One keypad: its chip, and the production application over it while there is power.

use crate::chip::{Chip, LAYOUT};
use crate::oracle::Broken;
use bevelbook_core::record::{JournalId, Stored};
use bevelbook_keypad::app::App;
use bevelbook_keypad::memory::faults::{Cut, Fault};
use bevelbook_keypad::memory::{BeginError, Consent, Memory, OpenError};
use bevelbook_keypad::screen::Body;

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
    /// The cut that waits for the next start, and the journal that is to be begun at it.
    pub(crate) next_cut: Option<Cut>,
    pub(crate) begin: Option<JournalId>,
    /// One read in so many is not answered.
    pub(crate) unanswered: u64,
    pub(crate) copy: Option<crate::chip::Memory>,
    /// The book may have more of it than itself.
    pub(crate) rolled_back: bool,
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
            next_cut: None,
            begin: None,
            unanswered: 0,
            copy: None,
            rolled_back: false,
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

    /// Switches it on.
    pub(crate) fn start(&mut self, now_ms: u64) -> Result<Started, Broken> {
        self.app = None;
        self.back_ms = None;
        self.started_ms = now_ms;
        let mut pages = self.chip.pages();
        pages.power_on();
        if let Some(cut) = self.next_cut.take() {
            pages.cut_at(cut);
        }
        drop(pages);
        let memory = match self.open()? {
            Some(memory) => memory,
            None => {
                self.darken(now_ms);
                return Ok(Started::Not);
            }
        };
        self.journal = memory.journal();
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

    /// Reads a record as the application does, with the chip answering.
    pub(crate) fn read(&mut self, seq: u32) -> Option<Stored> {
        self.chip.pages().leave_unanswered(0);
        let record = self.app.as_mut().and_then(|app| app.record_at(seq).ok().flatten());
        self.chip.pages().leave_unanswered(self.unanswered);
        record
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
