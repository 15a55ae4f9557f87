//! The device before a journal is open: what is wrong, in words, and the way to a journal with a key held.

use crate::keys::{Key, Press};
use crate::log;
use crate::memory::{BeginError, Consent, Layout, Memory, OpenError, Pages, Recovery, Unopened};
use crate::screen::{Answers, Body, Header, Screen, Tone};
use bevelbook_core::record::JournalId;

/// Why no journal is open.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub(crate) enum Why {
    Blank,
    /// Pages are in use and none says for which journal.
    Unidentified {
        used: u16,
    },
    OtherLayout,
    TooSmall {
        needed: u16,
        have: u16,
    },
    /// The chip does not answer.
    Silent,
    /// A new journal was asked for; so many records of the old one wait for a console.
    Asked {
        waiting: u32,
    },
    /// The memory did not take the journal's id.
    NotKept,
    /// The id that was made was used before. It never happens; another press makes another id.
    KnownId,
}

/// A memory with no open journal.
#[derive(Debug)]
pub(super) struct Closed<P> {
    /// Taken when a journal is open.
    memory: Option<Unopened<P>>,
    why: Why,
    /// A held centre asked to give up what is there; a held up does it.
    sure: bool,
    /// The key that was pressed last: at the first start a person sees that each one works.
    pressed: Option<Key>,
}

impl<P: Pages> Closed<P> {
    /// A memory that nobody has tried to open yet.
    pub(super) const fn unopened(pages: P, layout: Layout) -> Self {
        Self { memory: Some(Unopened::new(pages, layout)), why: Why::Silent, sure: false, pressed: None }
    }

    /// A journal is open, and another one may be begun.
    pub(super) const fn offer(pages: P, layout: Layout, waiting: u32) -> Self {
        let memory = Some(Unopened::new(pages, layout));
        Self { memory, why: Why::Asked { waiting }, sure: false, pressed: None }
    }

    /// The memory, once a press or an opening has said what it found.
    pub(super) fn take(&mut self) -> Option<Memory<P>> {
        self.memory.take()?.into_memory()
    }

    pub(super) fn press(&mut self, press: Press, entropy: u64) -> Option<Recovery> {
        self.pressed = Some(press.key);
        match (press, self.why, self.sure) {
            (Press { key: Key::Up, held: true }, _, true) => self.begin(Consent::GiveUpRecords, entropy),
            (_, _, true) => {
                self.sure = press == Press::long(Key::Centre);
                None
            }
            (
                Press { key: Key::Centre, held: false },
                Why::Silent | Why::TooSmall { .. } | Why::Asked { .. },
                _,
            ) => self.open(),
            (Press { key: Key::Centre, held: true }, why, false) => match why {
                Why::Silent | Why::TooSmall { .. } => None,
                Why::Unidentified { .. } | Why::Asked { waiting: 1.. } => {
                    self.sure = true;
                    None
                }
                _ => self.begin(Consent::KeepRecords, entropy),
            },
            _ => None,
        }
    }

    pub(super) fn open(&mut self) -> Option<Recovery> {
        match self.memory.as_mut()?.open() {
            Ok(recovery) => Some(logged(recovery)),
            Err(error) => self.stay_closed(Why::not_opened(&error)),
        }
    }

    /// Opens it if it did not answer when that was tried before.
    pub(super) fn open_if_silent(&mut self) -> Option<Recovery> {
        if self.why == Why::Silent { self.open() } else { None }
    }

    fn stay_closed(&mut self, why: Why) -> Option<Recovery> {
        log::line!(warn, "no journal open: {}", why);
        self.why = why;
        None
    }

    fn begin(&mut self, consent: Consent, entropy: u64) -> Option<Recovery> {
        // No journal is numbered 0.
        let id = JournalId(entropy.max(1));
        self.sure = false;
        match self.memory.as_mut()?.begin(id, consent) {
            Ok(recovery) => {
                log::line!(info, "journal {=u64:016x} begun", id.0);
                Some(logged(recovery))
            }
            Err(error) => self.stay_closed(Why::not_begun(&error)),
        }
    }

    pub(super) fn screen(&self) -> Screen {
        let (body, centre) = if self.sure { (self.ask_again(), "no") } else { self.explain() };
        let tone = match self.why {
            Why::Blank => Tone::Plain,
            _ if self.sure => Tone::Refusal,
            _ => Tone::Warning,
        };
        Screen { header: Header::default(), body, answers: Answers::centre(centre), tone }
    }

