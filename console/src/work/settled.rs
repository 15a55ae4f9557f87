//! What was decided of records under one number, and where nothing was yet.

use super::WorkError;
use super::holding::Fact;
use crate::desk::{Desk, Keep, Settlement};
use crate::store::{Entry, Reader};
use bevelbook_core::record::{JournalId, RecordId};

/// Every settlement. That none is voided is seen to where records are voided.
pub(super) fn settlements(reader: &Reader) -> Result<Vec<Settlement>, WorkError> {
    let entries = reader.entries_of_kind(Desk::SETTLEMENT)?;
    let settlement = |entry: Entry| match Fact::read(entry.kind, &entry.payload) {
        Fact::Desk(Desk::Settlement(settlement)) => Some(settlement),
        _ => None,
    };
    Ok(entries.into_iter().filter_map(settlement).collect())
}

/// Which of the two was to count, once that was decided.
pub(super) fn settled_by(settlements: &[Settlement], arrived: &Entry) -> Option<Keep> {
    let said = arrived.saying();
    let of_it = |settlement: &&Settlement| settlement.record == arrived.id && settlement.arrived == said;
    settlements.iter().find(of_it).map(|settlement| settlement.keep)
}

/// The records under whose number it is not decided yet which one counts, rising.
pub(super) fn unsettled(reader: &Reader) -> Result<Vec<RecordId>, WorkError> {
    let mut arrived = reader.conflicts()?;
    if !arrived.is_empty() {
        let known = settlements(reader)?;
        arrived.retain(|arrived| settled_by(&known, arrived).is_none());
    }
    let mut records: Vec<RecordId> = arrived.into_iter().map(|arrived| arrived.id).collect();
    records.sort_unstable();
    records.dedup();
    Ok(records)
}

/// The least number of a journal under which that is so.
pub(super) fn first_unsettled(reader: &Reader, journal: JournalId) -> Result<Option<u32>, WorkError> {
    Ok(unsettled(reader)?.into_iter().find(|record| record.journal == journal).map(|record| record.seq))
}
