//! The journal: numbered records that are kept until a console has them.
//!
//! - Record `seq` has one page it can be on; a record found elsewhere does not count. Numbers start at 1.
//! - A record is saved when it was written, read back and compared; `append` has the way there.
//! - A page is written only when the number that was due there a lap ago is acknowledged, whatever it holds: that
//!   record, nothing, or damage. So damage is kept until a console has noted the gap.
//! - A number is not given again once any page may have held it. The last saved record, the acknowledged number
//!   and every page that holds neither nothing nor something older are evidence of a number that was tried; between two
//!   pieces of evidence at most [`REACH`] numbers are tried, so after a start a search that far finds the last one.
//!   Old damage just ahead is taken for evidence too and costs a few numbers, no records.

use super::pages::{Page, Pages, fetch_until, is_blank};
use super::subjects::{Subject, Subjects};
use super::voids::Voids;
use super::{Identity, Layout, record};
use bevelbook_core::record::{Bench, JobId, JournalId, Logged, Notes, RecordId, Stored};
use core::ops::Range;

/// How many numbers in a row are tried without a trace of one of them in its page.
pub(super) const REACH: u32 = 8;

/// Who may use the last [`RESERVE`](super::RESERVE) pages.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Urgency {
    /// Not this record.
    Ordinary,
    /// This one: it belongs to the lens in hand, which should be finished.
    FinishLens,
}

/// A record on its way to a page.
#[derive(Debug)]
pub(super) struct Attempt {
    /// Numbered 0 until a page is chosen.
    pub(super) record: Stored,
    pub(super) urgency: Urgency,
    /// Whether its page may hold it.
    pub(super) written: bool,
    /// Its page did not take it and is to be spoilt, however it reads later.
    pub(super) unfit: bool,
    /// The pages that did not take it.
    pub(super) tried: u32,
}

/// What a page of the journal holds.
pub(super) enum Content {
    Blank,
    /// A record of this journal, on its own page.
    Record(Stored),
    /// A record of a remembered earlier journal.
    Foreign,
    /// What was made of this number when its page did not take the record.
    Spoilt(u32),
}

#[derive(Debug)]
pub(super) struct Journal {
    pub(super) identity: Identity,
    /// The number the next record is given.
    pub(super) next: u32,
    /// The greatest number known to have been tried, or to be acknowledged; 0 for none.
    pub(super) evidence: u32,
    /// No console needs a number up to this one any more.
    pub(super) acknowledged: u32,
    /// The least number that may still be readable.
    pub(super) oldest: u32,
    pub(super) boot: u16,
    /// Numbers passed over at this start: not served, even if their pages should read as records after all.
    pub(super) passed_over: Range<u32>,
    /// What the records are about.
    pub(super) subjects: Subjects,
    voids: Voids,
    /// The record of which is not known whether it is saved.
    pub(super) in_hand: Option<Attempt>,
}

/// A keypad's ledger is about the records that its own journal still reads; it knows no filings.
impl Notes for Journal {
    fn note_void(&mut self, target: RecordId) {
        if let Some(place) = self.place_of(target) {
            self.voids.set(place, true);
        }
    }

    fn is_void(&self, id: RecordId) -> bool {
        self.place_of(id).is_some_and(|place| self.voids.get(place))
    }

    fn note_filing(&mut self, _: JobId, _: JobId) {}

    fn filed_under(&self, _: JobId) -> Option<JobId> {
        None
    }
}

impl Journal {
    /// A journal that nothing is known of but its identity and what was acknowledged.
    pub(super) const fn unread(identity: Identity, acknowledged: u32) -> Self {
        Self {
            identity,
            next: 1,
            evidence: 0,
            acknowledged,
            oldest: 1,
            boot: 0,
            passed_over: 0..0,
            subjects: Subjects::unknown(),
            voids: Voids::none(),
            in_hand: None,
        }
    }

    pub(super) const fn layout(&self) -> Layout {
        self.identity.layout
    }

    pub(super) fn id(&self) -> JournalId {
        self.identity.id
    }

    /// The page of a record among those of the journal, as long as no later one is due there.
    fn place_of(&self, id: RecordId) -> Option<u16> {
        let there = id.journal == self.id() && id.seq < self.next && self.next - id.seq <= self.lap();
        there.then(|| self.layout().record_place(id.seq))
    }

    /// Whether record `seq`, which says `fact`, holds.
    pub(super) fn holds(&mut self, seq: u32, fact: Bench) -> bool {
        let id = RecordId { journal: self.id(), seq };
        Notes::holds(self, &Logged { id, fact }.into())
    }

