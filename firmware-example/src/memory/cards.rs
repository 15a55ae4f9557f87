//! Cards: what the console says about a job, as bytes that mean nothing here.
//!
//! A slot is a first page, `job u64 | revision u32 | stamp u32 | len u16 | content CRC-32C u32 | includes u32 | CRC-32C`,
//! and the content on the pages after it. The content is written first and the first page last, so a card is there whole
//! or not there. Each card looks for a free slot from another one on, so that all of them wear alike. A newer revision goes
//! to another slot; only when it is there the older one's first page is blanked. A cut between the two leaves both, and the
//! later stamp wins at the next start. The content's checksum is mixed with job and stamp, so a first page never speaks for
//! the content of another card. A card whose content cannot be read at a start is none, but its stamp counts: should it read
//! well again, what was stored since wins.
//!
//! What the journal tells behind `includes` is laid over the card: those of its records that are about its job are kept,
//! acknowledged or not, until a card comes that includes them ([`Cards::need`]). Those of a job that is filed under its own are
//! not: which these are stands in the content alone. A console that takes such a record in sends a card with it at once; if it
//! goes between the two and stays away for a lap of the journal, the record is no more laid over the card until it is back.

use super::Layout;
use super::layout::MAX_CARD_SLOTS;
use super::pages::{
    BLANK, PAGE, Page, Pages, READS, Run, bytes_at, fetch_steady, fetch_until, is_blank, put_at, write_back,
};
use super::seal::{CARD, is_sealed, seal};
use bevelbook_core::link::Checksum;
use bevelbook_core::record::JobId;
use heapless::Vec;

/// What is known of a card without reading it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct CardInfo {
    /// The job it is about.
    pub job: JobId,
    /// Which version of it; higher is newer.
    pub revision: u32,
    /// Bytes of its content.
    pub len: u16,
    /// It includes what the journal tells of its job up to this number.
    pub includes: u32,
}

/// Why a card was not stored, read or dropped.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CardError<E> {
    /// More bytes than a slot takes.
    TooLong {
        /// Its bytes.
        len: usize,
        /// Bytes of a slot.
        most: u16,
    },
    /// The card that is held is newer. To go back, drop it first.
    Older {
        /// The revision held.
        held: u32,
        /// The one offered.
        offered: u32,
    },
    /// Every slot but the one for replacing holds another job's card.
    Full {
        /// Cards held.
        held: u8,
        /// The job whose card was stored longest ago.
        oldest: JobId,
    },
    /// The memory has no usable slot.
    NoSlot,
    /// A page did not take what was written. The slot is not used again before the next start.
    ReadBack {
        /// The page.
        page: u16,
    },
    /// The content is not what was stored.
    Damaged(JobId),
    /// The buffer is shorter than the card.
    Buffer {
        /// Bytes of the card.
        needed: u16,
    },
    /// The memory does not answer.
    Storage(E),
}

impl<E> From<E> for CardError<E> {
    fn from(error: E) -> Self {
        Self::Storage(error)
    }
}

/// A first page. The job as bytes, since an aligned one would make a slot 8 bytes longer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Head {
    job: [u8; 8],
    revision: u32,
    includes: u32,
    /// Rises with every card stored.
    pub(super) stamp: u32,
    /// The checksum of the content.
    sum: u32,
    len: u16,
}

// There is a place for each slot, used or not.
const _: () = assert!(size_of::<Slot>() == 32);

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Slot {
    Free,
    Holds(Head),
    /// It did not take a write; left alone until the next start.
    Bad,
}

#[derive(Debug)]
pub(super) struct Cards {
    pub(super) layout: Layout,
    pub(super) slots: Vec<Slot, { MAX_CARD_SLOTS as usize }>,
    /// Where the next card looks for a slot.
    pub(super) turn: u8,
    /// The highest stamp that was given, as far as first pages tell.
    pub(super) stamp: u32,
    /// How often a card came or went since the start.
    pub(super) changes: u32,
}

impl Head {
    /// A checksum that the content of this job's card with this stamp is still to be fed to.
    pub(super) fn sum_for(job: JobId, stamp: u32) -> Checksum {
        let mut sum = Checksum::new();
        sum.update(&job.0.to_le_bytes());
        sum.update(&stamp.to_le_bytes());
        sum
    }

