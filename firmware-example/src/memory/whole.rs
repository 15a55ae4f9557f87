//! The memory as the rest of the keypad uses it.

use super::Layout;
use super::append::AppendError;
use super::cards::{CardError, CardInfo, Cards};
use super::journal::{Journal, Urgency};
use super::layout::MAX_CARD_SLOTS;
use super::marks::{MARK_EVERY, Mark, Marks};
use super::pages::Pages;
use super::statement::Statement;
use super::subjects::Subject;
use super::turns::Turns;
use bevelbook_core::link::Station;
use bevelbook_core::record::{Bench, Clock, JobId, JournalId, MAX_ENCODED, Stored};
use heapless::Vec;

/// Why nothing more was acknowledged, or not for good.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum AcknowledgeError<E> {
    /// Only numbers from `acknowledged` to below `next` can be acknowledged.
    OutOfRange {
        /// The number offered.
        upto: u32,
        /// What is acknowledged already.
        acknowledged: u32,
        /// The number the next record is given.
        next: u32,
    },
    /// It holds until power is lost: neither mark took it. The console will say it again.
    ReadBack,
    /// It holds until power is lost: the memory does not answer.
    Storage(E),
}

/// An open memory: one journal, its marks, and cards.
#[derive(Debug)]
pub struct Memory<P> {
    pub(crate) pages: P,
    pub(super) journal: Journal,
    pub(super) marks: Marks,
    pub(super) cards: Cards,
    pub(super) station: Turns<Statement>,
    /// What the clock said as the keypad was started, until the first record of this start is to be saved.
    pub(super) clock: Option<Clock>,
}

/// Records.
impl<P: Pages> Memory<P> {
    /// The journal.
    #[must_use]
    pub fn journal(&self) -> JournalId {
        self.journal.id()
    }

    /// How the pages are divided.
    #[must_use]
    pub fn layout(&self) -> Layout {
        self.journal.layout()
    }

    /// This start of the keypad, from 1.
    #[must_use]
    pub const fn boot(&self) -> u16 {
        self.journal.boot
    }

    /// The number the next record is given, unless its page does not take it.
    #[must_use]
    pub const fn next(&self) -> u32 {
        self.journal.next
    }

    /// As [`Memory::next`], but without the numbers that were tried in vain and left no trace: they may be given again,
    /// so no console is told of them.
    #[must_use]
    pub const fn told_next(&self) -> u32 {
        self.journal.evidence + 1
    }

    /// The least number that can still be read; [`Memory::next`] when there is none.
    #[must_use]
    pub fn oldest(&self) -> u32 {
        self.journal.oldest.min(self.journal.next)
    }

    /// The number up to which a console has everything.
    #[must_use]
    pub const fn acknowledged(&self) -> u32 {
        self.journal.acknowledged
    }

    /// How many numbers wait for a console, gaps included.
    #[must_use]
    pub fn unacknowledged(&self) -> u32 {
        self.journal.unacknowledged()
    }

    /// Saves a record, at `ticks` of this boot, behind what the clock said, and returns its number. When this returns `Ok` the record was
    /// written and read back; a page that did not take it left a gap before it.
    ///
    /// # Errors
    /// Nothing was saved, but for [`AppendError::Storage`]: then it is open.
    pub fn append(
        &mut self,
        kind: u8,
        data: &[u8],
        ticks: u32,
        urgency: Urgency,
    ) -> Result<u32, AppendError<P::Error>> {
        self.date()?;
        self.journal.append(&mut self.pages, &self.cards, (kind, data), ticks, urgency)
    }

    /// Whether there is a record of which is not known yet whether it is saved; nothing is appended before it is.
    #[must_use]
    pub const fn is_unsettled(&self) -> bool {
        self.journal.in_hand.is_some()
    }

    /// Finds out whether the record of which that is not known is saved, and saves it if it can be. That record; none if
    /// there is none such.
    ///
    /// # Errors
    /// It is refused for good; or, by [`AppendError::Storage`], it still is not known.
    pub fn settle(&mut self) -> Result<Option<Stored>, AppendError<P::Error>> {
        self.journal.settle(&mut self.pages, &self.cards)
    }

    /// Saves a bench fact, as [`Memory::append`].
    ///
    /// # Errors
    /// As [`Memory::append`].
    pub fn append_fact(
        &mut self,
        fact: &Bench,
        ticks: u32,
        urgency: Urgency,
    ) -> Result<u32, AppendError<P::Error>> {
        let mut buffer = [0; MAX_ENCODED];
        // Core checks when compiling that no kind is longer.
        let data = fact.encode(&mut buffer).map_err(|_| AppendError::TooLong(MAX_ENCODED + 1))?;
        self.append(fact.kind(), data, ticks, urgency)
    }

    /// Record `seq`; `None` for a gap, and for what was overwritten or not written yet.
    ///
    /// # Errors
    /// The memory does not answer.
    pub fn read(&mut self, seq: u32) -> Result<Option<Stored>, P::Error> {
        self.journal.read(&mut self.pages, seq)
    }

    /// The fact of record `seq`, if that holds and is about `subject`; none for a gap, and for a kind that this version
    /// does not know.
    ///
    /// # Errors
    /// The memory does not answer.
    pub fn holding(&mut self, seq: u32, subject: Subject) -> Result<Option<Bench>, P::Error> {
        // Many a record is known to be about something else without being read.
        if !self.journal.subjects.may_be(self.layout().record_place(seq), subject) {
            return Ok(None);
        }
        let fact = self.read(seq)?.and_then(|record| record.fact().ok());
        Ok(fact.filter(|fact| subject.is_of(fact) && self.journal.holds(seq, *fact)))
    }

