//! Two different records under one number: a keypad whose memory was put back, or a second one with its journal.
//!
//! The book keeps the first and, apart from it, each other that arrives. Nothing is acknowledged to that keypad beyond the
//! number until a person has decided which record counts ([`Settlement`]). If it is the one that arrived, the one in the
//! book is voided and the console logs what arrived as a record of its own: nothing else is known of voids and facts. A
//! settlement is not undone; what was decided wrongly is voided and logged again.

use super::append::{Writing, append_bench, append_desk_of_no_job};
use super::bench::void_in;
use super::holding::Line;
use super::settled::{settled_by, settlements};
use super::starts;
use super::{Work, WorkError};
use crate::desk::{Desk, Keep, Settlement};
use crate::store::Entry;
use bevelbook_core::record::{Bench, RecordId};

/// A record that arrived under a number already taken.
#[derive(Clone, Debug)]
pub struct Conflict {
    /// The one in the book.
    pub book: Line,
    /// The one that arrived later.
    pub arrived: Line,
    /// Which of them counts, once that was decided.
    pub settled: Option<Keep>,
}

impl Work {
    /// Every record that arrived under a number already taken, in the order of arrival.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn conflicts(&self) -> Result<Vec<Conflict>, WorkError> {
        let settled = settlements(&self.book)?;
        let conflict = |arrived: Entry| -> Result<Option<Conflict>, WorkError> {
            let (book, settled) = (self.book.entry(arrived.id)?, settled_by(&settled, &arrived));
            let mut lines = book.map(|book| [Line::new(&book), Line::new(&arrived)]);
            starts::tell(&self.book, lines.iter_mut().flatten())?;
            Ok(lines.map(|[book, arrived]| Conflict { book, arrived, settled }))
        };
        self.book.conflicts()?.into_iter().filter_map(|arrived| conflict(arrived).transpose()).collect()
    }

    /// Decides which of the records under a number counts. Of several that arrived it is the last one that may.
    ///
    /// # Errors
    /// Nothing is to be decided there, or what arrived is nothing that the console can log.
    pub fn settle(&mut self, record: RecordId, keep: Keep) -> Result<(), WorkError> {
        self.change(|tx| {
            let known = settlements(tx)?;
            let mut arrived = tx.conflicts_with(record)?;
            arrived.retain(|arrived| settled_by(&known, arrived).is_none());
            let Some(last) = arrived.pop() else { return Err(WorkError::NothingToSettle(record)) };
            for other in &arrived {
                put_down(tx, other, Keep::Book)?;
            }
            if keep == Keep::Arrived {
                take(tx, record, &last)?;
            }
            put_down(tx, &last, keep)
        })
    }
}

fn put_down(tx: &mut Writing<'_, '_>, arrived: &Entry, keep: Keep) -> Result<(), WorkError> {
    let settlement = Settlement { record: arrived.id, arrived: arrived.saying(), keep };
    append_desk_of_no_job(tx, &Desk::Settlement(settlement)).map(drop)
}

/// The console logs what arrived in the place of what the book has.
fn take(tx: &mut Writing<'_, '_>, record: RecordId, arrived: &Entry) -> Result<(), WorkError> {
    let refused = |why: String| WorkError::NotTaken { id: record, why };
    if let Some(why) = &arrived.apart {
        return Err(refused(why.clone()));
    }
    let fact = Bench::decode(arrived.kind, &arrived.payload).map_err(|why| refused(why.to_string()))?;
    let counts = tx.entry(record)?.is_some_and(|book| book.apart.is_none());
    match void_in(tx, record) {
        Err(WorkError::AlreadyVoid(_)) => {}
        Err(_) if !counts => {}
        voided => drop(voided?),
    }
    append_bench(tx, &fact).map(drop)
}
