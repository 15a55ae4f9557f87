//! Stations: which there are, what they are called, and for which of them a record speaks.
//!
//! A shop with one station calls it nothing, and everything speaks for it. Where there are several, a journal stands at one of
//! them from a number of its own on ([`crate::desk::Placement`]): a keypad's, and that of a console at which work is typed. A console that
//! stands at none, as at a counter, is asked for which station it speaks; what it says of one is placed there with it.

use super::WorkError;
use super::holding::{Fact, Holding, Line};
use super::near::same;
use super::sets::Sets;
use crate::desk::{Desk, Naming};
use crate::settings::Settings;
use crate::store::Reader;
use bevelbook_core::record::{JournalId, Ledger, RecordId, StationId};

/// The stations of a shop.
#[derive(Clone, Debug)]
pub struct Stations {
    ledger: Ledger<Sets>,
    /// The first one, and those that have a name; in the order in which they got it.
    pub(super) known: Vec<(StationId, Option<String>)>,
}

impl Stations {
    pub(super) fn of(holding: &Holding) -> Self {
        let mut known = vec![(StationId::FIRST, None)];
        for line in holding.holding() {
            let Fact::Desk(Desk::Naming(Naming { station, name })) = &line.fact else { continue };
            match known.iter_mut().find(|(known, _)| known == station) {
                Some((_, known)) => *known = Some(name.clone()),
                None => known.push((*station, Some(name.clone()))),
            }
        }
        Self { ledger: holding.ledger.clone(), known }
    }

    /// As a book tells them. Most have one, and are not read through for that.
    pub(super) fn in_book(reader: &Reader) -> Result<Self, WorkError> {
        let any = reader.count_of_kind(Desk::NAMING)? > 0;
        if any { Ok(Self::of(&Holding::of_no_job(reader)?)) } else { Ok(Self::default()) }
    }

    /// Whether there is more than one.
    #[must_use]
    pub fn are_several(&self) -> bool {
        self.known.len() > 1
    }

    /// All of them, the first one first.
    pub fn all(&self) -> impl Iterator<Item = StationId> {
        self.known.iter().map(|(id, _)| *id)
    }

    /// What one is called; of the first one of several that has no name that it has none.
    #[must_use]
    pub fn name(&self, id: StationId) -> &str {
        let known = self.known.iter().find(|(known, _)| *known == id);
        known.and_then(|(_, name)| name.as_deref()).unwrap_or(UNNAMED)
    }

    /// The same where there are several to be told apart.
    #[must_use]
    pub fn told(&self, id: StationId) -> Option<&str> {
        self.are_several().then(|| self.name(id))
    }

    /// The one that a record speaks for.
    #[must_use]
    pub fn of_record(&self, id: RecordId) -> StationId {
        self.ledger.station(id)
    }

    /// Where there are several, the one at which was ground, or said, what a record tells: what a desk says was said at none
    /// unless its journal stands at one.
    #[must_use]
    pub fn told_of(&self, line: &Line) -> Option<&str> {
        let placed = self.ledger.placed(line.id);
        let at = if matches!(line.fact, Fact::Bench(_)) { Some(placed.unwrap_or_default()) } else { placed };
        at.and_then(|at| self.told(at))
    }

    /// The one that is called so.
    ///
    /// # Errors
    /// There is none.
    pub fn called(&self, name: &str) -> Result<StationId, WorkError> {
        let known =
            self.known.iter().find(|(_, known)| known.as_deref().is_some_and(|known| same(known, name)));
        known
            .map(|(id, _)| *id)
            .ok_or_else(|| WorkError::NoStationCalled { name: name.to_owned(), known: self.names() })
    }

    /// That one has not stated its dial.
    pub(crate) fn not_stated(&self, id: StationId) -> WorkError {
        let known = self.known.iter().find(|(known, _)| self.are_several() && *known == id);
        WorkError::NoStation { called: known.and_then(|(_, name)| name.clone()) }
    }

    /// Those that one has.
    pub(super) fn names(&self) -> Vec<String> {
        self.known.iter().filter_map(|(_, name)| name.clone()).collect()
    }

    /// At which a journal stands whose next number is this, if that was said.
    fn stands(&self, next: RecordId) -> Option<StationId> {
        self.ledger.placed(next)
    }
}

impl Default for Stations {
    fn default() -> Self {
        Self { ledger: Ledger::default(), known: vec![(StationId::FIRST, None)] }
    }
}

/// What a station is called that has no name beside others that have one.
const UNNAMED: &str = "the station without a name";

/// The next record of a journal.
pub(super) fn next_of(reader: &Reader, journal: JournalId) -> Result<RecordId, WorkError> {
    let seq = reader.last_seq(journal)?.unwrap_or(0).saturating_add(1);
    Ok(RecordId { journal, seq })
}

/// The station for which what is typed here speaks: the one that was named for it, else the shop's only one, else that at which
/// this console stands.
pub(super) fn here(
    reader: &Reader,
    stations: &Stations,
    settings: &Settings,
) -> Result<StationId, WorkError> {
    if let Some(name) = &settings.desk.station {
        return stations.called(name);
    }
    if !stations.are_several() {
        return Ok(StationId::FIRST);
    }
    let next = reader.home()?.map(|own| next_of(reader, own)).transpose()?;
    let stands = next.and_then(|next| stations.stands(next));
    stands.ok_or_else(|| WorkError::WhichStation { known: stations.names() })
}
