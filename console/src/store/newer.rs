//! What came behind a position.

use super::value::{Row, values};
use super::{Error, Reader};
use std::collections::BTreeSet;
use std::ops::ControlFlow;

/// What there is behind a position.
#[derive(Debug, Default)]
pub struct Newer {
    /// The position of the last record, also of one that is kept apart.
    pub last: Option<i64>,
    /// The jobs that records belong to.
    pub jobs: BTreeSet<u64>,
    /// Whether there are some that belong to no job.
    pub of_no_job: bool,
    /// What records of one kind say, and their jobs, in the order of commits.
    pub said: Vec<(u64, Vec<u8>)>,
}

impl Reader {
    /// What there is behind a position, and of those of one kind of the console's own what they say.
    ///
    /// # Errors
    /// The database cannot be read.
    pub fn newer(&self, position: i64, kind: u8) -> Result<Newer, Error> {
        // In their order, hence by their positions: the index of jobs would be gone through from end to end.
        let sql = "SELECT position, apart IS NULL, job, CASE WHEN kind = ?2 THEN payload END FROM record
                   WHERE position > ?1 ORDER BY position";
        let mut newer = Newer::default();
        let mut note = |row: &Row<'_>| {
            newer.last = Some(row.get(0)?);
            match (row.get(1)?, row.get::<Option<u64>>(2)?) {
                (true, Some(job)) => {
                    newer.jobs.insert(job);
                    newer.said.extend(row.get::<Option<Vec<u8>>>(3)?.map(|said| (job, said)));
                }
                (true, None) => newer.of_no_job = true,
                (false, _) => {}
            }
            Ok(ControlFlow::Continue(()))
        };
        self.ask("cannot read", |conn| conn.each(sql, values![position, kind], &mut note))?;
        Ok(newer)
    }
}
