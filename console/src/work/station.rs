//! A station: what its dial counts, and what its keypads are told of it.

use super::holding::{Fact, Holding, Line};
use super::stations::{Stations, here};
use super::{Work, WorkError};
use crate::desk::Desk;
use crate::settings::Settings;
use crate::store::Reader;
use bevelbook_core::link::Station;
use bevelbook_core::record::{Bench, JournalId, StationEvent, StationId};
use bevelbook_core::sizing::Dial;
use jiff::Timestamp;
use std::ops::RangeInclusive;

/// Something that happened to a station.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Epoch {
    /// To which.
    pub station: StationId,
    /// Its place in the order of commits: what was ground behind it was ground after it.
    pub position: i64,
    /// When, where that is known.
    pub at: Option<Timestamp>,
    /// What.
    pub event: StationEvent,
}

impl Epoch {
    /// Whether it cuts from then on as a station does whose wheel is new and true.
    #[must_use]
    pub const fn is_fresh(&self) -> bool {
        matches!(self.event, StationEvent::NewWheel | StationEvent::Recalibrated)
    }
}

impl Work {
    /// What happened to the stations and was not undone, in the order of commits.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn station_epochs(&self) -> Result<Vec<Epoch>, WorkError> {
        let holding = Holding::of_no_job(&self.book)?;
        let epoch = |line: &Line| match line.fact {
            Fact::Bench(Bench::Station(event)) => Some(Epoch {
                station: holding.ledger.station(line.id),
                position: line.position,
                at: line.at,
                event,
            }),
            _ => None,
        };
        Ok(holding.holding().filter_map(epoch).collect())
    }

    /// The dial that a station last stated.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn dial(&self, station: StationId) -> Result<Option<Dial>, WorkError> {
        Ok(dial_by(&Holding::of_no_job(&self.book)?, station))
    }

    /// The dial of the station that is here; none where it was not said which of several.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn station(&self) -> Result<Option<Dial>, WorkError> {
        match dial_of(&self.book, &self.settings) {
            Err(WorkError::WhichStation { .. } | WorkError::NoStation { .. }) => Ok(None),
            dial => dial.map(Some),
        }
    }

    /// What the keypad that writes `journal` is told of its station. The revision is that of the newest record that bears
    /// on it.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn station_for(&self, journal: JournalId) -> Result<Station, WorkError> {
        let holding = Holding::of_no_job(&self.book)?;
        Ok(Station {
            revision: revision(self.own_journal()?, stated(&holding)),
            includes_upto: self.last_of(journal)?,
            dial: dial_by(&holding, self.station_of(journal)?),
            habit: self.settings.sizing,
            flow: self.settings.bench,
        })
    }

    /// The position of what was stated last, of the station or of the choices that keypads are told; it bears on every card.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn stated_position(&self) -> Result<i64, WorkError> {
        Ok(stated(&Holding::of_no_job(&self.book)?))
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

/// The revision of what a record at this position made, for a keypad, which holds it in 32 bits: the position, and behind
/// it eight bits of the console's own journal. A book that was put back from a copy goes on in a journal of its own, and
/// gives positions once more; what a keypad was told by them before shall not pass for what it is told now.
pub fn revision(own: JournalId, position: i64) -> u32 {
    let position = u32::try_from(position.saturating_add(1)).unwrap_or(u32::MAX);
    position.saturating_mul(1 << 8).saturating_add(own.0 as u32 & 0xff)
}

fn stated(holding: &Holding) -> i64 {
    // What was typed for a station moves no keypad.
    let bears = |line: &&Line| match &line.fact {
        Fact::Bench(_) | Fact::Desk(Desk::Choices(_)) => true,
        Fact::Desk(Desk::Placement(placement)) => placement.upto.is_none(),
        _ => false,
    };
    holding.lines.iter().filter(bears).map(|line| line.position).max().unwrap_or(0)
}

/// The dial of the station that is here, which it must have stated.
pub(super) fn dial_of(reader: &Reader, settings: &Settings) -> Result<Dial, WorkError> {
    let holding = Holding::of_no_job(reader)?;
    let stations = Stations::of(&holding);
    let station = here(reader, &stations, settings)?;
    dial_by(&holding, station).ok_or_else(|| stations.not_stated(station))
}

fn dial_by(holding: &Holding, station: StationId) -> Option<Dial> {
    holding.ledger.dial(station, holding.told()).map(|(_, dial)| dial)
}
