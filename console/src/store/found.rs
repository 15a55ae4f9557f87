//! What jobs are found by, without reading their records: words, which whoever knows what records say gives to each
//! job. They follow from the records up to a position, and are made anew from them where they are missing.
//!
//! A book that cannot be written, has no such words yet, or has those of a newer program, gets them in memory
//! ([`Reader::in_memory`]): a database of its own with the same tables, which is asked instead of the book's.

use super::engine::Conn;
use super::fault::failed;
use super::listed::listed;
use super::value::{Fault, Row, Value, values};
use super::{Error, Reader, Tx};
use std::collections::BTreeSet;
use std::ops::ControlFlow;

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

/// The longest word, in bytes: a server's index takes none of a third of its page (8 KiB) or more.
const LONGEST: usize = 2600;

/// Whether every engine keeps a word; in a text of a server is no NUL.
#[must_use]
pub fn can_be_kept(word: &str) -> bool {
    word.len() <= LONGEST && !word.contains('\0')
}

impl Reader {
    /// The jobs that are found by a word.
    ///
    /// # Errors
    /// The database cannot be read.
    pub fn found_by(&self, word: &str) -> Result<Vec<u64>, Error> {
        self.look_up("SELECT job FROM found_by WHERE word = ?1", values![word], |r| r.get(0))
    }

    /// The words that begin so, rising, and the jobs that are found by them.
    ///
    /// # Errors
    /// The database cannot be read.
    pub fn found_by_beginning(&self, beginning: &str) -> Result<Vec<(String, u64)>, Error> {
        self.found_between(beginning, &behind(beginning))
    }

    /// The words that stand between two, rising, and the jobs that are found by them; the first may be among them.
    ///
    /// # Errors
    /// The database cannot be read.
    pub fn found_between(&self, first: &str, end: &str) -> Result<Vec<(String, u64)>, Error> {
        let sql = "SELECT word, job FROM found_by WHERE word >= ?1 AND word < ?2 ORDER BY word, job";
        self.look_up(sql, values![first, end], found)
    }

    /// The last words that begin so, at most `most` of them, the last first, and the jobs that are found by them.
    ///
    /// # Errors
    /// The database cannot be read.
    pub fn last_found_by_beginning(&self, beginning: &str, most: u32) -> Result<Vec<(String, u64)>, Error> {
        let sql = "SELECT word, job FROM found_by WHERE word >= ?1 AND word < ?2 ORDER BY word DESC LIMIT ?3";
        self.look_up(sql, values![beginning, &behind(beginning), most], found)
    }

    /// The last word that begins so.
    ///
    /// # Errors
    /// The database cannot be read.
    pub fn last_word(&self, beginning: &str) -> Result<Option<String>, Error> {
        let last = self.last_found_by_beginning(beginning, 1)?;
        Ok(last.into_iter().next().map(|(word, _)| word))
    }

    /// The words of jobs that begin so, and for each job one more word: all jobs that are found by them.
    ///
    /// # Errors
    /// The database cannot be read.
    pub fn found_with(&self, jobs: &[(u64, String)], beginning: &str) -> Result<Vec<(String, u64)>, Error> {
        let (mut all, end) = (Vec::new(), behind(beginning));
        for some in jobs.chunks(Self::AT_ONCE) {
            let (ids, words): (Vec<u64>, Vec<&String>) = some.iter().map(|(id, word)| (*id, word)).unzip();
            let (jobs, of_jobs) = listed(3, &ids);
            let (others, of_others) = listed(3 + of_jobs.len(), &words);
            let sql = format!(
                "SELECT word, job FROM found_by WHERE word IN ({others})
                 UNION
                 SELECT shared.word, shared.job
                 FROM found_by AS own JOIN found_by AS shared ON shared.word = own.word
                 WHERE own.job IN ({jobs}) AND own.word >= ?1 AND own.word < ?2"
            );
            let values = [values![beginning, &end].as_slice(), &of_jobs, &of_others].concat();
            all.append(&mut self.look_up(&sql, &values, found)?);
        }
        Ok(all)
    }

    /// The words that a job is found by.
    ///
    /// # Errors
    /// The database cannot be read.
    pub fn words_of(&self, job: u64) -> Result<BTreeSet<String>, Error> {
        let words = self.look_up("SELECT word FROM found_by WHERE job = ?1", values![job], |r| r.get(0))?;
        Ok(words.into_iter().collect())
    }

    /// Gives every word of every job to `give`, until that breaks off.
    pub(super) fn each_word(&self, mut give: impl FnMut(u64, &str) -> ControlFlow<()>) -> Result<(), Error> {
        let words = self.words.borrow();
        self.ask("cannot read the words", |book| {
            words.as_ref().unwrap_or(book).each("SELECT job, word FROM found_by", values![], &mut |row| {
                Ok(give(row.get(0)?, &row.get::<String>(1)?))
            })
        })
    }

