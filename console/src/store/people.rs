//! People's names, in a table apart from the records, which only carry a reference.
//!
//! A reference is any text the caller chose; records keep it for ever, so it must not itself say who it is.

use super::{Book, Error, Reader, Tx};
use rusqlite::OptionalExtension;

impl Reader {
    /// The name behind a reference.
    ///
    /// # Errors
    /// The database cannot be read.
    pub fn person(&self, reference: &str) -> Result<Option<String>, Error> {
        self.conn
            .prepare_cached("SELECT name FROM person WHERE reference = ?1")
            .and_then(|mut s| s.query_row([reference], |r| r.get(0)).optional())
            .map_err(|e| self.failed("cannot read a name", e))
    }
}

impl Tx<'_> {
    /// Sets or corrects the name behind a reference.
    ///
    /// # Errors
    /// The database refuses.
    pub fn set_person(&mut self, reference: &str, name: &str) -> Result<(), Error> {
        let sql = "INSERT INTO person (reference, name) VALUES (?1, ?2)
                   ON CONFLICT (reference) DO UPDATE SET name = ?2";
        self.conn.execute(sql, [reference, name]).map_err(|e| self.failed("cannot write a name", e))?;
        Ok(())
    }
}

impl Book {
    /// Sets or corrects the name behind a reference.
    ///
    /// # Errors
    /// As [`Book::write`].
    pub fn set_person(&mut self, reference: &str, name: &str) -> Result<(), Error> {
        self.write(|tx| tx.set_person(reference, name))
    }

    /// Removes a name from the book's tables, free pages and log; `false` when there was none, in which case
    /// the pages and the log are tidied all the same. Backups made before still hold it.
    ///
    /// # Errors
    /// [`Error::LogHeld`] when another program is reading an older state: the name is out of the tables then but
    /// not yet out of the file. Otherwise as [`Book::write`].
    pub fn forget_person(&mut self, reference: &str) -> Result<bool, Error> {
        let removed = self.write(|tx| {
            tx.conn
                .execute("DELETE FROM person WHERE reference = ?1", [reference])
                .map_err(|e| tx.failed("cannot remove a name", e))
        })?;
        let failed = |e| self.failed("cannot tidy after removing a name", e);
        self.conn.execute_batch("VACUUM").map_err(failed)?;
        let held: bool =
            self.conn.query_row("PRAGMA wal_checkpoint(TRUNCATE)", [], |r| r.get(0)).map_err(failed)?;
        if held {
            return Err(Error::LogHeld { path: self.path().to_path_buf() });
        }
        Ok(removed > 0)
    }
}
