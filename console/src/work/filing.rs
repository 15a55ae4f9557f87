//! Jobs that were opened at the bench, and how they come under their order.

use super::desk::open;
use super::{Job, Work, WorkError, append_desk, job_of, logged};
use crate::desk::{Desk, Filing};
use crate::store::{Entry, Reader};
use bevelbook_core::prescription::Eye;
use bevelbook_core::record::{Bench, JobId, JobState, Logged, Opened, PairId, fold, is_voided};
use bevelbook_core::sizing::Rim;

/// The kind code of the record that opens a job at the bench.
const OPENED: u8 = Bench::Opened(Opened { job: JobId(0), rim: Rim::Metal }).kind();

/// The kind code of the record that files one.
fn filing_kind() -> u8 {
    Desk::Filing(Filing { from: JobId(0) }).kind()
}

/// A job that was opened at the bench and belongs to no order yet.
#[derive(Clone, Debug)]
pub struct Unfiled {
    /// Its identity.
    pub id: JobId,
    /// What holds its lenses.
    pub rim: Rim,
    /// How many records it has.
    pub records: usize,
    /// The state of its work.
    pub state: JobState,
}

impl Work {
    /// The jobs that were opened at the bench and belong to no order yet, oldest first.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn unfiled(&self) -> Result<Vec<Unfiled>, WorkError> {
        unfiled_of(&self.book)
    }

    /// The unfiled job whose identity begins with `wanted`.
    ///
    /// # Errors
    /// None or more than one does.
    pub fn find_unfiled(&self, wanted: &str) -> Result<Unfiled, WorkError> {
        let unfiled = self.unfiled()?;
        let mut meant = unfiled.iter().filter(|job| job.id.to_string().starts_with(wanted));
        match (meant.next(), meant.next()) {
            (Some(job), None) => Ok(job.clone()),
            (None, _) => Err(WorkError::NoJob {
                wanted: wanted.into(),
                hint: match unfiled.len() {
                    0 => "no job of a keypad waits to be filed".into(),
                    _ => format!("jobs waiting to be filed: {}", listed(unfiled.iter())),
                },
            }),
            (Some(one), Some(other)) => Err(WorkError::Ambiguous {
                wanted: wanted.into(),
                candidates: listed([one, other].into_iter().chain(meant)),
            }),
        }
    }

    /// Files an unfiled job under the order of `id`: its facts become that job's, in the order in which they were
    /// committed.
    ///
    /// # Errors
    /// The job is closed, or `from` is no unfiled job.
    pub fn file(&mut self, from: JobId, id: JobId) -> Result<Job, WorkError> {
        self.change(|tx| {
            open(tx, id)?;
            if !unfiled_of(tx)?.iter().any(|job| job.id == from) {
                let hint = "it is not waiting to be filed".into();
                return Err(WorkError::NoJob { wanted: from.to_string(), hint });
            }
            append_desk(tx, id, &Desk::Filing(Filing { from }))?;
            job_of(tx, id)
        })
    }
}

/// The job that an entry files, if it is a filing.
pub(super) fn filed_from(entry: &Entry) -> Option<JobId> {
    if entry.kind != filing_kind() {
        return None;
    }
    match Desk::decode(entry.kind, &entry.payload) {
        Ok(Desk::Filing(filing)) => Some(filing.from),
        _ => None,
    }
}

fn unfiled_of(reader: &Reader) -> Result<Vec<Unfiled>, WorkError> {
    let mut filed = Vec::new();
    for entry in reader.entries_of_kind(filing_kind())? {
        let void = reader.entries_of_job(entry.job.unwrap_or_default())?;
        if !is_voided(entry.id, void.iter().filter_map(logged)) {
            filed.extend(filed_from(&entry));
        }
    }
    let mut unfiled = Vec::new();
    for entry in reader.entries_of_kind(OPENED)? {
        let Some(Logged { id: opening, fact: Bench::Opened(Opened { job, rim }) }) = logged(&entry) else {
            continue;
        };
        let facts: Vec<Logged> = reader.entries_of_job(job.0)?.iter().filter_map(logged).collect();
        if filed.contains(&job) || is_voided(opening, facts.iter().copied()) {
            continue;
        }
        let state = fold(PairId { job, numbers: [1; Eye::BOTH.len()] }, &facts.iter().copied());
        unfiled.push(Unfiled { id: job, rim, records: facts.len(), state });
    }
    Ok(unfiled)
}

fn listed<'a>(jobs: impl Iterator<Item = &'a Unfiled>) -> String {
    jobs.map(|job| job.id.to_string()).collect::<Vec<_>>().join(", ")
}