    /// Takes the undoings among the records into the ledger.
    pub(super) fn note_voids<P: Pages>(&mut self, pages: &mut P) -> Result<(), P::Error> {
        for seq in self.oldest..self.next {
            if self.subjects.may_be(self.layout().record_place(seq), Subject::Void)
                && let Some(Ok(fact)) = self.read(pages, seq)?.map(|record| record.fact())
            {
                self.note(&fact);
            }
        }
        Ok(())
    }

    pub(super) fn lap(&self) -> u32 {
        self.layout().journal_pages().into()
    }

    /// What `page`, with `content`, holds; `None` for damage.
    pub(super) fn make_out(identity: &Identity, page: u16, content: &Page) -> Option<Content> {
        if is_blank(content) {
            return Some(Content::Blank);
        }
        if let Some(record) = record::from_page(content, identity.id) {
            // A record on a page where it does not belong is damage: its address went wrong.
            let at_home = identity.layout.record_page(record.seq) == page;
            return at_home.then_some(Content::Record(record));
        }
        if let Some(seq) = record::spoilt_number(content, identity.id) {
            return Some(Content::Spoilt(seq));
        }
        let foreign = identity.previous.iter().any(|id| record::from_page(content, *id).is_some());
        foreign.then_some(Content::Foreign)
    }

    /// Numbers that wait for a console, gaps included.
    pub(super) fn unacknowledged(&self) -> u32 {
        (self.next - 1).saturating_sub(self.acknowledged.max(self.oldest.saturating_sub(1)))
    }

    /// No other record gets this number, and its page holds nothing that is known.
    pub(super) fn use_up(&mut self, seq: u32) {
        let place = self.layout().record_place(seq);
        self.subjects.forget(place);
        self.voids.set(place, false);
        self.next = seq + 1;
        self.oldest = self.oldest.max(self.next.saturating_sub(self.lap()));
    }

    /// Finds the last number that a page may have held, from the last that is known, and so the next one.
    pub(super) fn find_next<P: Pages>(&mut self, pages: &mut P) -> Result<(), P::Error> {
        let from = self.evidence;
        let mut seq = from;
        // Beyond a lap from what is acknowledged nothing was tried; that may be known too low, but then the last
        // try is not far.
        let limit = self.acknowledged.saturating_add(self.lap()).max(from.saturating_add(REACH));
        while seq < self.evidence.saturating_add(REACH).min(limit) {
            seq += 1;
            match self.content(pages, self.layout().record_page(seq))? {
                Some(Content::Record(Stored { seq: held, .. }) | Content::Spoilt(held)) if held < seq => {}
                Some(Content::Blank | Content::Foreign) => {}
                Some(Content::Record(_) | Content::Spoilt(_)) | None => self.evidence = seq,
            }
        }
        self.next = self.evidence.saturating_add(1);
        Ok(())
    }

    /// What a page of the journal holds, after several looks if need be; `None` for damage.
    pub(super) fn content<P: Pages>(&self, pages: &mut P, page: u16) -> Result<Option<Content>, P::Error> {
        fetch_until(pages, page, |content| Self::make_out(&self.identity, page, content))
    }

    /// The record on the spare page, if there is one.
    pub(super) fn spare<P: Pages>(&self, pages: &mut P) -> Result<Option<Stored>, P::Error> {
        let make_out = |content: &Page| match record::from_page(content, self.id()) {
            None if is_blank(content) => Some(None),
            record => record.map(Some),
        };
        Ok(fetch_until(pages, Layout::SPARE, make_out)?.flatten())
    }

    /// Record `seq` from its own page.
    pub(super) fn at_home<P: Pages>(&self, pages: &mut P, seq: u32) -> Result<Option<Stored>, P::Error> {
        let content = self.content(pages, self.layout().record_page(seq))?;
        Ok(match content {
            Some(Content::Record(record)) if record.seq == seq => Some(record),
            _ => None,
        })
    }

    /// Record `seq`; `None` for a gap, and for what was overwritten or not written yet.
    pub(super) fn read<P: Pages>(&self, pages: &mut P, seq: u32) -> Result<Option<Stored>, P::Error> {
        if !(self.oldest..self.next).contains(&seq) || self.passed_over.contains(&seq) {
            return Ok(None);
        }
        if let Some(record) = self.at_home(pages, seq)? {
            return Ok(Some(record));
        }
        Ok(self.spare(pages)?.filter(|record| record.seq == seq))
    }
}
