//! Something small that is written again and again, to two pages in turn: when a write is torn, the one before stays.

use super::pages::{Page, Pages, fetch, fetch_steady, is_blank, write_back};

/// What is kept so.
pub(super) trait InTurn: Copy {
    /// Its two pages.
    const PAGES: [u16; 2];

    /// The page that holds it, with a number that tells the newer from the older.
    fn to_page(self, generation: u32) -> Page;

    /// What a page holds, and its number, if it is one.
    fn from_page(page: &Page) -> Option<(u32, Self)>;
}

/// Both pages.
#[derive(Debug)]
pub(super) struct Turns<T> {
    /// The page of the newest, its generation, and itself.
    newest: Option<(usize, u32, T)>,
    /// Pages that hold something, but none of these.
    pub(super) damaged: u8,
}

impl<T: InTurn> Turns<T> {
    /// Finds what both pages hold. The newer was written last: a cut may have hit it, and it may read as whole by luck. The
    /// older was whole before that was begun.
    pub(super) fn find<P: Pages>(pages: &mut P) -> Result<Self, P::Error> {
        let mut turns = Self { newest: None, damaged: 0 };
        let mut found = [None; 2];
        for (found, page) in found.iter_mut().zip(T::PAGES) {
            let content = fetch(pages, page)?;
            *found = T::from_page(&content).map(|(generation, _)| generation);
            turns.damaged += u8::from(found.is_none() && !is_blank(&content));
        }
        let second = found[0].is_none_or(|first| found[1].is_some_and(|second| is_newer(second, first)));
        for at in [usize::from(second), usize::from(!second)] {
            if found[at].is_some() && turns.newest.is_none() {
                let kept = fetch_steady(pages, T::PAGES[at])?.as_ref().and_then(T::from_page);
                turns.newest = kept.map(|(generation, what)| (at, generation, what));
                turns.damaged += u8::from(kept.is_none());
            }
        }
        Ok(turns)
    }

    pub(super) fn newest(&self) -> Option<T> {
        self.newest.map(|(_, _, newest)| newest)
    }

    /// Writes over the older page; over the newer one only when the older one does not take it. Whether one of them did.
    pub(super) fn write<P: Pages>(&mut self, pages: &mut P, what: T) -> Result<bool, P::Error> {
        let (newer, generation) =
            self.newest.map_or((1, 1), |(at, generation, _)| (at, generation.wrapping_add(1)));
        let content = what.to_page(generation);
        for at in [1 - newer, newer] {
            if write_back(pages, T::PAGES[at], &content)? {
                self.newest = Some((at, generation, what));
                return Ok(true);
            }
        }
        Ok(false)
    }
}

/// Generations go round: the newer is the one that is fewer steps ahead.
const fn is_newer(generation: u32, than: u32) -> bool {
    generation.wrapping_sub(than).cast_signed() > 0
}

#[cfg(test)]
mod tests {
    use super::super::Layout;
    use super::super::faults::FaultyPages;
    use super::super::marks::Mark;
    use super::super::pages::PAGE;
    use super::*;
    use bevelbook_core::record::JournalId;

    fn mark(acknowledged: u32) -> Mark {
        let layout = Layout::new(64, 2, 2).unwrap();
        Mark { journal: JournalId(3), acknowledged, boot: 8, layout }
    }

    fn found(pages: &mut FaultyPages<64>) -> Turns<Mark> {
        Turns::find(pages).unwrap()
    }

    #[test]
    fn they_take_turns_and_a_spoilt_one_leaves_the_one_before() {
        let mut pages = FaultyPages::<64>::blank();
        let mut marks = found(&mut pages);
        assert_eq!((marks.newest(), marks.damaged), (None, 0));
        for acknowledged in 1..=5 {
            assert!(marks.write(&mut pages, mark(acknowledged)).unwrap());
            assert_eq!(found(&mut pages).newest(), Some(mark(acknowledged)));
        }
        let (at, ..) = marks.newest.unwrap();
        pages.put(Layout::MARKS[at], [0x5a; PAGE]);
        let marks = found(&mut pages);
        assert_eq!((marks.newest(), marks.damaged), (Some(mark(4)), 1));
    }

    #[test]
    fn behind_the_last_generation_the_first_is_newer() {
        let mut pages = FaultyPages::<64>::blank();
        pages.put(Layout::MARKS[0], mark(1).to_page(u32::MAX - 1));
        for acknowledged in 2..=6 {
            assert!(found(&mut pages).write(&mut pages, mark(acknowledged)).unwrap());
            assert_eq!(found(&mut pages).newest(), Some(mark(acknowledged)));
        }
    }

    #[test]
    fn with_one_page_stuck_the_other_is_written_each_time() {
        let mut pages = FaultyPages::<64>::blank();
        pages.stick(Layout::MARKS[0]);
        let mut marks = found(&mut pages);
        for acknowledged in 1..=3 {
            assert!(marks.write(&mut pages, mark(acknowledged)).unwrap());
            assert_eq!(found(&mut pages).newest(), Some(mark(acknowledged)));
        }
        pages.stick(Layout::MARKS[1]);
        assert!(!marks.write(&mut pages, mark(4)).unwrap());
        assert_eq!(found(&mut pages).newest(), Some(mark(3)));
    }
}
