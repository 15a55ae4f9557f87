//! The marks: how far the records were acknowledged, and which start of the keypad this is.
//!
//! `generation u32 | journal id u64 | acknowledged u32 | boot u16 | layout 4 | CRC-32C`, written to two pages in
//! turn, so that a torn mark leaves the one before it. They are a hint and the console supplies the acknowledged
//! number again: an older mark, or none, only keeps records for longer than necessary.

use super::Layout;
use super::pages::{PAGE, Page, Pages, bytes_at, fetch_steady, is_blank, put_at, write_back};
use super::seal::{MARK, is_sealed, seal};
use bevelbook_core::record::JournalId;

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Mark {
    pub(super) journal: JournalId,
    pub(super) acknowledged: u32,
    pub(super) boot: u16,
    pub(super) layout: Layout,
}

/// How the marks were found.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MarksFound {
    /// The newer one was used; `damaged` says that the other one was spoilt, as by a cut while it was written.
    Used {
        /// Whether the other mark was spoilt.
        damaged: bool,
    },
    /// This journal has none yet: it was just begun.
    New,
    /// This journal is in use but neither mark can be read. Nothing is taken to be acknowledged, and the boot
    /// number leaps ahead of any that can have been used.
    Lost,
}

/// Both pages of marks.
#[derive(Debug)]
pub(super) struct Marks {
    /// The page of the newest mark, its generation, and the mark.
    newest: Option<(usize, u32, Mark)>,
    /// Pages that hold something, but no mark.
    pub(super) damaged: u8,
}

impl Marks {
    pub(super) fn find<P: Pages>(pages: &mut P) -> Result<Self, P::Error> {
        let mut marks = Self { newest: None, damaged: 0 };
        for (at, page) in Layout::MARKS.into_iter().enumerate() {
            let content = fetch_steady(pages, page)?;
            match content.as_ref().and_then(Mark::from_page) {
                Some((generation, mark)) => {
                    if marks.newest.is_none_or(|(_, newest, _)| generation > newest) {
                        marks.newest = Some((at, generation, mark));
                    }
                }
                None => marks.damaged += u8::from(!content.as_ref().is_some_and(is_blank)),
            }
        }
        Ok(marks)
    }

    pub(super) fn newest(&self) -> Option<Mark> {
        self.newest.map(|(_, _, mark)| mark)
    }

    /// Writes `mark` over the older page; over the newer one only when the older one does not take it. Whether one
    /// of them did.
    pub(super) fn write<P: Pages>(&mut self, pages: &mut P, mark: Mark) -> Result<bool, P::Error> {
        let (newer, generation) =
            self.newest.map_or((1, 1), |(at, generation, _)| (at, generation.saturating_add(1)));
        let content = mark.to_page(generation);
        for at in [1 - newer, newer] {
            if write_back(pages, Layout::MARKS[at], &content)? {
                self.newest = Some((at, generation, mark));
                return Ok(true);
            }
        }
        Ok(false)
    }
}

impl Mark {
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
            acknowledged: u32::from_le_bytes(bytes_at(page, 12)),
            boot: u16::from_le_bytes(bytes_at(page, 16)),
            layout: Layout::from_bytes(bytes_at(page, 18))?,
        };
        Some((u32::from_le_bytes(bytes_at(page, 0)), mark))
    }
}

#[cfg(test)]
mod tests {
    use super::super::faults::FaultyPages;
    use super::*;

    fn mark(acknowledged: u32) -> Mark {
        let layout = Layout::new(64, 2, 2).unwrap();
        Mark { journal: JournalId(3), acknowledged, boot: 8, layout }
    }

    #[test]
    fn marks_take_turns_and_a_spoilt_one_leaves_the_one_before() {
        let mut pages = FaultyPages::<64>::blank();
        let mut marks = Marks::find(&mut pages).unwrap();
        assert_eq!((marks.newest(), marks.damaged), (None, 0));
        for acknowledged in 1..=5 {
            assert!(marks.write(&mut pages, mark(acknowledged)).unwrap());
            assert_eq!(Marks::find(&mut pages).unwrap().newest(), Some(mark(acknowledged)));
        }
        let (at, ..) = marks.newest.unwrap();
        pages.put(Layout::MARKS[at], [0x5a; PAGE]);
        let found = Marks::find(&mut pages).unwrap();
        assert_eq!((found.newest(), found.damaged), (Some(mark(4)), 1));
    }

    #[test]
    fn with_one_page_stuck_the_other_is_written_each_time() {
        let mut pages = FaultyPages::<64>::blank();
        pages.stick(Layout::MARKS[0]);
        let mut marks = Marks::find(&mut pages).unwrap();
        for acknowledged in 1..=3 {
            assert!(marks.write(&mut pages, mark(acknowledged)).unwrap());
            assert_eq!(Marks::find(&mut pages).unwrap().newest(), Some(mark(acknowledged)));
        }
        pages.stick(Layout::MARKS[1]);
        assert!(!marks.write(&mut pages, mark(4)).unwrap());
        assert_eq!(Marks::find(&mut pages).unwrap().newest(), Some(mark(3)));
    }
}
