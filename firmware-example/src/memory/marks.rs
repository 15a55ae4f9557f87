//! The marks: how far the records were acknowledged, and which start of the keypad this is.
//!
//! `generation u32 | journal id u64 | acknowledged u32 | boot u16 | layout 4 | CRC-32C`, written to two pages in
//! turn, so that a torn mark leaves the one before it. They are a hint and the console supplies the acknowledged
//! number again: an older mark, or none, only keeps records for longer than necessary. So one is written for several
//! acknowledgements ([`MARK_EVERY`]), not for each.

use super::Layout;
use super::pages::{PAGE, Page, bytes_at, put_at};
use super::seal::{MARK, is_sealed, seal};
use super::turns::{InTurn, Turns};
use bevelbook_core::record::JournalId;

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Mark {
    pub(super) journal: JournalId,
    pub(super) acknowledged: u32,
    pub(super) boot: u16,
    pub(super) layout: Layout,
}

/// A mark is written when so many numbers were acknowledged that it does not tell yet: as many are held once more behind a
/// power cut, at most, and of 310 pages as many stay taken.
pub const MARK_EVERY: u32 = 12;

/// Both pages of marks.
pub(super) type Marks = Turns<Mark>;

impl InTurn for Mark {
    const PAGES: [u16; 2] = Layout::MARKS;

    fn to_page(self, generation: u32) -> Page {
        let mut page = [0; PAGE];
        put_at(&mut page, 0, &generation.to_le_bytes());
        put_at(&mut page, 4, &self.journal.0.to_le_bytes());
        put_at(&mut page, 12, &self.acknowledged.to_le_bytes());
        put_at(&mut page, 16, &self.boot.to_le_bytes());
        put_at(&mut page, 18, &self.layout.to_bytes());
        seal(&mut page, MARK);
        page
    }

    fn from_page(page: &Page) -> Option<(u32, Self)> {
        if !is_sealed(page, MARK) {
            return None;
        }
        let mark = Self {
            journal: JournalId(u64::from_le_bytes(bytes_at(page, 4))),
            // No record has a number behind it.
            acknowledged: u32::from_le_bytes(bytes_at(page, 12)).min(u32::MAX - 1),
            boot: u16::from_le_bytes(bytes_at(page, 16)),
            layout: Layout::from_bytes(bytes_at(page, 18))?,
        };
        Some((u32::from_le_bytes(bytes_at(page, 0)), mark))
    }
}
