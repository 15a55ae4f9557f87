//! Saving a record.
//!
//! It is written, read back and compared; only then is it saved. A page that does not take it is spoilt on purpose, and the
//! record goes to the next number: a gap, which nothing will ever fill.
//!
//! A write or a reading that is not answered leaves open whether the record is there. It is then neither saved nor refused but
//! stays in hand: its number is not given out, nothing else is appended, and [`Journal::settle`] looks again until its page
//! answers. A page that holds it makes it saved, any other is written once more; so it is never both refused and there, and
//! never there twice. When power goes meanwhile, the next start finds its page as after any cut.

use super::cards::Cards;
use super::journal::{Attempt, Content, Journal, REACH, Urgency};
use super::layout::RESERVE;
use super::pages::{Pages, fetch, write_back};
use super::record;
use super::subjects::Subject;
use bevelbook_core::record::{MAX_ENCODED, Notes, Stored};
use heapless::Vec;

/// Why a record was not saved.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum AppendError<E> {
    /// So many bytes; [`MAX_ENCODED`] are possible.
    TooLong(usize),
    /// Every page that may be used holds a number that waits for a console, or one that is laid over a card until the
    /// console sends it anew.
    Full {
        /// How many wait, gaps included.
        unacknowledged: u32,
    },
    /// All numbers of records or of boots were given: it is time to begin a new journal.
    Spent {
        /// The next number.
        next: u32,
        /// This boot.
        boot: u16,
    },
    /// So many pages in a row did not take the record. Another try may find a page that does.
    ReadBack {
        /// The pages tried.
        tried: u32,
    },
    /// The memory does not answer, and whether the record is saved is open until [`Memory::settle`](super::Memory::settle)
    /// tells.
    Storage(E),
    /// Whether the record before is saved is still open; this one was not taken.
    Unsettled,
}

impl<E> From<E> for AppendError<E> {
    fn from(error: E) -> Self {
        Self::Storage(error)
    }
}

impl Journal {
    /// Saves a record; its number. What `cards` need is not overwritten.
    pub(super) fn append<P: Pages>(
        &mut self,
        pages: &mut P,
        cards: &Cards,
        (kind, data): (u8, &[u8]),
        ticks: u32,
        urgency: Urgency,
    ) -> Result<u32, AppendError<P::Error>> {
        if self.in_hand.is_some() {
            return Err(AppendError::Unsettled);
        }
        let data: Vec<u8, MAX_ENCODED> =
            Vec::from_slice(data).map_err(|_| AppendError::TooLong(data.len()))?;
        let record = Stored { seq: 0, boot: self.boot.into(), ticks, kind, data };
        self.in_hand = Some(Attempt { record, urgency, written: false, unfit: false, tried: 0 });
        self.settle(pages, cards)?;
        Ok(self.evidence)
    }

    /// Finds out whether the record in hand is saved, and saves it if it can be. That record; none if there was none in hand.
    pub(super) fn settle<P: Pages>(
        &mut self,
        pages: &mut P,
        cards: &Cards,
    ) -> Result<Option<Stored>, AppendError<P::Error>> {
        let Some(mut attempt) = self.in_hand.take() else { return Ok(None) };
        let saved = self.go_on(pages, cards, &mut attempt);
        if let Err(AppendError::Storage(_)) = saved {
            self.in_hand = Some(attempt);
            return saved.map(|()| None);
        }
        saved.map(|()| Some(attempt.record))
    }

    /// Takes a record from one page to the next until one holds it.
    fn go_on<P: Pages>(
        &mut self,
        pages: &mut P,
        cards: &Cards,
        Attempt { record, urgency, written, unfit, tried }: &mut Attempt,
    ) -> Result<(), AppendError<P::Error>> {
        while *tried < REACH {
            if record.seq == 0 {
                if self.next - self.evidence > REACH {
                    self.find_next(pages)?;
                }
                record.seq = self.room(pages, cards, *urgency)?;
            }
            let seq = record.seq;
            let page = self.layout().record_page(seq);
            if !*unfit {
                let content = record::to_page(record, self.id());
                let there = *written && fetch(pages, page)? == content;
                *written = true;
                if there || write_back(pages, page, &content)? {
                    self.evidence = seq;
                    self.use_up(seq);
                    self.subjects.tell(self.layout().record_place(seq), record);
                    if let Ok(fact) = record.fact() {
                        self.note(&fact);
                    }
                    return Ok(());
                }
                *unfit = true;
            }
            // What was written by half might read as a whole record one day, beside the one written next.
            write_back(pages, page, &record::to_spoilt_page(record, self.id()))?;
            match Self::make_out(&self.identity, page, &fetch(pages, page)?) {
                Some(Content::Spoilt(held)) if held != seq => {}
                Some(Content::Spoilt(_)) | None => self.evidence = seq,
                Some(_) => {}
            }
            self.use_up(seq);
            (record.seq, *written, *unfit) = (0, false, false);
            *tried += 1;
        }
        Err(AppendError::ReadBack { tried: REACH })
    }

    /// Whether there are numbers left for records, and for starts.
    pub(super) const fn has_numbers(&self) -> bool {
        self.next < u32::MAX && self.boot < u16::MAX
    }

    /// The number to write to next, if there is room for it: its page holds nothing that waits for a console, or that is
    /// laid over a card.
    fn room<P: Pages>(
        &self,
        pages: &mut P,
        cards: &Cards,
        urgency: Urgency,
    ) -> Result<u32, AppendError<P::Error>> {
        if !self.has_numbers() {
            return Err(AppendError::Spent { next: self.next, boot: self.boot });
        }
        let reserve = match urgency {
            Urgency::Ordinary => u32::from(RESERVE),
            Urgency::FinishLens => 0,
        };
        let waits = self.next - self.acknowledged > self.lap() - reserve;
        if waits || self.is_needed(pages, cards, reserve)? {
            return Err(AppendError::Full { unacknowledged: self.unacknowledged() });
        }
        Ok(self.next)
    }

    /// Whether the page to write to next, or one of so many behind it, holds a record that a card does not include which is
    /// held of its job.
    fn is_needed<P: Pages>(&self, pages: &mut P, cards: &Cards, behind: u32) -> Result<bool, P::Error> {
        let [first, last] = [0, behind].map(|on| self.next.saturating_add(on).saturating_sub(self.lap()));
        for seq in first.max(1)..=last {
            let place = self.layout().record_place(seq);
            if cards.need(seq, |job| self.subjects.may_be(place, Subject::Job(job)))
                && let Some(about) = self.read(pages, seq)?.and_then(|record| record.fact().ok()?.job())
                && cards.need(seq, |job| job == about)
            {
                return Ok(true);
            }
        }
        Ok(false)
    }
}
