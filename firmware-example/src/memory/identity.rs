//! Which journal this memory holds.
//!
//! Every record's seal is mixed with the journal's id, so losing the id loses all of them at once; and the marks
//! are rewritten many times a day, which is when pages get torn. So the id has two pages of its own that are
//! written when a journal is begun and never after, save to restore one of them from the other; and each mark
//! repeats it. No single cut can spoil both pages: one is whole before the other is touched.
//!
//! `generation u32 | id u64 | layout 4 | count u8 | previous ids, 5 × u64 | CRC-32C`. The higher generation is the
//! journal begun later. The previous ids tell pages of an earlier journal from damage.

use super::Layout;
use super::pages::{PAGE, Page, Pages, bytes_at, fetch, fetch_steady, put_at, write_back};
use super::seal::{IDENTITY, SEALED, is_sealed, seal};
use bevelbook_core::record::JournalId;
use heapless::Vec;

/// How many earlier journals are remembered.
pub(super) const REMEMBERED: usize = 5;

const PREVIOUS: usize = 17;
const _: () = assert!(PREVIOUS + REMEMBERED * 8 <= SEALED);

#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Identity {
    pub(super) generation: u32,
    pub(super) id: JournalId,
    pub(super) layout: Layout,
    /// The earlier journals, newest first.
    pub(super) previous: Vec<JournalId, REMEMBERED>,
}

/// What the two pages say.
pub(super) struct Found {
    pub(super) identity: Identity,
    /// The page that says so.
    page: usize,
    /// Whether both say the same.
    pub(super) both: bool,
}

impl Identity {
    /// The journal `id`, begun after this one.
    pub(super) fn followed_by(&self, id: JournalId, layout: Layout) -> Self {
        let older = self.previous.iter().take(REMEMBERED - 1);
        let previous = [self.id].iter().chain(older).copied().collect();
        Self { generation: self.generation.saturating_add(1), id, layout, previous }
    }

    /// The journal `id` with nothing known before it.
    pub(super) const fn first(id: JournalId, layout: Layout) -> Self {
        Self { generation: 1, id, layout, previous: Vec::new() }
    }

    /// Whether `id` is this journal or a remembered one.
    pub(super) fn knows(&self, id: JournalId) -> bool {
        self.id == id || self.previous.contains(&id)
    }

    /// What both pages say at first sight. One of them was whole before the other was touched, so it is true; which one,
    /// and whether the other may yet read otherwise, takes [`Identity::find`].
    pub(super) fn agreed<P: Pages>(pages: &mut P) -> Result<Option<Found>, P::Error> {
        let mut read = |page| Ok(Self::from_page(&fetch(pages, page)?));
        let [first, second] = [read(Layout::IDENTITY[0])?, read(Layout::IDENTITY[1])?];
        let identity = first.filter(|first| second.as_ref() == Some(first));
        Ok(identity.map(|identity| Found { identity, page: 0, both: true }))
    }

    pub(super) fn find<P: Pages>(pages: &mut P) -> Result<Option<Found>, P::Error> {
        let mut read = |page| Ok(fetch_steady(pages, page)?.as_ref().and_then(Self::from_page));
        let found = [read(Layout::IDENTITY[0])?, read(Layout::IDENTITY[1])?];
        Ok(match found {
            [Some(first), Some(second)] => {
                let both = first == second;
                let later = usize::from(second.generation > first.generation);
                let identity = if later == 0 { first } else { second };
                Some(Found { identity, page: later, both })
            }
            [Some(identity), None] => Some(Found { identity, page: 0, both: false }),
            [None, Some(identity)] => Some(Found { identity, page: 1, both: false }),
            [None, None] => None,
        })
    }

    /// Writes both pages, the one that `current` does not rest on first. How many of them read back.
    pub(super) fn write<P: Pages>(&self, pages: &mut P, current: Option<&Found>) -> Result<u8, P::Error> {
        let content = self.to_page();
        let first = current.map_or(0, |found| 1 - found.page);
        let mut good = 0;
        for page in [first, 1 - first] {
            good += u8::from(write_back(pages, Layout::IDENTITY[page], &content)?);
        }
        Ok(good)
    }

    /// Restores the page that does not say what `found` says.
    pub(super) fn repair<P: Pages>(pages: &mut P, found: &Found) -> Result<(), P::Error> {
        // A page that is beyond repair changes nothing: the other one is whole.
        write_back(pages, Layout::IDENTITY[1 - found.page], &found.identity.to_page()).map(drop)
    }

    fn to_page(&self) -> Page {
        let mut page = [0; PAGE];
        put_at(&mut page, 0, &self.generation.to_le_bytes());
        put_at(&mut page, 4, &self.id.0.to_le_bytes());
        put_at(&mut page, 12, &self.layout.to_bytes());
        put_at(&mut page, 16, &[self.previous.len() as u8]);
        for (n, id) in self.previous.iter().enumerate() {
            put_at(&mut page, PREVIOUS + n * 8, &id.0.to_le_bytes());
        }
        seal(&mut page, IDENTITY);
        page
    }

    fn from_page(page: &Page) -> Option<Self> {
        if !is_sealed(page, IDENTITY) {
            return None;
        }
        let count = usize::from(page[16]).min(REMEMBERED);
        let previous = (0..count).map(|n| JournalId(u64::from_le_bytes(bytes_at(page, PREVIOUS + n * 8))));
        Some(Self {
            generation: u32::from_le_bytes(bytes_at(page, 0)),
            id: JournalId(u64::from_le_bytes(bytes_at(page, 4))),
            layout: Layout::from_bytes(bytes_at(page, 12))?,
            previous: previous.collect(),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_last_five_journals_are_remembered() {
        let layout = Layout::new(64, 2, 2).unwrap();
        let mut identity = Identity::first(JournalId(1), layout);
        for id in 2..=8 {
            identity = identity.followed_by(JournalId(id), layout);
        }
        assert_eq!(Identity::from_page(&identity.to_page()), Some(identity.clone()));
        let known: std::vec::Vec<_> = (0..10).filter(|id| identity.knows(JournalId(*id))).collect();
        assert_eq!((known, identity.generation), (std::vec![3, 4, 5, 6, 7, 8], 8));
    }
}
