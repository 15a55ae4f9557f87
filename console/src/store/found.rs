//! What jobs are found by, without reading their records: words, which whoever knows what records say gives to each
//! job. They follow from the records up to a position, and are made anew from them where they are missing.
//!
//! A book that cannot be written, or has no such words yet, gets them in memory ([`Reader::in_memory`]): the tables of
//! the same names there stand before the book's, so that all is read in one way.

use super::error::failed;
use super::schema::words_in_memory;
use super::{Error, Reader, Tx};
use rusqlite::{OptionalExtension, Params};
use std::collections::BTreeSet;

/// Up to where the words of a book follow its records.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Upto {
    /// The version of the words, which the one who gives them counts.
    pub version: u32,
    /// The position of the last record that they follow.
    pub position: i64,
}

/// A difference between the words that the book has and those that its records give.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stray {
    /// The job.
    pub job: u64,
    /// The word.
    pub word: String,
    /// Whether the records give it.
    pub given: bool,
}

impl Reader {
    /// The jobs that are found by a word.
    ///
    /// # Errors
    /// The database cannot be read.
    pub fn found_by(&self, word: &str) -> Result<Vec<u64>, Error> {
        self.rows("SELECT job FROM found_by WHERE word = ?1", [word], |r| {
            Ok(r.get::<_, i64>(0)?.cast_unsigned())
        })
    }

    /// The words that begin so, rising, and the jobs that are found by them.
    ///
    /// # Errors
    /// The database cannot be read.
    pub fn found_by_beginning(&self, beginning: &str) -> Result<Vec<(String, u64)>, Error> {
        self.found_between(beginning, &format!("{beginning}\u{10ffff}"))
    }

    /// The words that stand between two, rising, and the jobs that are found by them; the first may be among them.
    ///
    /// # Errors
    /// The database cannot be read.
    pub fn found_between(&self, first: &str, end: &str) -> Result<Vec<(String, u64)>, Error> {
        let sql = "SELECT word, job FROM found_by WHERE word >= ?1 AND word < ?2 ORDER BY word, job";
        self.rows(sql, [first, end], found)
    }

    /// The last words that begin so, at most `most` of them, the last first, and the jobs that are found by them.
    ///
    /// # Errors
    /// The database cannot be read.
    pub fn last_found_by_beginning(&self, beginning: &str, most: u32) -> Result<Vec<(String, u64)>, Error> {
        let sql = "SELECT word, job FROM found_by WHERE word >= ?1 AND word < ?1 || char(1114111)
                   ORDER BY word DESC LIMIT ?2";
        self.rows(sql, (beginning, most), found)
    }

    /// The last word that begins so.
    ///
    /// # Errors
    /// The database cannot be read.
    pub fn last_word(&self, beginning: &str) -> Result<Option<String>, Error> {
        let sql = "SELECT max(word) FROM found_by WHERE word >= ?1 AND word < ?1 || char(1114111)";
        self.ask("cannot look up a word", |conn| {
            conn.prepare_cached(sql)?.query_row([beginning], |r| r.get(0))
        })
    }

    /// The words that a job is found by.
    ///
    /// # Errors
    /// The database cannot be read.
    pub fn words_of(&self, job: u64) -> Result<BTreeSet<String>, Error> {
        let words =
            self.rows("SELECT word FROM found_by WHERE job = ?1", [job.cast_signed()], |r| r.get(0))?;
        Ok(words.into_iter().collect())
    }

    /// Up to where the words follow the records; none when there are no words yet.
    ///
    /// # Errors
    /// The database cannot be read.
    pub fn found_upto(&self) -> Result<Option<Upto>, Error> {
        let sql = "SELECT version, position FROM found_upto";
        self.ask("cannot look up the words", |conn| {
            let row = |r: &rusqlite::Row<'_>| Ok(Upto { version: r.get(0)?, position: r.get(1)? });
            conn.prepare_cached(sql)?.query_row([], row).optional()
        })
    }