    /// Of a card with that content's checksum.
    pub(super) const fn new(
        CardInfo { job, revision, len, includes }: CardInfo,
        stamp: u32,
        sum: u32,
    ) -> Self {
        Self { job: job.0.to_le_bytes(), revision, includes, stamp, sum, len }
    }

    pub(super) const fn info(&self) -> CardInfo {
        let Self { job, revision, includes, len, .. } = *self;
        CardInfo { job: JobId(u64::from_le_bytes(job)), revision, len, includes }
    }

    pub(super) fn to_page(self) -> Page {
        let mut page = [0; PAGE];
        put_at(&mut page, 0, &self.job);
        put_at(&mut page, 8, &self.revision.to_le_bytes());
        put_at(&mut page, 12, &self.stamp.to_le_bytes());
        put_at(&mut page, 16, &self.len.to_le_bytes());
        put_at(&mut page, 18, &self.sum.to_le_bytes());
        put_at(&mut page, 22, &self.includes.to_le_bytes());
        seal(&mut page, CARD);
        page
    }

    fn from_page(page: &Page, layout: Layout) -> Option<Self> {
        let len = u16::from_le_bytes(bytes_at(page, 16));
        if !is_sealed(page, CARD) || len > layout.card_bytes() {
            return None;
        }
        let [revision, stamp, sum, includes] =
            [8, 12, 18, 22].map(|at| u32::from_le_bytes(bytes_at(page, at)));
        Some(Self { job: bytes_at(page, 0), revision, includes, stamp, sum, len })
    }
}

impl Cards {
    /// No cards yet.
    pub(super) const fn none(layout: Layout) -> Self {
        Self { layout, slots: Vec::new(), turn: 0, stamp: 0, changes: 0 }
    }

    /// Finds the cards in `pages`; how many are damaged. Where a cut left two revisions of one, the older goes.
    pub(super) fn find<P: Pages>(&mut self, pages: &mut P) -> Result<u8, P::Error> {
        let layout = self.layout;
        let mut damaged = 0;
        for slot in 0..layout.card_slots() {
            let page = layout.card_page(slot, 0);
            let head = fetch_until(pages, page, |content| match Head::from_page(content, layout) {
                None if is_blank(content) => Some(None),
                head => head.map(Some),
            })?;
            let mut state = Slot::Free;
            self.stamp = head.flatten().map_or(self.stamp, |head| self.stamp.max(head.stamp));
            match head {
                Some(Some(head)) if self.is_whole(pages, slot, head)? => state = Slot::Holds(head),
                Some(Some(_)) => damaged += 1,
                Some(None) => {}
                // A first page that is none shall not read as one some day. A console has the card, so it is no loss.
                None => drop(write_back(pages, page, &BLANK)?),
            }
            // The layout has no more slots than the list.
            let _ = self.slots.push(state);
        }
        self.make_sure_of_the_last(pages)?;
        self.drop_older(pages)?;
        self.turn = self.pick(None, true).map_or(0, |(_, head)| head.stamp as u8);
        Ok(damaged)
    }

    /// The first page written last may have been cut, and look whole by luck: what is shown now shall stay.
    fn make_sure_of_the_last<P: Pages>(&self, pages: &mut P) -> Result<(), P::Error> {
        let Some((slot, head)) = self.pick(None, true) else { return Ok(()) };
        let page = self.layout.card_page(slot, 0);
        if fetch_steady(pages, page)?.is_none() {
            write_back(pages, page, &head.to_page())?;
        }
        Ok(())
    }

    pub(super) fn drop_older<P: Pages>(&mut self, pages: &mut P) -> Result<(), P::Error> {
        for slot in 0..self.layout.card_slots() {
            let Slot::Holds(head) = self.slots[usize::from(slot)] else { continue };
            let Some((newest, newer)) =
                self.newest(head.info().job).filter(|(_, newest)| newest.stamp > head.stamp)
            else {
                continue;
            };
            // Once more, should it have been read steadily by luck.
            let sure = write_back(pages, self.layout.card_page(newest, 0), &newer.to_page())?;
            let gone = sure && write_back(pages, self.layout.card_page(slot, 0), &BLANK)?;
            self.slots[usize::from(slot)] = if gone { Slot::Free } else { Slot::Bad };
        }
        Ok(())
    }

