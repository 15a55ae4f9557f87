//! Taking a card in: its content onto the pages of a free slot, and last the first page, which makes it valid.

use super::cards::{CardError, CardInfo, Cards, Head, Slot};
use super::pages::{PAGE, Page, Pages, put_at, write_back};
use bevelbook_core::record::JobId;

impl Cards {
    /// Makes `content` the card of `job`, which includes the journal up to number `includes`, and the older revision
    /// invalid. Whether this revision was not held already.
    pub(super) fn store<P: Pages>(
        &mut self,
        pages: &mut P,
        (job, revision, includes): (JobId, u32, u32),
        content: &[u8],
    ) -> Result<bool, CardError<P::Error>> {
        let older = self.newest(job);
        match older.map(|(_, head)| head.info().revision) {
            Some(held) if held == revision => return Ok(false),
            Some(held) if held > revision => return Err(CardError::Older { held, offered: revision }),
            _ => {}
        }
        let most = self.layout.card_bytes();
        if content.len() > usize::from(most) {
            return Err(CardError::TooLong { len: content.len(), most });
        }
        // The chip may have fallen silent when an older one was to go: that would take the last slot for good.
        self.drop_older(pages)?;
        let slot = self.free_slot(older.is_some())?;
        self.turn = self.turn.wrapping_add(1);
        for (number, piece) in (1..).zip(content.chunks(PAGE)) {
            let mut page = [0; PAGE];
            put_at(&mut page, 0, piece);
            self.write(pages, slot, number, &page)?;
        }
        let stamp = self.stamp.saturating_add(1);
        let mut sum = Head::sum_for(job, stamp);
        sum.update(content);
        // No longer than a slot, whose bytes fit.
        let info = CardInfo { job, revision, len: content.len() as u16, includes };
        let head = Head::new(info, stamp, sum.value());
        self.write(pages, slot, 0, &head.to_page())?;
        self.slots[usize::from(slot)] = Slot::Holds(head);
        self.stamp = stamp;
        self.changes = self.changes.wrapping_add(1);
        if let Some((slot, _)) = older {
            // The new card is whole. An old first page that stays loses by its stamp.
            match self.blank(pages, slot) {
                Err(CardError::ReadBack { .. }) => self.slots[usize::from(slot)] = Slot::Bad,
                blanked => blanked?,
            }
        }
        Ok(true)
    }

    /// The first free slot from where it is its turn. The last free one is for replacing cards only.
    fn free_slot<E>(&self, replaces: bool) -> Result<u8, CardError<E>> {
        let slots = self.layout.card_slots();
        let first = self.turn % slots.max(1);
        let in_turn = (first..slots).chain(0..first);
        let mut free = in_turn.filter(|slot| self.slots.get(usize::from(*slot)) == Some(&Slot::Free));
        match (free.next(), free.next()) {
            (Some(slot), Some(_)) => Ok(slot),
            (Some(slot), None) if replaces => Ok(slot),
            _ => match self.pick(None, false) {
                Some((_, head)) => Err(CardError::Full { held: self.held(), oldest: head.info().job }),
                None => Err(CardError::NoSlot),
            },
        }
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
