//! What a ledger over the book keeps in mind.

use bevelbook_core::record::{JobId, JournalId, Notes, Placed, RecordId, StationId};
use std::collections::{HashMap, HashSet};

/// Voids, filings, and for which stations records speak.
#[derive(Clone, Debug, Default)]
pub struct Sets {
    voids: HashSet<RecordId>,
    voids_at_console: HashSet<RecordId>,
    filings: HashMap<JobId, JobId>,
    placed: HashMap<JournalId, Vec<Placed>>,
}

impl Notes for Sets {
    fn note_void(&mut self, target: RecordId) {
        self.voids.insert(target);
    }

    fn is_void(&self, id: RecordId) -> bool {
        self.voids.contains(&id)
    }

    fn note_void_at_console(&mut self, target: RecordId) {
        self.voids_at_console.insert(target);
    }

    fn is_void_at_console(&self, id: RecordId) -> bool {
        self.voids_at_console.contains(&id)
    }

    fn note_filing(&mut self, from: JobId, under: JobId) {
        self.filings.entry(from).or_insert(under);
    }

    fn filed_under(&self, job: JobId) -> Option<JobId> {
        self.filings.get(&job).copied()
    }

    fn note_placed(&mut self, placed: Placed) {
        self.placed.entry(placed.journal).or_default().push(placed);
    }

    fn placed(&self, id: RecordId) -> Option<StationId> {
        self.placed.get(&id.journal)?.iter().rfind(|placed| placed.has(id)).map(|placed| placed.station)
    }
}
