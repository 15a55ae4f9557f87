//! Records as they are appended inside a write.

use super::WorkError;
use super::words::by_filing;
use crate::desk::Desk;
use crate::store::{NewEntry, Tx};
use bevelbook_core::record::{Bench, JobId, Logged, MAX_ENCODED, RecordId};

pub(super) fn append_bench(tx: &mut Tx<'_>, fact: &Bench) -> Result<RecordId, WorkError> {
    Logged { id: tx.next_id()?, fact: *fact }.possible()?;
    let mut buffer = [0; MAX_ENCODED];
    let payload = fact.encode(&mut buffer).map_err(WorkError::Encode)?.to_vec();
    let job = fact.job().map(|job| job.0);
    Ok(tx.append(&NewEntry { kind: fact.kind(), job, payload, utc_ms: Some(now_ms()) })?)
}

pub(super) fn append_desk(tx: &mut Tx<'_>, job: JobId, fact: &Desk) -> Result<RecordId, WorkError> {
    append_desk_entry(tx, Some(job.0), fact)
}

pub(super) fn append_desk_of_no_job(tx: &mut Tx<'_>, fact: &Desk) -> Result<RecordId, WorkError> {
    append_desk_entry(tx, None, fact)
}

pub(super) fn append_desk_entry(
    tx: &mut Tx<'_>,
    job: Option<u64>,
    fact: &Desk,
) -> Result<RecordId, WorkError> {
    let payload = fact.encode().map_err(WorkError::EncodeDesk)?;
    if let (Desk::Filing(filing), Some(under)) = (fact, job) {
        // What is folded next in this write asks for it.
        tx.words().add(under, &by_filing(filing.from))?;
    }
    Ok(tx.append(&NewEntry { kind: fact.kind(), job, payload, utc_ms: Some(now_ms()) })?)
}

pub(super) fn now_ms() -> i64 {
    jiff::Timestamp::now().as_millisecond()
}