    fn explain(&self) -> (Body, &'static str) {
        let (title, said, centre) = match self.why {
            Why::Blank => {
                let rest = "press each key once,\nthen hold the centre\nto begin a log";
                let title = "first start";
                let body = match self.pressed {
                    None => Body::message(title, format_args!("memory is empty.\n{rest}")),
                    Some(key) => Body::message(title, format_args!("{} works.\n{rest}", key.name())),
                };
                return (body, "hold");
            }
            Why::Unidentified { used } => {
                let said = format_args!(
                    "{used} pages in use,\nnone says by whom.\nhold centre to erase\nand begin anew"
                );
                return (Body::message("memory is unclear", said), "hold");
            }
            Why::TooSmall { needed, have } => {
                let said = format_args!("it has {have} pages\nof {needed} needed");
                return (Body::message("memory too small", said), "again");
            }
            Why::Asked { waiting: waiting @ 1.. } => {
                let said = format_args!(
                    "{waiting} records are in\nno book yet!\nhold centre: give up\npress: go on as before"
                );
                return (Body::message("new log?", said), "go on");
            }
            Why::OtherLayout => (
                "memory is divided",
                "otherwise than this\nfirmware does it.\nhold centre to begin\na new log",
                "hold",
            ),
            Why::Silent => {
                ("memory is silent", "the chip does not\nanswer: look at its\nwires and its supply", "again")
            }
            Why::Asked { .. } => {
                ("new log?", "all is in the book.\nhold centre: begin it\npress: go on as before", "go on")
            }
            Why::NotKept => (
                "memory is worn",
                "it does not keep what\nis written. replace\nthe chip; hold centre\nto try again",
                "hold",
            ),
            Why::KnownId => ("once more", "hold the centre", "hold"),
        };
        (Body::message(title, said), centre)
    }

    fn ask_again(&self) -> Body {
        let (title, rest) = ("no way back", "hold UP to do it,\nany other key: no");
        match self.why {
            Why::Asked { waiting } => {
                Body::message(title, format_args!("{waiting} records go for good\n{rest}"))
            }
            _ => Body::message(title, format_args!("what it holds is lost\n{rest}")),
        }
    }
}

/// Between two states, which nobody sees.
pub(super) fn between() -> Screen {
    let (header, answers) = (Header::default(), Answers::default());
    Screen { header, body: Body::message("one moment", ""), answers, tone: Tone::Plain }
}

pub(super) fn log_open<P: Pages>(memory: &Memory<P>) {
    log::line!(
        info,
        "journal {=u64:016x} open: boot {=u16}, record {=u32} next, {=u32} wait",
        memory.journal().0,
        memory.boot(),
        memory.next(),
        memory.unacknowledged()
    );
}

fn logged(recovery: Recovery) -> Recovery {
    log::line!(
        info,
        "memory: {=u16} records, {=u16} pages damaged; {=u8} cards, {=u8} damaged",
        recovery.journal.records,
        recovery.journal.damaged,
        recovery.cards,
        recovery.damaged_cards
    );
    recovery
}

impl Why {
    const fn not_opened<E>(error: &OpenError<E>) -> Self {
        match error {
            OpenError::Blank => Self::Blank,
            OpenError::Unidentified { used } => Self::Unidentified { used: *used },
            OpenError::OtherLayout(_) => Self::OtherLayout,
            OpenError::TooSmall { needed, have } => Self::TooSmall { needed: *needed, have: *have },
            OpenError::Storage(_) => Self::Silent,
        }
    }

    const fn not_begun<E>(error: &BeginError<E>) -> Self {
        match error {
            BeginError::Unacknowledged { records, .. } => Self::Asked { waiting: *records },
            BeginError::Unidentified { used } => Self::Unidentified { used: *used },
            BeginError::KnownId(_) => Self::KnownId,
            BeginError::ReadBack => Self::NotKept,
            BeginError::Open(error) => Self::not_opened(error),
            BeginError::Storage(_) => Self::Silent,
        }
    }
}

/// What a start found that a person should know.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Found {
    /// So many pages are unreadable where records may wait for a console, this number first.
    Unreadable { pages: u16, first: u32 },
    /// No mark could be written.
    Worn,
    /// The clock does not know the time.
    ClockStood,
}

impl Found {
    pub(super) fn of(recovery: &Recovery) -> Option<Self> {
        if !recovery.marks_written {
            return Some(Self::Worn);
        }
        let waiting = || recovery.journal.damage.iter().filter(|damage| damage.unacknowledged);
        let first = waiting().filter_map(|damage| damage.seq).min()?;
        Some(Self::Unreadable { pages: waiting().count() as u16, first })
    }

    /// Said over what else shows.
    pub(super) fn over(self, screen: Screen) -> Screen {
        let body = match self {
            Self::Unreadable { pages: 1, first } => {
                let said = format_args!(
                    "record {first} is not\nreadable. see whether\nthe last step is\nasked for again"
                );
                Body::message("power was cut?", said)
            }
            Self::Unreadable { pages, first } => {
                let said =
                    format_args!("{pages} records from {first}\ncannot be read; the\nconsole lists them");
                Body::message("memory is hurt", said)
            }
            Self::Worn => Body::message(
                "memory is worn",
                "it does not keep its\nmarks: connect the\nconsole, then replace\nthe memory",
            ),
            Self::ClockStood => Body::message(
                "clock stood still",
                "is its battery empty?\nno dates until the\nconsole has set it",
            ),
        };
        Screen { body, answers: Answers::centre("OK"), tone: Tone::Warning, ..screen }
    }
}
