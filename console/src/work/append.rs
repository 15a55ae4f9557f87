//! Records as they are appended inside a write.

use super::WorkError;
use super::stations::{Stations, here};
use super::words::by_filing;
use crate::desk::{Desk, Placement};
use crate::settings::{Settings, SignedBy};
use crate::store::{Entry, NewEntry, Tx};
use bevelbook_core::record::{Bench, FIRST_DESK_KIND, JobId, Logged, MAX_ENCODED, RecordId};
use std::ops::{Deref, DerefMut};

/// A write to the book, with the settings that say who writes.
pub(super) struct Writing<'w, 'b> {
    tx: &'w mut Tx<'b>,
    settings: &'w Settings,
}

impl<'w, 'b> Writing<'w, 'b> {
    pub(super) const fn of(tx: &'w mut Tx<'b>, settings: &'w Settings) -> Self {
        Self { tx, settings }
    }

    /// The initials that are put down with what is said at the desk, as far as it has none of its own.
    fn initials(&self, fact: &Desk) -> Result<Option<&'w str>, WorkError> {
        let desk = &self.settings.desk;
        match desk.signed_by {
            _ if !fact.is_said() => return Ok(None),
            SignedBy::Nobody => {}
            SignedBy::Station if !fact.is_said_at_a_station() => {}
            SignedBy::Station => drop(here(self, &Stations::in_book(self)?, self.settings)?),
            SignedBy::Initials if desk.initials.is_none() && !fact.has_initials() => {
                return Err(WorkError::WhoSays);
            }
            SignedBy::Initials => {}
        }
        Ok(desk.initials.as_deref())
    }
}

impl<'b> Deref for Writing<'_, 'b> {
    type Target = Tx<'b>;

    fn deref(&self) -> &Tx<'b> {
        self.tx
    }
}

impl DerefMut for Writing<'_, '_> {
    fn deref_mut(&mut self) -> &mut Self::Target {
        self.tx
    }
}

pub(super) fn append_bench(tx: &mut Tx<'_>, fact: &Bench) -> Result<RecordId, WorkError> {
    Logged { id: tx.next_id()?, fact: *fact }.possible()?;
    let mut buffer = [0; MAX_ENCODED];
    let payload = fact.encode(&mut buffer).map_err(WorkError::Encode)?.to_vec();
    let job = fact.job().map(|job| job.0);
    Ok(tx.append(&NewEntry { kind: fact.kind(), job, payload, utc_ms: Some(now_ms()) })?)
}

pub(super) fn append_desk(
    writing: &mut Writing<'_, '_>,
    job: JobId,
    fact: &Desk,
) -> Result<RecordId, WorkError> {
    append_desk_entry(writing, Some(job.0), fact)
}

pub(super) fn append_desk_of_no_job(
    writing: &mut Writing<'_, '_>,
    fact: &Desk,
) -> Result<RecordId, WorkError> {
    append_desk_entry(writing, None, fact)
}

fn append_desk_entry(
    writing: &mut Writing<'_, '_>,
    job: Option<u64>,
    fact: &Desk,
) -> Result<RecordId, WorkError> {
    let initials = writing.initials(fact)?;
    let payload = fact.encode_by(initials).map_err(WorkError::EncodeDesk)?;
    if let (Desk::Filing(filing), Some(under)) = (fact, job) {
        // What is folded next in this write asks for it.
        writing.words().add(under, &by_filing(filing.from))?;
    }
    Ok(writing.append(&NewEntry { kind: fact.kind(), job, payload, utc_ms: Some(now_ms()) })?)
}

pub(super) fn now_ms() -> i64 {
    jiff::Timestamp::now().as_millisecond()
}

/// What this console wrote from a number of its own on speaks for the station that was named for it.
pub(super) fn speak(tx: &mut Writing<'_, '_>, from: RecordId) -> Result<(), WorkError> {
    let settings = tx.settings;
    let upto = tx.next_id()?.seq.saturating_sub(1);
    if settings.desk.station.is_none() || upto < from.seq {
        return Ok(());
    }
    let wrote = tx.entries_of_journal(from.journal, from.seq..=upto)?;
    let speaks = |entry: &Entry| match Desk::decode(entry.kind, &entry.payload) {
        Ok(fact) => fact.is_said_at_a_station(),
        Err(_) => entry.kind < FIRST_DESK_KIND,
    };
    if !wrote.iter().any(speaks) {
        return Ok(());
    }
    let stations = Stations::in_book(tx)?;
    let station = here(tx, &stations, settings)?;
    if wrote.iter().any(|entry| stations.of_record(entry.id) != station) {
        let placement = Placement { journal: from.journal, from: from.seq, upto: Some(upto), station };
        append_desk_of_no_job(tx, &Desk::Placement(placement))?;
    }
    Ok(())
}
