//! What is said of stations: their names, and which journals stand at them.

use super::append::{Writing, append_desk_of_no_job};
use super::stations::{Stations, here, next_of};
use super::{Work, WorkError};
use crate::desk::{Desk, Naming, Placement};
use bevelbook_core::record::{JournalId, RecordId, StationId};

impl Work {
    /// The shop's stations.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn stations(&self) -> Result<Stations, WorkError> {
        Stations::in_book(&self.book)
    }

    /// The station for which what is typed here speaks: the one that was named for it, else the shop's only one, else that at
    /// which this console stands.
    ///
    /// # Errors
    /// There are several, and none was said; or the book cannot be read.
    pub fn here(&self) -> Result<StationId, WorkError> {
        here(&self.book, &self.stations()?, &self.settings)
    }

    /// The same, none where it was not said which of several.
    ///
    /// # Errors
    /// The one that was named is not there; or the book cannot be read.
    pub fn here_if_said(&self) -> Result<Option<StationId>, WorkError> {
        match self.here() {
            Err(WorkError::WhichStation { .. }) => Ok(None),
            here => here.map(Some),
        }
    }

    /// The station that is named next: that of a shop in which none has a name, whichever the settings name; else the one that is
    /// here.
    ///
    /// # Errors
    /// As [`Work::here`].
    pub fn to_be_named(&self) -> Result<StationId, WorkError> {
        if self.stations()?.names().is_empty() { Ok(StationId::FIRST) } else { self.here() }
    }

    /// Names a station, for the first time or anew.
    ///
    /// # Errors
    /// Another one is called so; or the book refuses.
    pub fn name_station(&mut self, station: StationId, name: &str) -> Result<RecordId, WorkError> {
        self.change(|tx| named(tx, &Stations::in_book(tx)?, station, name))
    }

    /// One more station begins, with this name.
    ///
    /// # Errors
    /// Another one is called so, or the one that there is has no name yet; or the book refuses.
    pub fn add_station(&mut self, name: &str) -> Result<RecordId, WorkError> {
        self.change(|tx| {
            let stations = Stations::in_book(tx)?;
            if stations.known.iter().any(|(_, name)| name.is_none()) {
                return Err(WorkError::StationUnnamed);
            }
            let station = StationId::told_by(tx.next_id()?);
            named(tx, &stations, station, name)
        })
    }

    /// A journal stands at a station from a number on, which is else that of its next record.
    ///
    /// # Errors
    /// The book refuses.
    pub fn stand(
        &mut self,
        journal: JournalId,
        station: StationId,
        from: Option<u32>,
    ) -> Result<(RecordId, Placement), WorkError> {
        self.change(|tx| {
            let from = from.map_or_else(|| next_of(tx, journal).map(|next| next.seq), Ok)?;
            let placement = Placement { journal, from, upto: None, station };
            Ok((append_desk_of_no_job(tx, &Desk::Placement(placement))?, placement))
        })
    }

    /// At which station a journal stands by now.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn station_of(&self, journal: JournalId) -> Result<StationId, WorkError> {
        Ok(self.stations()?.of_record(next_of(&self.book, journal)?))
    }
}

fn named(
    tx: &mut Writing<'_, '_>,
    stations: &Stations,
    station: StationId,
    name: &str,
) -> Result<RecordId, WorkError> {
    match stations.called(name) {
        Ok(other) if other != station => Err(WorkError::StationCalledSo { name: name.to_owned() }),
        _ => append_desk_of_no_job(tx, &Desk::Naming(Naming { station, name: name.to_owned() })),
    }
}
