//! What is found when the keypad starts, and what is mended.
//!
//! Every page is looked at. Nothing is ever formatted: a page that makes no sense stays as it is and is reported,
//! unless it reads differently each time and was never saved.
//! The newest record may have been cut while it was written and look whole by luck, its cells half written. So each
//! start sees to it that the spare page holds a copy of it, and writes it in place once more only if it does not read
//! the same each time and the copy is good. So a record that was saved is never written again, and one that was cut
//! and shown after a start stays, all but surely: its bits would have to agree in every one of many readings and
//! fail later. A start that is cut finds one or the other.

use super::journal::{Content, Journal};
use super::pages::{Pages, Run, fetch, fetch_steady, write_back};
use super::{Layout, record};
use bevelbook_core::record::Stored;
use heapless::Vec;

/// How many damaged pages are listed one by one.
pub const LISTED: usize = 16;

/// What a start found and did.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Recovery {
    /// Whether this boot could be noted in a mark. If not, the marks are worn out: each start will think less was
    /// acknowledged than was, and boots without a record may share a number.
    pub marks_written: bool,
    /// The journal's pages.
    pub journal: JournalFound,
    /// Cards that are whole.
    pub cards: u8,
    /// Cards whose content does not match their first page; their slots are free again.
    pub damaged_cards: u8,
}

/// What the pages of the journal hold.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct JournalFound {
    /// Pages with a record of this journal.
    pub records: u16,
    /// The newest record.
    pub newest: Option<u32>,
    /// Pages with a record of an earlier journal.
    pub foreign: u16,
    /// Pages never written.
    pub blank: u16,
    /// Pages with anything else: torn while written, or gone bad since.
    pub damaged: u16,
    /// The first [`LISTED`] of them.
    pub damage: Vec<Damage, LISTED>,
    /// Numbers after the newest record that are passed over, since a page may have held them.
    pub skipped: u32,
    /// Whether the newest record, if there is one, has a good copy on the spare page.
    pub copied: bool,
}

/// A page that makes no sense.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Damage {
    /// The page.
    pub page: u16,
    /// The number whose turn it last was there; `None` when the journal has not come that far yet.
    pub seq: Option<u32>,
    /// Whether that number waits for a console: a record may be lost, or was never saved.
    pub unacknowledged: bool,
}

impl Journal {
    /// Looks at every page, writing nothing: finds the newest record, the next number and the oldest.
    pub(super) fn survey<P: Pages>(
        &mut self,
        pages: &mut P,
    ) -> Result<(JournalFound, Option<Stored>), P::Error> {
        let mut found = JournalFound::default();
        let mut newest = self.spare(pages)?;
        let mut damage: Vec<u16, LISTED> = Vec::new();
        let mut run = Run::over(self.layout().record_pages());
        while let Some((page, content)) = run.next(pages)? {
            let made_out = Self::make_out(&self.identity, page, content);
            match if made_out.is_none() { self.content(pages, page)? } else { made_out } {
                Some(Content::Blank) => found.blank += 1,
                Some(Content::Foreign) => found.foreign += 1,
                Some(Content::Spoilt(_)) => {}
                Some(Content::Record(record)) => {
                    found.records += 1;
                    self.subjects.tell(self.layout().record_place(record.seq), &record);
                    if newest.as_ref().is_none_or(|newest| record.seq > newest.seq) {
                        newest = Some(record);
                    }
                }
                None => {
                    found.damaged += 1;
                    // What is beyond the list is counted.
                    let _ = damage.push(page);
                }
            }
        }
        found.newest = newest.as_ref().map(|record| record.seq);
        let seen = found.newest.unwrap_or(0).max(self.acknowledged);
        self.evidence = seen;
        self.find_next(pages)?;
        found.skipped = self.next - 1 - seen;
        self.passed_over = seen + 1..self.next;
        found.damage = damage.into_iter().map(|page| self.damage(page)).collect();
        Ok((found, newest))
    }

    fn damage(&self, page: u16) -> Damage {
        let last = self.next - 1;
        let lap = self.lap();
        let back = (0..lap.min(last)).find(|back| self.layout().record_page(last - back) == page);
        let seq = back.map(|back| last - back);
        Damage { page, seq, unacknowledged: seq.is_some_and(|seq| seq > self.acknowledged) }
    }

    /// Writes a damaged record again from its copy, and gives the newest one a copy.
    pub(super) fn mend<P: Pages>(
        &mut self,
        pages: &mut P,
        found: &mut JournalFound,
        newest: Option<&Stored>,
    ) -> Result<(), P::Error> {
        let spare = self.spare(pages)?;
        let mut needed = false;
        // What is read from its copy is not what its page was found to hold.
        for record in spare.iter().chain(newest) {
            self.subjects.forget(self.layout().record_place(record.seq));
        }
        if let Some(copy) = spare.as_ref().filter(|copy| self.waits(copy.seq))
            && self.at_home(pages, copy.seq)?.is_none()
        {
            // The only copy of a record that waits for a console stays.
            needed = !self.write_home(pages, copy)?;
        }
        if let Some(newest) = newest {
            let page = record::to_page(newest, self.id());
            let home = self.layout().record_page(newest.seq);
            let steady = fetch_steady(pages, home)? == Some(page);
            // Beside a page that reads the same each time its copy is not needed before a later start looks again.
            let copy =
                if steady { Some(fetch(pages, Layout::SPARE)?) } else { fetch_steady(pages, Layout::SPARE)? };
            let copied = copy == Some(page);
            found.copied = copied || (!needed && write_back(pages, Layout::SPARE, &page)?);
            if found.copied && !steady {
                self.write_home(pages, newest)?;
            }
        }
        self.spoil_unsteady(pages)?;
        self.find_oldest(pages, found.newest.unwrap_or(0).max(self.acknowledged))
    }

    /// A page passed over that reads differently each time might read as a record one day, when what was to be in
    /// it has long been entered again: it is made to read as damage for good.
    fn spoil_unsteady<P: Pages>(&self, pages: &mut P) -> Result<(), P::Error> {
        for seq in self.passed_over.clone() {
            let page = self.layout().record_page(seq);
            if fetch_steady(pages, page)?.is_none() {
                let nothing = Stored { seq, boot: 0, ticks: 0, kind: 0, data: Vec::new() };
                write_back(pages, page, &record::to_spoilt_page(&nothing, self.id()))?;
            }
        }
        Ok(())
    }

    /// Whether `seq` is held for a console.
    fn waits(&self, seq: u32) -> bool {
        seq > self.acknowledged && self.next - seq <= self.lap()
    }

    fn write_home<P: Pages>(&self, pages: &mut P, record: &Stored) -> Result<bool, P::Error> {
        write_back(pages, self.layout().record_page(record.seq), &record::to_page(record, self.id()))
    }

    fn find_oldest<P: Pages>(&mut self, pages: &mut P, newest: u32) -> Result<(), P::Error> {
        // A lap back from the newest record, not from the next number: pages passed over were not overwritten.
        let lap = self.lap();
        self.oldest = (newest + 1).saturating_sub(lap).max(1);
        while self.oldest < self.next && self.read(pages, self.oldest)?.is_none() {
            self.oldest += 1;
        }
        Ok(())
    }
}