    /// Up to where the words follow the records; none when there are no words yet.
    ///
    /// # Errors
    /// The database cannot be read.
    pub fn found_upto(&self) -> Result<Option<Upto>, Error> {
        let sql = "SELECT version, position FROM found_upto";
        let row = |r: &Row<'_>| Ok(Upto { version: r.get(0)?, position: r.get(1)? });
        Ok(self.look_up(sql, values![], row)?.into_iter().next())
    }

    /// Whether the words of that version follow all records there are.
    ///
    /// # Errors
    /// The database cannot be read.
    pub fn follows_all(&self, version: u32) -> Result<bool, Error> {
        let sql = "SELECT EXISTS (SELECT 1 FROM found_upto WHERE version = ?1
                                  AND position = (SELECT coalesce(max(position), 0) FROM record))";
        self.ask("cannot look up a word", |conn| conn.value(sql, values![version]))
    }

    /// Words of this reader's own, empty, which it takes for the book's from now on.
    ///
    /// # Errors
    /// There is no memory.
    pub fn in_memory(&self) -> Result<Words<'_>, Error> {
        let words = tables_in_memory().map_err(failed("cannot make words in memory"));
        self.words.replace(Some(self.join(words)?));
        Ok(Words(self))
    }

    /// Those in memory, while there are any.
    #[must_use]
    pub fn words_in_memory(&self) -> Option<Words<'_>> {
        self.words.borrow().is_some().then_some(Words(self))
    }

    /// How the book's words differ from those in memory, at most `most` of the differences; those in memory are dropped.
    ///
    /// # Errors
    /// The database cannot be read.
    pub fn strays(&self, most: usize) -> Result<Vec<Stray>, Error> {
        let all = |reader: &Self| -> Result<BTreeSet<(u64, String)>, Error> {
            let words = reader
                .look_up("SELECT job, word FROM found_by", values![], |r| Ok((r.get(0)?, r.get(1)?)))?;
            Ok(words.into_iter().collect())
        };
        let given = all(self)?;
        self.words.replace(None);
        let kept = all(self)?;
        let stray = |(job, word): &(u64, String)| Stray {
            job: *job,
            word: word.clone(),
            given: given.contains(&(*job, word.clone())),
        };
        Ok(given.symmetric_difference(&kept).take(most).map(stray).collect())
    }

    /// Asks the words in memory where there are any, else the book's.
    fn look_up<T>(
        &self,
        sql: &str,
        values: &[Value<'_>],
        row: impl FnMut(&Row<'_>) -> Result<T, Fault>,
    ) -> Result<Vec<T>, Error> {
        let words = self.words.borrow();
        self.ask("cannot look up a word", |book| words.as_ref().unwrap_or(book).rows(sql, values, row))
    }
}

/// What stands behind every word that begins so.
fn behind(beginning: &str) -> String {
    format!("{beginning}\u{10ffff}")
}

/// The tables for what jobs are found by, in memory.
fn tables_in_memory() -> Result<Conn, Fault> {
    let conn = rusqlite::Connection::open_in_memory()?;
    conn.execute_batch(
        "CREATE TABLE found_by (word TEXT NOT NULL, job INTEGER NOT NULL, PRIMARY KEY (word, job)) WITHOUT ROWID;
         CREATE INDEX found_by_job ON found_by (job);
         CREATE TABLE found_upto
             (one INTEGER PRIMARY KEY, version INTEGER NOT NULL, position INTEGER NOT NULL)",
    )?;
    Ok(Conn::File(conn))
}

fn found(row: &Row<'_>) -> Result<(String, u64), Fault> {
    Ok((row.get(0)?, row.get(1)?))
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
            values![job, word],
        )
    }

    /// The words that a job is found by are these and no others.
    ///
    /// # Errors
    /// The database refuses.
    pub fn set(&mut self, job: u64, words: &BTreeSet<String>) -> Result<(), Error> {
        let before = self.words_of(job)?;
        for word in before.difference(words) {
            self.change("DELETE FROM found_by WHERE job = ?1 AND word = ?2", values![job, word.as_str()])?;
        }
        words.difference(&before).try_for_each(|word| self.add(job, word))
    }

    /// Forgets all of them, and up to where they followed.
    ///
    /// # Errors
    /// The database refuses.
    pub fn forget(&mut self) -> Result<(), Error> {
        self.change("DELETE FROM found_by", values![])?;
        self.change("DELETE FROM found_upto", values![])
    }

    /// The words follow the records up to there.
    ///
    /// # Errors
    /// The database refuses.
    pub fn follow(&mut self, upto: Upto) -> Result<(), Error> {
        let sql = "INSERT INTO found_upto (one, version, position) VALUES (1, ?1, ?2)
                   ON CONFLICT (one) DO UPDATE SET version = excluded.version, position = excluded.position";
        self.change(sql, values![upto.version, upto.position])
    }

    fn change(&mut self, sql: &str, values: &[Value<'_>]) -> Result<(), Error> {
        let words = self.0.words.borrow();
        self.0.ask("cannot change a word", |book| words.as_ref().unwrap_or(book).put(sql, values))
    }
}
