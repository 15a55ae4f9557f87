//! A change of the book: what is written, and with it what jobs are found by.

use super::append::{Writing, speak};
use super::{Job, Work, WorkError, follow, job_of};
use crate::settings::Settings;
use crate::store::{Book, Reader};
use bevelbook_core::record::JobId;
use std::mem::replace;

impl Work {
    /// Changes the book in one transaction; all or nothing.
    pub(super) fn change<T>(
        &mut self,
        change: impl FnMut(&mut Writing<'_, '_>) -> Result<T, WorkError>,
    ) -> Result<T, WorkError> {
        write(&mut self.book, &self.settings, change)
    }

    /// The same of a change of one job.
    pub(super) fn change_of<T>(
        &mut self,
        id: JobId,
        change: impl FnMut(&mut Writing<'_, '_>) -> Result<T, WorkError>,
    ) -> Result<T, WorkError> {
        write_of(&mut self.book, &self.settings, id, change)
    }
}

/// Changes the book in one transaction, and with it what its jobs are found by. What was said by this console speaks for the
/// station that its settings name.
pub(super) fn write<T>(
    book: &mut Book,
    settings: &Settings,
    change: impl FnMut(&mut Writing<'_, '_>) -> Result<T, WorkError>,
) -> Result<T, WorkError> {
    write_about(book, settings, None, |_| (), change)
}

/// The same of a change of one job.
pub(super) fn write_of<T>(
    book: &mut Book,
    settings: &Settings,
    id: JobId,
    change: impl FnMut(&mut Writing<'_, '_>) -> Result<T, WorkError>,
) -> Result<T, WorkError> {
    write_about(book, settings, Some(id), |_| (), change)
}

/// The same, where `change` is about a job, and will ask what `ask` asks.
pub(super) fn write_about<T>(
    book: &mut Book,
    settings: &Settings,
    job: Option<JobId>,
    ask: impl Fn(&Reader),
    mut change: impl FnMut(&mut Writing<'_, '_>) -> Result<T, WorkError>,
) -> Result<T, WorkError> {
    let asks_of_it = |reader: &Reader| {
        let _ = follow::new(reader);
        let _ = job.map(|id| (job_of(reader, id), reader.words_of(id.0)));
    };
    let first = |reader: &Reader| {
        let _ = follow::are_whole(reader);
        asks_of_it(reader);
        ask(reader);
    };
    let mut again = false;
    let written = book.write_ahead(first, |tx| {
        if replace(&mut again, true) && tx.words_in_memory().is_some() {
            follow::in_memory(tx)?;
        }
        // An import in between is not followed yet, and what is decided here rests on words.
        if !follow::are_whole(tx)? {
            follow::follow(&mut tx.words())?;
        }
        let from = tx.next_id()?;
        let mut writing = Writing::of(tx, settings);
        let done = change(&mut writing)?;
        speak(&mut writing, from)?;
        tx.ahead(asks_of_it)?;
        follow::follow(&mut tx.words())?;
        Ok(done)
    });
    // Those in memory may follow what was undone.
    if written.is_err() && book.words_in_memory().is_some() {
        // Whoever cannot read any more is told so by what he does next.
        drop(follow::in_memory(book));
    }
    written
}

/// The job behind what was just written of it.
pub(super) fn job_then(reader: &Reader, id: JobId) -> Result<Job, WorkError> {
    // What the words follow by is asked with it.
    reader.ahead(|reader| drop((job_of(reader, id), follow::new(reader))))?;
    job_of(reader, id)
}
