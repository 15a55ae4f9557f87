//! The device before a journal is open: what is wrong, in words, and the way to a journal with a key held.

use crate::keys::{Key, Press};
use crate::log;
use crate::memory::{BeginError, Consent, Layout, Memory, OpenError, Pages, Recovery, Unopened};
use crate::screen::{Answers, Body, Header, LIST_LINES, Line, Screen, Tone};
use bevelbook_core::record::JournalId;
use core::fmt::Display;
use heapless::Vec;

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
            Ok(recovery) => {
                log::found(&recovery);
                Some(recovery)
            }
            Err(error) => self.stay_closed(Why::not_opened(&error)),
        }
    }

    fn stay_closed(&mut self, why: Why) -> Option<Recovery> {
        log::closed(why);
        self.why = why;
        None
    }

    fn begin(&mut self, consent: Consent, entropy: u64) -> Option<Recovery> {
        // No journal is numbered 0.
        let id = JournalId(entropy.max(1));
        self.sure = false;
        match self.memory.as_mut()?.begin(id, consent) {
            Ok(recovery) => {
                log::begun(id);
                log::found(&recovery);
                Some(recovery)
            }
            Err(error) => self.stay_closed(Why::not_begun(&error)),
        }
    }

    pub(super) fn screen(&self) -> Screen {
        let (title, said, centre) = if self.sure { self.ask_again() } else { self.explain() };
        let answers = Answers { centre, ..Answers::default() };
        let tone = match self.why {
            Why::Blank => Tone::Plain,
            _ if self.sure => Tone::Refusal,
            _ => Tone::Warning,
        };
        let body = Body::Message { title: Line::new(title), lines: said };
        Screen { header: Header::default(), body, answers, tone }
    }

    fn explain(&self) -> (&'static str, Lines, &'static str) {
        match self.why {
            Why::Blank => (
                "first start",
                lines([
                    &self.pressed.map_or_else(
                        || Line::new("memory is empty."),
                        |key| Line::new(format_args!("{} works.", key.name())),
                    ),
                    &"press each key once,",
                    &"then hold the centre",
                    &"to begin a journal",
                ]),
                "hold",
            ),
            Why::Unidentified { used } => (
                "memory is unclear",
                lines([
                    &format_args!("{used} pages in use,"),
                    &"none says by whom.",
                    &"hold centre to erase",
                    &"and begin anew",
                ]),
                "hold",
            ),
            Why::OtherLayout => (
                "memory is divided",
                lines([
                    &"otherwise than this",
                    &"firmware does it.",
                    &"hold centre to begin",
                    &"a new journal",
                ]),
                "hold",
            ),
            Why::TooSmall { needed, have } => (
                "memory too small",
                lines([&format_args!("it has {have} pages"), &format_args!("of {needed} needed")]),
                "again",
            ),
            Why::Silent => (
                "memory is silent",
                lines([&"the chip does not", &"answer: look at its", &"wires and its supply"]),
                "again",
            ),
            Why::Asked { waiting: 0 } => (
                "new journal?",
                lines([&"all is in the book.", &"hold centre: begin it", &"press: go on as before"]),
                "go on",
            ),
            Why::Asked { waiting } => (
                "new journal?",
                lines([
                    &format_args!("{waiting} records are in"),
                    &"no book yet!",
                    &"hold centre: give up",
                    &"press: go on as before",
                ]),
                "go on",
            ),
            Why::NotKept => (
                "memory is worn",
                lines([
                    &"it does not keep what",
                    &"is written. replace",
                    &"the chip; hold centre",
                    &"to try again",
                ]),
                "hold",
            ),
            Why::KnownId => ("once more", lines([&"hold the centre"]), "hold"),
        }
    }

    fn ask_again(&self) -> (&'static str, Lines, &'static str) {
        let lost = match self.why {
            Why::Asked { waiting } => Line::new(format_args!("{waiting} records go for good")),
            _ => Line::new("what it holds is lost"),
        };
        ("way back then", lines([&lost, &"hold UP to do it,", &"any other key: no"]), "no")
    }
}

impl Why {
    const fn not_opened<E>(error: &OpenError<E>) -> Self {
        match error {
            OpenError::Blank => Self::Blank,
            // An id is given by nobody here.
            OpenError::Unidentified { used } => Self::Unidentified { used: *used },
            OpenError::NotThisJournal(_) | OpenError::OtherLayout(_) => Self::OtherLayout,
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
        let (title, said) = match self {
            Self::Unreadable { pages: 1, first } => (
                "power was cut?",
                lines([
                    &format_args!("record {first} is not"),
                    &"readable. see whether",
                    &"the last step is",
                    &"asked for again",
                ]),
            ),
            Self::Unreadable { pages, first } => (
                "memory is hurt",
                lines([
                    &format_args!("{pages} records from {first}"),
                    &"cannot be read; the",
                    &"console lists them",
                ]),
            ),
            Self::Worn => (
                "memory is worn",
                lines([
                    &"it does not keep its",
                    &"marks: connect the",
                    &"console, then replace",
                    &"the memory",
                ]),
            ),
        };
        let answers = Answers { centre: "on", ..Answers::default() };
        Screen {
            body: Body::Message { title: Line::new(title), lines: said },
            answers,
            tone: Tone::Warning,
            ..screen
        }
    }
}

type Lines = Vec<Line, LIST_LINES>;

fn lines<const N: usize>(shown: [&dyn Display; N]) -> Lines {
    shown.into_iter().map(Line::new).take(LIST_LINES).collect()
}