    /// Words of this reader's own, empty, which it takes for the book's from now on.
    ///
    /// # Errors
    /// There is no memory.
    pub fn in_memory(&self) -> Result<Words<'_>, Error> {
        self.ask("cannot make words in memory", words_in_memory)?;
        Ok(Words(self))
    }

    /// How the book's words differ from those in memory, at most `most` of the differences; those in memory are dropped.
    ///
    /// # Errors
    /// The database cannot be read.
    pub fn strays(&self, most: u32) -> Result<Vec<Stray>, Error> {
        let sql = "SELECT job, word, given FROM (
                       SELECT *, 1 AS given FROM (SELECT job, word FROM temp.found_by EXCEPT SELECT job, word FROM main.found_by)
                       UNION ALL
                       SELECT *, 0 FROM (SELECT job, word FROM main.found_by EXCEPT SELECT job, word FROM temp.found_by)
                   ) ORDER BY job, word LIMIT ?1";
        let row = |r: &rusqlite::Row<'_>| {
            Ok(Stray { job: r.get::<_, i64>(0)?.cast_unsigned(), word: r.get(1)?, given: r.get(2)? })
        };
        let strays = self.rows(sql, [most], row)?;
        self.conn.flush_prepared_statement_cache();
        self.ask("cannot drop the words in memory", |conn| {
            conn.execute_batch("DROP TABLE temp.found_by; DROP TABLE temp.found_upto")
        })?;
        Ok(strays)
    }
}

fn found(row: &rusqlite::Row<'_>) -> rusqlite::Result<(String, u64)> {
    Ok((row.get(0)?, row.get::<_, i64>(1)?.cast_unsigned()))
}

impl Tx<'_> {
    /// The words of the book, to be changed.
    pub fn words(&mut self) -> Words<'_> {
        Words(self)
    }
}

/// The words of a book, or those in memory that stand before them.
#[derive(Debug)]
pub struct Words<'r>(&'r Reader);

impl std::ops::Deref for Words<'_> {
    type Target = Reader;

    fn deref(&self) -> &Reader {
        self.0
    }
}

impl Words<'_> {
    /// One more word that a job is found by.
    ///
    /// # Errors
    /// The database refuses.
    pub fn add(&mut self, job: u64, word: &str) -> Result<(), Error> {
        self.change(
            "INSERT INTO found_by (job, word) VALUES (?1, ?2) ON CONFLICT DO NOTHING",
            (job.cast_signed(), word),
        )
    }

    /// The words that a job is found by are these and no others.
    ///
    /// # Errors
    /// The database refuses.
    pub fn set(&mut self, job: u64, words: &BTreeSet<String>) -> Result<(), Error> {
        let before = self.words_of(job)?;
        for word in before.difference(words) {
            self.change("DELETE FROM found_by WHERE job = ?1 AND word = ?2", (job.cast_signed(), word))?;
        }
        words.difference(&before).try_for_each(|word| self.add(job, word))
    }

    /// Forgets all of them, and up to where they followed.
    ///
    /// # Errors
    /// The database refuses.
    pub fn forget(&mut self) -> Result<(), Error> {
        self.change("DELETE FROM found_by", [])?;
        self.change("DELETE FROM found_upto", [])
    }

    /// The words follow the records up to there.
    ///
    /// # Errors
    /// The database refuses.
    pub fn follow(&mut self, upto: Upto) -> Result<(), Error> {
        let sql = "INSERT INTO found_upto (one, version, position) VALUES (1, ?1, ?2)
                   ON CONFLICT (one) DO UPDATE SET version = excluded.version, position = excluded.position";
        self.change(sql, (upto.version, upto.position))
    }

    fn change(&mut self, sql: &str, values: impl Params) -> Result<(), Error> {
        let changed = self.0.conn.prepare_cached(sql).and_then(|mut sql| sql.execute(values));
        self.0.join(changed.map(drop).map_err(failed("cannot change a word")))
    }
}
