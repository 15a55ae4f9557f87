//! Jobs that were opened at the bench, and how they come under their order.

use super::append::append_desk;
use super::change::job_then;
use super::desk::open;
use super::holding::{Holding, Line};
use super::words::{GONE, OWN};
use super::{Job, Work, WorkError};
use crate::desk::{Desk, Filing};
use crate::store::Reader;
use bevelbook_core::record::{JobId, JobState};
use bevelbook_core::sizing::Rim;

/// A job that was opened at the bench and belongs to no order yet.
#[derive(Clone, Debug)]
pub struct Unfiled {
    /// Its identity.
    pub id: JobId,
    /// What holds its lenses.
    pub rim: Rim,
    /// Every record, oldest first.
    pub lines: Vec<Line>,
    /// The state of its work.
    pub state: JobState,
    /// Whether the record that opened it does not hold.
    pub void: bool,
}

impl Work {
    /// The jobs that were opened at the bench and belong to no order yet, oldest first.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn unfiled(&self) -> Result<Vec<Unfiled>, WorkError> {
        self.opened(&[OWN])
    }

    /// The same with those that were undone.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn unfiled_or_gone(&self) -> Result<Vec<Unfiled>, WorkError> {
        self.opened(&[OWN, GONE])
    }

    fn opened(&self, words: &[&str]) -> Result<Vec<Unfiled>, WorkError> {
        let mut opened = Vec::new();
        for word in words {
            for id in self.book.found_by(word)? {
                opened.extend(unfiled_in(&self.book, JobId(id))?);
            }
        }
        opened.sort_by_key(|job| job.lines.first().map(|line| line.position));
        Ok(opened)
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
        self.change_of(id, |tx| {
            open(tx, id)?;
            if unfiled_in(tx, from)?.is_none_or(|job| job.void) {
                let hint = "it is not waiting to be filed".into();
                return Err(WorkError::NoJob { wanted: from.to_string(), hint });
            }
            append_desk(tx, id, &Desk::Filing(Filing { from }))?;
            job_then(tx, id)
        })
    }
}

fn unfiled_in(reader: &Reader, id: JobId) -> Result<Option<Unfiled>, WorkError> {
    Ok(unfiled_of(id, Holding::of_job_alone(reader, id)?))
}

/// The job `id`, if it was opened at the bench and belongs to no order.
pub(super) fn unfiled_of(id: JobId, holding: Holding) -> Option<Unfiled> {
    let (rim, void) = holding.opening(id)?;
    let state = holding.ledger.job(id, holding.told());
    let mut lines = holding.lines;
    lines.retain(|line| line.job == Some(id));
    Some(Unfiled { id, rim, lines, state, void })
}

fn listed<'a>(jobs: impl Iterator<Item = &'a Unfiled>) -> String {
    jobs.map(|job| job.id.to_string()).collect::<Vec<_>>().join(", ")
}
