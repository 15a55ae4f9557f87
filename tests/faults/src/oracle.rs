//! What must hold, kept in the plainest way: what was said, what was tried, what is in the book.
//!
//! - What the display said is saved lies on the keypad or in the book, with the same bytes, and comes in once.
//! - What it said is not saved never comes in. Nothing comes in that was not tried.
//! - A gap is told for every number that the book goes past, and for none that the keypad still has.
//! - What a keypad takes for acknowledged is in the book for good.
//! - What is in the book stays as it is.
//!
//! And `hand`: a keypad advises at every moment by its card and its own records.

use crate::chip::{Chip, Try, stayed};
use crate::disk::{Content, Row};
use bevelbook_core::record::{Bench, JournalId, RecordId, Stored};
use std::collections::{BTreeMap, BTreeSet};
use std::ops::RangeInclusive;

/// How a press ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Shown {
    /// Work went on.
    Saved,
    /// The display says that it was not saved.
    NotSaved,
    /// There was no power any more.
    Nothing,
}

/// What must hold of the records.
#[derive(Debug, Default)]
pub(crate) struct Oracle {
    /// What the display said is saved.
    said: BTreeMap<RecordId, Stored>,
    /// What the display said is not saved.
    refused: BTreeSet<(RecordId, Vec<u8>)>,
    /// What was tried under each number.
    tried: BTreeMap<RecordId, Vec<Stored>>,
    /// What was ever in a book for good.
    committed: BTreeMap<RecordId, Stored>,
    /// Gaps that were told.
    gaps: Vec<(JournalId, RangeInclusive<u32>)>,
    /// Up to where each journal's acknowledged records were looked at.
    acknowledged: BTreeMap<JournalId, u32>,
    /// Journals of which an old copy was put back: their numbers may be given twice.
    unsure: BTreeSet<JournalId>,
    /// Another book was put in the place of one: what was committed to that may be acknowledged yet.
    replaced: bool,
    /// Not every gap can have been told.
    untold: bool,
    pub(crate) saved: u64,
}

/// What does not hold, in a sentence.
pub(crate) type Broken = String;

fn words(record: &Stored) -> Vec<u8> {
    let mut bytes = vec![record.kind];
    bytes.extend(record.boot.to_le_bytes());
    bytes.extend(record.ticks.to_le_bytes());
    bytes.extend(&record.data);
    bytes
}

impl Oracle {
    /// Records that were there before the day began.
    pub(crate) fn before(&mut self, journal: JournalId, records: &[Stored]) {
        for record in records {
            let id = RecordId { journal, seq: record.seq };
            self.tried.entry(id).or_default().push(record.clone());
            self.committed.insert(id, record.clone());
        }
    }

    /// Records that were saved before the day began and that no console has.
    pub(crate) fn waits(&mut self, journal: JournalId, records: &[Stored]) {
        for record in records {
            let id = RecordId { journal, seq: record.seq };
            self.tried.entry(id).or_default().push(record.clone());
            self.said.insert(id, record.clone());
        }
    }

    /// What was written in one press or one turn, and how that showed; the last number that was saved.
    pub(crate) fn tried(&mut self, journal: JournalId, tries: &[Try], shown: Shown) -> Result<(), Broken> {
        for this in tries.iter().filter(|this| this.record.kind != 0) {
            let id = RecordId { journal, seq: this.record.seq };
            self.tried.entry(id).or_default().push(this.record.clone());
            match shown {
                Shown::Nothing => {}
                Shown::Saved if !stayed(tries, this) => {}
                Shown::Saved if self.unsure.contains(&journal) => {}
                Shown::Saved => {
                    if let Some(before) = self.said.insert(id, this.record.clone())
                        && before != this.record
                    {
                        return Err(format!("number {} was given twice", id.seq));
                    }
                    self.saved += 1;
                }
                // It stands before what was pressed, of which the display speaks.
                Shown::NotSaved if matches!(this.record.fact(), Ok(Bench::Clock(_))) => {}
                // Of several it is the last that the display speaks of: none is begun before the one before it is saved.
                Shown::NotSaved
                    if tries.last().is_some_and(|last| words(&last.record) != words(&this.record)) => {}
                Shown::NotSaved => {
                    self.refused.insert((id, words(&this.record)));
                }
            }
        }
        Ok(())
    }

    /// A record came into the book for good.
    pub(crate) fn came(&mut self, row: &Row) -> Result<(), Broken> {
        let id = RecordId { journal: row.journal, seq: row.record.seq };
        let tried = self.tried.get(&id).is_some_and(|tried| tried.contains(&row.record));
        if !tried {
            return Err(format!("record {} was never made: {:?}", id.seq, row.record));
        }
        if self.refused.contains(&(id, words(&row.record))) {
            return Err(format!("record {} came in, and the display said that it was not saved", id.seq));
        }
        if self.said.get(&id).is_some_and(|said| *said != row.record) {
            return Err(format!("record {} came in with other bytes than it was saved with", id.seq));
        }
        match self.committed.insert(id, row.record.clone()) {
            Some(before) if before != row.record && !self.unsure.contains(&id.journal) => {
                Err(format!("record {} was in a book otherwise", id.seq))
            }
            _ => Ok(()),
        }
    }

