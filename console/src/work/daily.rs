//! A backup of the book on each day that it is written to.

use super::{Work, WorkError};
use jiff::civil::DateTime;
use std::path::PathBuf;

impl Work {
    /// Makes today's backup: the first of the day, of a book in a file that has records, unless the settings want none.
    ///
    /// # Errors
    /// It could not be made, for example since the book is not sound; the book itself is as it was.
    pub fn back_up_daily(&self, now: DateTime) -> Result<Option<PathBuf>, WorkError> {
        let days = self.settings.backup.days;
        let last = || Ok::<_, WorkError>(self.book.backups()?.pop());
        let by_itself = days > 0 && self.place().as_file().is_some();
        if !by_itself || self.book.is_empty()? || last()?.is_some_and(|last| last.at.date() >= now.date()) {
            return Ok(None);
        }
        Ok(self.book.back_up(now, days)?)
    }
}