    /// Whether the content is what was stored, by one of several readings.
    fn is_whole<P: Pages>(&self, pages: &mut P, slot: u8, head: Head) -> Result<bool, P::Error> {
        let first = self.layout.card_page(slot, 1);
        for _ in 0..READS {
            let mut sum = Head::sum_for(head.info().job, head.stamp);
            let mut left = usize::from(head.info().len);
            let mut run = Run::over(first..first + head.info().len.div_ceil(PAGE as u16));
            while let Some((_, content)) = run.next(pages)? {
                sum.update(&content[..left.min(PAGE)]);
                left = left.saturating_sub(PAGE);
            }
            if sum.value() == head.sum {
                return Ok(true);
            }
        }
        Ok(false)
    }

    /// The heads of the cards held, with their slots.
    pub(super) fn heads(&self) -> impl Iterator<Item = (u8, Head)> + '_ {
        (0..).zip(&self.slots).filter_map(|(slot, state)| match state {
            Slot::Holds(head) => Some((slot, *head)),
            Slot::Free | Slot::Bad => None,
        })
    }

    /// Whether a card that is held does not include record `seq` of the journal, if that is about its job.
    pub(super) fn need(&self, seq: u32, mut is_about: impl FnMut(JobId) -> bool) -> bool {
        self.heads().any(|(_, head)| head.includes < seq && is_about(head.info().job))
    }

    pub(super) fn newest(&self, job: JobId) -> Option<(u8, Head)> {
        self.pick(Some(job), true)
    }

    /// The card that was stored last, or else first: of those of a job, or of all. Out of line, for it is looked for in many
    /// places.
    #[inline(never)]
    pub(super) fn pick(&self, of: Option<JobId>, last: bool) -> Option<(u8, Head)> {
        let mut picked: Option<(u8, Head)> = None;
        for (slot, head) in self.heads().filter(|(_, head)| of.is_none_or(|job| head.info().job == job)) {
            if picked.is_none_or(|(_, picked)| (head.stamp > picked.stamp) == last) {
                picked = Some((slot, head));
            }
        }
        picked
    }

    pub(super) fn held(&self) -> u8 {
        // There are no more slots than fit.
        self.heads().count() as u8
    }

    pub(super) fn read<'b, P: Pages>(
        &self,
        pages: &mut P,
        job: JobId,
        into: &'b mut [u8],
    ) -> Result<Option<&'b [u8]>, CardError<P::Error>> {
        let Some((slot, head)) = self.newest(job) else { return Ok(None) };
        let into = into.get_mut(..usize::from(head.info().len));
        let into = into.ok_or(CardError::Buffer { needed: head.info().len })?;
        for _ in 0..READS {
            pages.read_on(self.layout.card_page(slot, 1), into)?;
            let mut sum = Head::sum_for(job, head.stamp);
            sum.update(into);
            if sum.value() == head.sum {
                return Ok(Some(into));
            }
        }
        Err(CardError::Damaged(job))
    }

    /// Drops the card of `job`. Whether there was one.
    pub(super) fn drop<P: Pages>(&mut self, pages: &mut P, job: JobId) -> Result<bool, CardError<P::Error>> {
        let mut dropped = false;
        // The oldest first: what a silent chip left behind shall not come back.
        while let Some((slot, _)) = self.pick(Some(job), false) {
            self.blank(pages, slot)?;
            dropped = true;
        }
        Ok(dropped)
    }

    pub(super) fn blank<P: Pages>(&mut self, pages: &mut P, slot: u8) -> Result<(), CardError<P::Error>> {
        let page = self.layout.card_page(slot, 0);
        if !write_back(pages, page, &BLANK)? {
            return Err(CardError::ReadBack { page });
        }
        self.slots[usize::from(slot)] = Slot::Free;
        self.changes = self.changes.wrapping_add(1);
        Ok(())
    }
}