    /// Notes that a console has committed everything up to number `upto`. The same number again changes nothing
    /// and writes nothing.
    ///
    /// # Errors
    /// `upto` is out of range; or it could not be written, but holds until power is lost.
    pub fn acknowledge(&mut self, upto: u32) -> Result<(), AcknowledgeError<P::Error>> {
        self.take_acknowledged(upto)?;
        self.mark()
    }

    /// The same, with a mark only when [`MARK_EVERY`] numbers have none yet: to write one each time would wear its pages
    /// before all others. What a power cut forgets is held once more until the console says it again.
    ///
    /// # Errors
    /// As [`Memory::acknowledge`].
    pub fn acknowledge_lightly(&mut self, upto: u32) -> Result<(), AcknowledgeError<P::Error>> {
        self.take_acknowledged(upto)?;
        let marked = self.marks.newest().map_or(0, |mark| mark.acknowledged);
        // When its numbers are used up it is begun anew next, and shall not ask what to do with records that the book has.
        let goes_on = self.journal.has_numbers() && upto.abs_diff(marked) < MARK_EVERY;
        if goes_on { Ok(()) } else { self.mark() }
    }

    fn take_acknowledged(&mut self, upto: u32) -> Result<(), AcknowledgeError<P::Error>> {
        let Journal { acknowledged, next, .. } = self.journal;
        if !(acknowledged..next).contains(&upto) {
            return Err(AcknowledgeError::OutOfRange { upto, acknowledged, next });
        }
        self.journal.acknowledged = upto;
        self.journal.evidence = self.journal.evidence.max(upto);
        Ok(())
    }

    /// Writes a mark, unless the newest one says the same.
    ///
    /// # Errors
    /// It could not be written.
    pub fn mark(&mut self) -> Result<(), AcknowledgeError<P::Error>> {
        let Journal { acknowledged, boot, .. } = self.journal;
        let mark = Mark { journal: self.journal(), acknowledged, boot, layout: self.layout() };
        if self.marks.newest() == Some(mark) {
            return Ok(());
        }
        match self.marks.write(&mut self.pages, mark) {
            Ok(true) => Ok(()),
            Ok(false) => Err(AcknowledgeError::ReadBack),
            Err(error) => Err(AcknowledgeError::Storage(error)),
        }
    }
}

/// The station.
impl<P: Pages> Memory<P> {
    /// What the console said of the station to this journal, if it did.
    #[must_use]
    pub fn station(&self) -> Option<Station> {
        let said = self.station.newest().filter(|said| said.journal == self.journal());
        said.map(|said| said.station)
    }

    /// Keeps what the console says of the station. Whether a page took it; if not, what was said before still holds.
    ///
    /// # Errors
    /// The memory does not answer.
    pub fn store_station(&mut self, station: Station) -> Result<bool, P::Error> {
        let journal = self.journal();
        self.station.write(&mut self.pages, Statement { journal, station })
    }
}

/// Cards.
impl<P: Pages> Memory<P> {
    /// Stores a card, in place of the older one of its job. Whether this revision was not held already. What the journal
    /// tells of its job behind number `includes` is laid over it, and is kept for that.
    ///
    /// # Errors
    /// A newer revision is held; there is no free slot; the card is too long; or a page does not take it. The older
    /// card, if any, stays.
    pub fn store_card(
        &mut self,
        job: JobId,
        revision: u32,
        includes: u32,
        content: &[u8],
    ) -> Result<bool, CardError<P::Error>> {
        self.cards.store(&mut self.pages, (job, revision, includes), content)
    }

    /// The card of `job`, if one is held.
    #[must_use]
    pub fn find_card(&self, job: JobId) -> Option<CardInfo> {
        self.cards.newest(job).map(|(_, head)| head.info())
    }

    /// The cards held.
    pub fn cards(&self) -> impl Iterator<Item = CardInfo> + '_ {
        self.cards
            .heads()
            .filter(|(slot, head)| {
                self.cards.newest(head.info().job).is_some_and(|(newest, _)| newest == *slot)
            })
            .map(|(_, head)| head.info())
    }

    /// The jobs of the cards held.
    #[must_use]
    #[inline(never)]
    pub fn card_jobs(&self) -> Vec<JobId, { MAX_CARD_SLOTS as usize }> {
        self.cards().map(|card| card.job).collect()
    }

    /// How often a card came or went since the start.
    #[must_use]
    pub const fn card_changes(&self) -> u32 {
        self.cards.changes
    }

    /// Reads the card of `job` into a buffer, verified; `None` when none is held.
    ///
    /// # Errors
    /// The buffer is too short, or the content is not what was stored.
    pub fn read_card<'b>(
        &mut self,
        job: JobId,
        into: &'b mut [u8],
    ) -> Result<Option<&'b [u8]>, CardError<P::Error>> {
        self.cards.read(&mut self.pages, job, into)
    }

    /// Drops the card of `job`. Whether there was one.
    ///
    /// # Errors
    /// The page does not take it; the card may come back at the next start.
    pub fn drop_card(&mut self, job: JobId) -> Result<bool, CardError<P::Error>> {
        self.cards.drop(&mut self.pages, job)
    }

    /// Gives the pages back.
    #[must_use]
    pub fn into_pages(self) -> P {
        self.pages
    }
}
