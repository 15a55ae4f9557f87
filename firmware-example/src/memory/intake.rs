//! Receiving a card in parts, so that it need not lie in RAM whole.
//!
//! Parts come in order and fill page after page of a free slot; the first page, which makes the card valid, is
//! written by the finish. One card at a time: beginning another gives up the one before.

use super::cards::{CardError, CardInfo, Cards, Head, Slot};
use super::pages::{PAGE, Page, Pages, write_back};
use super::seal::Sum;
use bevelbook_core::record::JobId;

/// What comes of beginning to receive a card.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Begun {
    /// Its parts are expected now.
    Wanted,
    /// This revision is held already; nothing need be sent.
    Held,
}

pub(super) struct Intake {
    job: JobId,
    revision: u32,
    stamp: u32,
    slot: u8,
    parts: u8,
    next_part: u8,
    len: u16,
    /// The page that is being filled.
    page: Page,
    sum: Sum,
}

impl core::fmt::Debug for Intake {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        write!(
            f,
            "card of {} revision {}: part {} of {}",
            self.job, self.revision, self.next_part, self.parts
        )
    }
}

impl Cards {
    /// Expects `parts` parts of a card.
    pub(super) fn begin<E>(&mut self, job: JobId, revision: u32, parts: u8) -> Result<Begun, CardError<E>> {
        self.intake = None;
        if let Some((_, head)) = self.newest(job) {
            let held = head.info.revision;
            if held == revision {
                return Ok(Begun::Held);
            }
            if held > revision {
                return Err(CardError::Older { held, offered: revision });
            }
        }
        let slot = self.free_slot(job)?;
        let newest = self.heads().map(|(_, head)| head.stamp).max();
        let stamp = newest.map_or(1, |stamp| stamp.saturating_add(1));
        let sum = Head::sum_for(job, stamp);
        let page = [0; PAGE];
        self.intake = Some(Intake { job, revision, stamp, slot, parts, next_part: 0, len: 0, page, sum });
        Ok(Begun::Wanted)
    }

    /// A slot for a card of `job`. The last free one is for replacing cards only.
    fn free_slot<E>(&self, job: JobId) -> Result<u8, CardError<E>> {
        let mut free = (0..).zip(&self.slots).filter(|(_, slot)| **slot == Slot::Free).map(|(slot, _)| slot);
        match (free.next(), free.next()) {
            (Some(slot), Some(_)) => Ok(slot),
            (Some(slot), None) if self.newest(job).is_some() => Ok(slot),
            _ => match self.heads().min_by_key(|(_, head)| head.stamp) {
                Some((_, head)) => Err(CardError::Full { held: self.held(), oldest: head.info.job }),
                None => Err(CardError::NoSlot),
            },
        }
    }

    /// Takes part number `part`, from 0. The part before the next one may come again, and is not taken twice.
    /// After an error of the memory or of the length the card is to be begun again.
    pub(super) fn part<P: Pages>(
        &mut self,
        pages: &mut P,
        part: u8,
        bytes: &[u8],
    ) -> Result<(), CardError<P::Error>> {
        let next = self.intake.as_ref().ok_or(CardError::NotBegun)?.next_part;
        if part.checked_add(1) == Some(next) {
            return Ok(());
        }
        let Some(mut intake) = self.intake.take_if(|intake| part == next && part < intake.parts) else {
            return Err(CardError::Part { next, offered: part });
        };
        let (len, most) = (usize::from(intake.len) + bytes.len(), self.layout.card_bytes());
        if len > usize::from(most) {
            return Err(CardError::TooLong { len, most });
        }
        for byte in bytes {
            intake.page[usize::from(intake.len) % PAGE] = *byte;
            intake.len += 1;
            if usize::from(intake.len) % PAGE == 0 {
                self.write_part(pages, &mut intake)?;
            }
        }
        intake.sum.update(bytes);
        intake.next_part += 1;
        self.intake = Some(intake);
        Ok(())
    }

    /// Makes the card valid, and the older revision invalid. Called again when that was the last thing done, it
    /// says [`CardError::NotBegun`].
    pub(super) fn finish<P: Pages>(&mut self, pages: &mut P) -> Result<CardInfo, CardError<P::Error>> {
        let intake = self.intake.as_ref().ok_or(CardError::NotBegun)?;
        let (next, parts) = (intake.next_part, intake.parts);
        let Some(mut intake) = self.intake.take_if(|_| next == parts) else {
            return Err(CardError::Part { next, offered: parts });
        };
        if usize::from(intake.len) % PAGE != 0 {
            self.write_part(pages, &mut intake)?;
        }
        let older = self.newest(intake.job);
        let Intake { job, revision, stamp, slot, len, sum, .. } = intake;
        let info = CardInfo { job, revision, len };
        let head = Head { info, stamp, sum: sum.finalize() };
        self.write(pages, slot, 0, &head.to_page())?;
        self.slots[usize::from(slot)] = Slot::Holds(head);
        if let Some((slot, _)) = older {
            // The new card is whole. An old first page that stays loses by its stamp.
            match self.blank(pages, slot) {
                Err(CardError::ReadBack { .. }) => self.slots[usize::from(slot)] = Slot::Bad,
                blanked => blanked?,
            }
        }
        Ok(info)
    }

    /// Writes the page that was being filled, and starts the next.
    fn write_part<P: Pages>(
        &mut self,
        pages: &mut P,
        intake: &mut Intake,
    ) -> Result<(), CardError<P::Error>> {
        // A full page ends on its last byte, the last page of a card may end before: both round up.
        let number = intake.len.div_ceil(PAGE as u16);
        self.write(pages, intake.slot, number, &intake.page)?;
        intake.page = [0; PAGE];
        Ok(())
    }

    fn write<P: Pages>(
        &mut self,
        pages: &mut P,
        slot: u8,
        number: u16,
        content: &Page,
    ) -> Result<(), CardError<P::Error>> {
        let page = self.layout.card_page(slot, number);
        if write_back(pages, page, content)? {
            return Ok(());
        }
        self.slots[usize::from(slot)] = Slot::Bad;
        Err(CardError::ReadBack { page })
    }
}
