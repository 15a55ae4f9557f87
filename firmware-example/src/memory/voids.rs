//! Which of the journal's records a void names: a bit for each page, by which the ledger tells what holds.

use super::layout::MOST_JOURNAL;

const WORDS: usize = MOST_JOURNAL as usize / 32;

/// A bit for each page of the journal.
#[derive(Debug)]
pub(super) struct Voids([u32; WORDS]);

impl Voids {
    pub(super) const fn none() -> Self {
        Self([0; WORDS])
    }

    /// The record on page `place` of the journal's pages is void, or is another one now.
    pub(super) fn set(&mut self, place: u16, void: bool) {
        let (word, bit) = at(place);
        if let Some(word) = self.0.get_mut(word) {
            *word = if void { *word | bit } else { *word & !bit };
        }
    }

    pub(super) fn get(&self, place: u16) -> bool {
        let (word, bit) = at(place);
        self.0.get(word).is_some_and(|word| word & bit != 0)
    }
}

const fn at(place: u16) -> (usize, u32) {
    (place as usize / 32, 1 << (place % 32))
}
