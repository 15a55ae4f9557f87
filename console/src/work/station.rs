//! The station: what its dial counts, and what keypads are told of it.

use super::holding::{Fact, Holding, Line};
use super::{Work, WorkError};
use crate::desk::Desk;
use crate::store::Reader;
use bevelbook_core::link::Station;
use bevelbook_core::record::JournalId;
use bevelbook_core::sizing::Dial;
use std::ops::RangeInclusive;

impl Work {
    /// The dial that the station last stated.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn station(&self) -> Result<Option<Dial>, WorkError> {
        dial_of(&self.book)
    }

    /// What the keypad that writes `journal` is told of the station. Its revision is the position of the newest record
    /// that bears on it.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn station_for(&self, journal: JournalId) -> Result<Station, WorkError> {
        let holding = Holding::of_no_job(&self.book)?;
        let bears = |line: &&Line| matches!(line.fact, Fact::Bench(_) | Fact::Desk(Desk::Choices(_)));
        let newest = holding.lines.iter().filter(bears).map(|line| line.position).max();
        Ok(Station {
            revision: newest.map_or(1, revision),
            includes_upto: self.last_of(journal)?,
            dial: dial_by(&holding),
            habit: self.settings.sizing,
        })
    }

    /// The position of the choices that keypads were told last; they bear on every card.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn choices_position(&self) -> Result<i64, WorkError> {
        let lines = Holding::of_no_job(&self.book)?.lines;
        let choices = lines.iter().filter(|line| matches!(line.fact, Fact::Desk(Desk::Choices(_))));
        Ok(choices.map(|line| line.position).max().unwrap_or(0))
    }

    /// The highest number of a journal in the book; 0 when it has none.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn last_of(&self, journal: JournalId) -> Result<u32, WorkError> {
        Ok(self.book.last_seq(journal)?.unwrap_or(0))
    }

    /// The position of the earliest committed record among those numbers of a journal.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn first_position(
        &self,
        journal: JournalId,
        seqs: RangeInclusive<u32>,
    ) -> Result<Option<i64>, WorkError> {
        Ok(self.book.first_position(journal, seqs)?)
    }
}

/// A position as a revision, which a keypad holds in 32 bits.
pub(crate) fn revision(position: i64) -> u32 {
    u32::try_from(position).unwrap_or(u32::MAX)
}

/// The dial that the station last stated.
pub(super) fn dial_of(reader: &Reader) -> Result<Option<Dial>, WorkError> {
    Ok(dial_by(&Holding::of_no_job(reader)?))
}

fn dial_by(holding: &Holding) -> Option<Dial> {
    holding.ledger.dial(holding.told()).map(|(_, dial)| dial)
}
