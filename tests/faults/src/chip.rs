//! The keypad's pages, which can be looked at and spoilt while it runs, and which remember what was tried on them.

use bevelbook_core::link::LEFT_OUT;
use bevelbook_core::record::Stored;
use bevelbook_keypad::memory::faults::{Fault, FaultyPages};
use bevelbook_keypad::memory::{LEAST_JOURNAL, Layout, Page, Pages};
use std::cell::{RefCell, RefMut};
use std::fmt;
use std::rc::Rc;

/// Cards of two jobs, and one place for replacing one.
const SLOTS: u8 = 3;
/// A card of any length.
const PER_CARD: u8 = 15;
/// A ring in which what a card leaves out has room, and which is soon run through.
pub(crate) const RING: u32 = LEFT_OUT + LEAST_JOURNAL as u32;
const FIRST_RECORD: u16 = 7 + SLOTS as u16 * PER_CARD as u16;
pub(crate) const PAGES: usize = FIRST_RECORD as usize + RING as usize;

pub(crate) type Memory = FaultyPages<PAGES>;

/// How the pages are divided.
pub(crate) const LAYOUT: Layout = match Layout::new(PAGES as u16, SLOTS, PER_CARD) {
    Ok(layout) => layout,
    Err(_) => unreachable!(),
};

/// A record as it was written to a page of the journal, whole or spoilt.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Try {
    pub(crate) record: Stored,
    seal: [u8; 4],
}

/// Pages that others hold too.
#[derive(Clone)]
pub(crate) struct Chip {
    pages: Rc<RefCell<Memory>>,
    tries: Rc<RefCell<Vec<Try>>>,
}

impl fmt::Debug for Chip {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("Chip")
    }
}

impl Chip {
    pub(crate) fn new(pages: Memory) -> Self {
        Self { pages: Rc::new(RefCell::new(pages)), tries: Rc::default() }
    }

    /// The pages below.
    pub(crate) fn pages(&self) -> RefMut<'_, Memory> {
        self.pages.borrow_mut()
    }

    /// What was written to the journal since this was last asked.
    pub(crate) fn take_tries(&self) -> Vec<Try> {
        std::mem::take(&mut self.tries.borrow_mut())
    }

    /// Whether something waits for [`Chip::take_tries`].
    pub(crate) fn was_tried(&self) -> bool {
        !self.tries.borrow().is_empty()
    }

    /// The record as it lies in its page, seal or no seal.
    pub(crate) fn lying(&self, seq: u32) -> Option<Stored> {
        let pages = self.pages.borrow();
        let page = FIRST_RECORD + (seq % RING) as u16;
        raw(&pages.content()[usize::from(page)]).map(|found| found.record).filter(|record| record.seq == seq)
    }
}

/// What a page of the journal holds, read plainly: `seq u32 | boot u16 | ticks u32 | kind u8 | len u8 | data 48 | CRC-32C`.
fn raw(page: &Page) -> Option<Try> {
    let word = |at: usize| u32::from_le_bytes([page[at], page[at + 1], page[at + 2], page[at + 3]]);
    let data = page[12..60].get(..usize::from(page[11]))?;
    let record = Stored {
        seq: word(0),
        boot: u16::from_le_bytes([page[4], page[5]]).into(),
        ticks: word(6),
        kind: page[10],
        data: heapless::Vec::from_slice(data).ok()?,
    };
    Some(Try { record, seal: [page[60], page[61], page[62], page[63]] })
}

/// Whether a record among what was tried stayed as it was first written: what is spoilt is written once more.
pub(crate) fn stayed(tries: &[Try], of: &Try) -> bool {
    tries.iter().filter(|other| other.record.seq == of.record.seq).all(|other| other.seal == of.seal)
}

impl Pages for Chip {
    type Error = Fault;

    fn count(&self) -> u16 {
        PAGES as u16
    }

    fn read(&mut self, page: u16, into: &mut Page) -> Result<(), Fault> {
        self.pages.borrow_mut().read(page, into)
    }

    fn write(&mut self, page: u16, from: &Page) -> Result<(), Fault> {
        if page >= FIRST_RECORD {
            self.tries.borrow_mut().extend(raw(from));
        }
        self.pages.borrow_mut().write(page, from)
    }
}
