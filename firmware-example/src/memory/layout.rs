//! How the pages are divided.
//!
//! | pages | what |
//! |---|---|
//! | 0, 1 | identity: which journal this memory holds, twice |
//! | 2, 3 | marks, written in turn |
//! | 4 | spare: a copy of the newest record |
//! | 5, 6 | what the console said of the station, written in turn |
//! | 7 … | cards: `card_slots` times `pages_per_card` |
//! | the rest | journal: record `seq` is on page number `seq mod journal_pages` of these, and nowhere else |
//!
//! The division is stored with the identity and with each mark, since a different one would look for every
//! record in the wrong place.

use super::pages::PAGE;
use core::fmt;

/// The most slots for cards. Each takes 32 bytes of RAM, used or not.
pub const MAX_CARD_SLOTS: u8 = 16;

/// Pages of the journal that only the lens in hand may still use ([`Urgency`](super::Urgency)).
pub const RESERVE: u16 = 16;

/// The fewest pages a journal can work with.
pub const LEAST_JOURNAL: u16 = 2 * RESERVE;

/// The most pages of a journal: enough for a chip of 64 KiB, and few enough to search at each start and to keep a bit of
/// each in RAM.
pub const MOST_JOURNAL: u16 = 1024;

const FIRST_CARD: u16 = 7;

/// A division of the pages, checked when it is made.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Layout {
    pages: u16,
    card_slots: u8,
    pages_per_card: u8,
}

/// A division that does not work.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LayoutError {
    /// One card slot, or more than [`MAX_CARD_SLOTS`]. A card is replaced in a second slot, so it takes two.
    CardSlots(u8),
    /// A card takes a first page and at least one for its content.
    PagesPerCard(u8),
    /// So many pages would be left to the journal: fewer than [`LEAST_JOURNAL`], or more than [`MOST_JOURNAL`].
    Journal(i32),
}

impl Layout {
    /// Divides `pages` pages: `card_slots` cards of `pages_per_card` pages each, and the rest for the journal.
    ///
    /// # Errors
    /// A part would be too small or too large.
    pub const fn new(pages: u16, card_slots: u8, pages_per_card: u8) -> Result<Self, LayoutError> {
        if card_slots == 1 || card_slots > MAX_CARD_SLOTS {
            return Err(LayoutError::CardSlots(card_slots));
        }
        if card_slots > 0 && pages_per_card < 2 {
            return Err(LayoutError::PagesPerCard(pages_per_card));
        }
        let layout = Self { pages, card_slots, pages_per_card };
        let journal = pages as i32 - layout.first_record() as i32;
        if journal < LEAST_JOURNAL as i32 || journal > MOST_JOURNAL as i32 {
            return Err(LayoutError::Journal(journal));
        }
        Ok(layout)
    }

    /// The pages of the whole memory.
    #[must_use]
    pub const fn pages(self) -> u16 {
        self.pages
    }

    /// The slots for cards; one fewer can be held, since a card is replaced in a free slot.
    #[must_use]
    pub const fn card_slots(self) -> u8 {
        self.card_slots
    }

    /// The most bytes of one card.
    #[must_use]
    pub const fn card_bytes(self) -> u16 {
        (self.pages_per_card as u16).saturating_sub(1) * PAGE as u16
    }

    /// The pages of the journal: as many records can wait for a console.
    #[must_use]
    pub const fn journal_pages(self) -> u16 {
        self.pages - self.first_record()
    }

    const fn first_record(self) -> u16 {
        // At most 32 × 255 + 7: no overflow.
        FIRST_CARD + self.card_slots as u16 * self.pages_per_card as u16
    }

    /// Where the identity is, twice.
    pub(super) const IDENTITY: [u16; 2] = [0, 1];
    /// Where the marks are.
    pub(super) const MARKS: [u16; 2] = [2, 3];
    /// Where the newest record is copied to.
    pub(super) const SPARE: u16 = 4;

    /// Where what was said of the station is.
    pub(super) const STATION: [u16; 2] = [5, 6];

    /// Page `number` of the card in `slot`.
    pub(super) const fn card_page(self, slot: u8, number: u16) -> u16 {
        FIRST_CARD + slot as u16 * self.pages_per_card as u16 + number
    }

    /// Whether `page` is for cards.
    pub(super) const fn is_card(self, page: u16) -> bool {
        FIRST_CARD <= page && page < self.first_record()
    }

    /// The page of record `seq`.
    pub(super) const fn record_page(self, seq: u32) -> u16 {
        self.first_record() + self.record_place(seq)
    }

    /// The page of record `seq` among those of the journal.
    pub(super) const fn record_place(self, seq: u32) -> u16 {
        (seq % self.journal_pages() as u32) as u16
    }

    /// The pages of the journal, in their order on the chip.
    pub(super) const fn record_pages(self) -> core::ops::Range<u16> {
        self.first_record()..self.pages
    }

    pub(super) const fn to_bytes(self) -> [u8; 4] {
        let [low, high] = self.pages.to_le_bytes();
        [low, high, self.card_slots, self.pages_per_card]
    }

    pub(super) fn from_bytes([low, high, card_slots, pages_per_card]: [u8; 4]) -> Option<Self> {
        Self::new(u16::from_le_bytes([low, high]), card_slots, pages_per_card).ok()
    }
}

impl fmt::Display for Layout {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { pages, card_slots, pages_per_card } = self;
        write!(f, "{pages} pages, {card_slots} cards of {pages_per_card} pages")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_page_has_one_use() {
        let layout = Layout::new(512, 16, 12).unwrap();
        let mut uses = [0; 512];
        let single = Layout::IDENTITY.into_iter().chain(Layout::MARKS).chain([Layout::SPARE]);
        for page in single.chain(Layout::STATION) {
            uses[usize::from(page)] += 1;
        }
        for slot in 0..16 {
            (0..12).for_each(|number| uses[usize::from(layout.card_page(slot, number))] += 1);
        }
        for seq in 1_000_000..1_000_000 + u32::from(layout.journal_pages()) {
            uses[usize::from(layout.record_page(seq))] += 1;
        }
        assert_eq!(uses, [1; 512]);
        assert_eq!((layout.journal_pages(), layout.card_bytes()), (313, 704));
    }

    #[test]
    fn parts_that_are_too_small_or_too_large_are_refused() {
        assert_eq!(Layout::new(512, 1, 4), Err(LayoutError::CardSlots(1)));
        assert_eq!(Layout::new(512, 17, 4), Err(LayoutError::CardSlots(17)));
        assert_eq!(Layout::new(512, 8, 1), Err(LayoutError::PagesPerCard(1)));
        assert_eq!(Layout::new(100, 16, 255), Err(LayoutError::Journal(100 - 4087)));
        assert_eq!(Layout::new(38, 0, 0), Err(LayoutError::Journal(31)));
        assert_eq!(Layout::new(39, 0, 0).unwrap().journal_pages(), 32);
    }
}