    /// The console told a gap.
    pub(crate) fn gap(
        &mut self,
        journal: JournalId,
        gap: RangeInclusive<u32>,
        chip: &Chip,
    ) -> Result<(), Broken> {
        let ids = RecordId { journal, seq: *gap.start() }..=RecordId { journal, seq: *gap.end() };
        for (id, said) in self.said.range(ids) {
            if chip.lying(id.seq).as_ref() == Some(said) {
                return Err(format!("record {} lies on the keypad and is told as a gap", id.seq));
            }
            if !self.committed.contains_key(id) {
                return Err(format!("record {} was saved and is told as a gap", id.seq));
            }
        }
        self.gaps.push((journal, gap));
        Ok(())
    }

    /// A keypad takes everything up to `upto` for acknowledged.
    pub(crate) fn acknowledged(
        &mut self,
        journal: JournalId,
        upto: u32,
        book: &Content,
    ) -> Result<(), Broken> {
        let seen = self.acknowledged.entry(journal).or_insert(0);
        if upto <= *seen {
            return Ok(());
        }
        let ids = RecordId { journal, seq: *seen + 1 }..=RecordId { journal, seq: upto };
        *seen = upto;
        for (id, said) in self.said.range(ids) {
            let before = self.replaced && self.committed.contains_key(id);
            if book.get(*id) != Some(said) && !before {
                return Err(format!("record {} is acknowledged and not in the book for good", id.seq));
            }
        }
        Ok(())
    }

    /// Another book lies in the place of the one in use.
    pub(crate) const fn other_book(&mut self) {
        self.replaced = true;
    }

    /// What was committed without an answer is lacking in the server that took the place of another.
    pub(crate) fn taken_back(&mut self, lacking: &[RecordId]) {
        self.committed.retain(|id, _| !lacking.contains(id));
    }

    /// A console was killed: what it was about to tell, the book shows.
    pub(crate) const fn killed(&mut self) {
        self.untold = true;
    }

    /// What no book has of a journal was given up for a new one.
    pub(crate) fn given_up(&mut self, journal: JournalId) {
        self.said.retain(|id, _| id.journal != journal);
    }

    /// An old copy of a keypad's memory was put back.
    pub(crate) fn rolled_back(&mut self, journal: JournalId) {
        self.given_up(journal);
        self.unsure.insert(journal);
    }

    /// What was saved and is not in the book must be readable on its keypad.
    pub(crate) fn on_keypad(
        &self,
        journal: JournalId,
        book: &Content,
        mut read: impl FnMut(u32) -> Option<Stored>,
    ) -> Result<(), Broken> {
        let ids = RecordId { journal, seq: 0 }..=RecordId { journal, seq: u32::MAX };
        for (id, said) in self.said.range(ids) {
            let in_book = book.get(*id) == Some(said) || self.committed.contains_key(id);
            if !in_book && read(id.seq).as_ref() != Some(said) {
                return Err(format!(
                    "record {} was saved, and is neither on the keypad nor in the book",
                    id.seq
                ));
            }
        }
        Ok(())
    }

    /// When everything has come in: what was saved is in the book, or a book before it had it and the keypad has it no
    /// more; and every number that is not there was told as a gap.
    pub(crate) fn all_in(&self, journal: JournalId, book: &Content, chip: &Chip) -> Result<(), Broken> {
        let ids = RecordId { journal, seq: 0 }..=RecordId { journal, seq: u32::MAX };
        for (id, said) in self.said.range(ids) {
            let here = book.get(*id) == Some(said);
            let gone = self.committed.contains_key(id) && chip.lying(id.seq).as_ref() != Some(said);
            if !here && !gone {
                return Err(format!("record {} was saved and did not come in", id.seq));
            }
        }
        let mut due = 1;
        for row in book.of(journal) {
            let missing = due..row.record.seq;
            due = row.record.seq.saturating_add(1);
            let told = |seq: u32| self.gaps.iter().any(|(of, gap)| *of == journal && gap.contains(&seq));
            if !self.untold && !missing.is_empty() && (!told(missing.start) || !told(missing.end - 1)) {
                return Err(format!("numbers {missing:?} are missing in the book and no gap was told"));
            }
        }
        Ok(())
    }

    /// A few numbers for the trace.
    pub(crate) fn counts(&self) -> [u64; 3] {
        [self.said.len() as u64, self.committed.len() as u64, self.gaps.len() as u64]
    }
}
