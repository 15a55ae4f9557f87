//! What is kept apart.

use super::Error;
use super::entry::{Entry, columns, entry};
use super::read::{Reader, records};
use super::value::values;
use bevelbook_core::record::JournalId;

impl Reader {
    /// The records that are kept apart, each with the reason why it does not count, in the order of commits.
    ///
    /// # Errors
    /// The database cannot be read.
    pub fn apart(&self) -> Result<Vec<Entry>, Error> {
        self.rows(records!("apart IS NOT NULL"), values![], entry)
    }

    /// The jobs with records behind a position that are kept apart.
    ///
    /// # Errors
    /// The database cannot be read.
    pub fn jobs_apart_after(&self, position: i64) -> Result<Vec<u64>, Error> {
        let sql =
            "SELECT DISTINCT job FROM record WHERE position > ?1 AND apart IS NOT NULL AND job IS NOT NULL";
        self.rows(sql, values![position], |r| r.get(0))
    }

    /// The positions and numbers of a journal's records of a job that are kept apart, in the order of commits.
    ///
    /// # Errors
    /// The database cannot be read.
    pub fn apart_of_job(&self, job: u64, journal: JournalId) -> Result<Vec<(i64, u32)>, Error> {
        let sql = "SELECT position, seq FROM record WHERE apart IS NOT NULL AND job = ?1 AND journal = ?2 \
                   ORDER BY position";
        self.rows(sql, values![job, journal], |r| Ok((r.get(0)?, r.get(1)?)))
    }
}
