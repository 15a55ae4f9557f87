//! The memory as the link sees it.

use super::job::{self, Answered, Unanswered};
use crate::log;
use crate::memory::{CardError, Memory, Pages, Subject};
use bevelbook_core::link::{CardHeading, CardKept, HeldCard, KeypadStore, Station, StoreError};
use bevelbook_core::record::{Bench, JobId, JournalId, Stored, Void};

impl<P: Pages> KeypadStore for Memory<P> {
    fn journal(&self) -> JournalId {
        self.journal()
    }

    fn boot(&self) -> u32 {
        self.boot().into()
    }

    fn oldest(&self) -> u32 {
        self.oldest()
    }

    fn next(&self) -> u32 {
        self.told_next()
    }

    fn acknowledged(&self) -> u32 {
        self.acknowledged()
    }

    fn read(&mut self, seq: u32) -> Result<Option<Stored>, StoreError> {
        self.read(seq).map_err(|_| StoreError::Memory)
    }

    fn acknowledge(&mut self, upto: u32) -> Result<(), StoreError> {
        self.acknowledge_lightly(upto).map_err(|_| StoreError::Memory)?;
        log::line!(debug, "in the book up to {=u32}", upto);
        Ok(())
    }

    fn station(&self) -> u32 {
        self.station().map_or(0, |station| station.revision)
    }

    fn store_station(&mut self, station: &Station) -> Result<(), StoreError> {
        match self.store_station(*station) {
            Ok(true) => Ok(()),
            Ok(false) | Err(_) => Err(StoreError::Memory),
        }
    }

    fn card_slots(&self) -> u8 {
        self.layout().card_slots()
    }

    fn held(&mut self, slot: u8) -> Option<HeldCard> {
        let card = self.cards().nth(slot.into())?;
        Some(HeldCard { job: card.job, revision: card.revision })
    }

    fn store_card(&mut self, card: CardKept, encoded: &[u8]) -> Result<(), StoreError> {
        if undone_since(self, card, encoded).map_err(|Unanswered| StoreError::Memory)? {
            log::line!(debug, "card of job {=u64} includes what was undone since", card.job.0);
            return Err(StoreError::Undone);
        }
        let (how, stored) = match self.store_card(card.job, card.revision, card.includes_upto, encoded) {
            Ok(_) => (log::word!("stored"), Ok(())),
            Err(CardError::Full { .. } | CardError::NoSlot) => {
                (log::word!("no slot is free"), Err(StoreError::CardsFull))
            }
            Err(_) => (log::word!("not stored"), Err(StoreError::Memory)),
        };
        log::line!(debug, "card of job {=u64}, revision {=u32}: {=istr}", card.job.0, card.revision, how);
        stored
    }

    fn drop_card(&mut self, job: JobId) -> Result<(), StoreError> {
        let dropped = self.drop_card(job).map_err(|_| StoreError::Memory)?;
        // Its records are the console's. Without a mark the next start would hold them, and take them for a job opened here.
        if dropped {
            let _ = self.mark();
        }
        Ok(())
    }
}

/// Whether a record that a card includes was undone here behind what it includes. Laid over it, that would not take the record
/// out of its state, and what was undone would stand again; and the console may be gone before it makes another.
#[inline(never)]
fn undone_since<P: Pages>(memory: &mut Memory<P>, card: CardKept, encoded: &[u8]) -> Answered<bool> {
    let filed = CardHeading::decode(encoded).map(|heading| heading.filed).unwrap_or_default();
    let of_it = |job| job == card.job || filed.contains(&job);
    for seq in memory.oldest().max(card.includes_upto.saturating_add(1))..memory.next() {
        if let Some(Bench::Void(Void { job: Some(job), target })) =
            job::fact_about(memory, seq, Subject::Void)?
            && target.journal == memory.journal()
            && target.seq <= card.includes_upto
            && of_it(job)
        {
            return Ok(true);
        }
    }
    Ok(false)
}
