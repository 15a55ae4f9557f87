//! The rows of a book, given away.
//!
//! Rows are given one by one, each as it stands in its table; `lines.rs` writes them down.
//! A table is read in the order of its positions. What cannot be read is passed over, position by position until a row
//! is there again, and told.

use super::entry::{Entry, columns, entry};
use super::fault::failed;
use super::value::{Fault, values};
use super::{Error, Reader};
use std::ops::ControlFlow;

/// Rows of a table that could not be read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unread {
    /// The table.
    pub what: &'static str,
    /// The first position that could not be read.
    pub from: i64,
    /// The last one; none when nothing behind could be read.
    pub upto: Option<i64>,
    /// What the database said.
    pub why: String,
}

impl Reader {
    /// Gives every record, and then what arrived under numbers already taken, to `give`, in the order of commits; a
    /// record with `false`, a conflict with `true`. What cannot be read is passed over and returned.
    ///
    /// # Errors
    /// Those of `give`.
    pub fn each_entry<E: From<Error>>(
        &self,
        mut give: impl FnMut(Entry, bool) -> Result<(), E>,
    ) -> Result<Vec<Unread>, E> {
        let records = concat!("SELECT ", columns!(), " FROM record WHERE position >= ?1 ORDER BY position");
        let conflicts =
            concat!("SELECT ", columns!(), " FROM conflict WHERE position >= ?1 ORDER BY position");
        let mut unread = self.each("record", records, |entry| give(entry, false))?;
        unread.extend(self.each("conflict", conflicts, |entry| give(entry, true))?);
        Ok(unread)
    }

    /// Every name with its reference, in the order of references; none for a role that may not read names.
    ///
    /// # Errors
    /// The database cannot be read.
    pub fn people(&self) -> Result<Vec<(String, String)>, Error> {
        if self.nameless().is_some() {
            return Ok(Vec::new());
        }
        self.rows("SELECT reference, name FROM person ORDER BY reference", values![], |r| {
            Ok((r.get(0)?, r.get(1)?))
        })
    }

    /// Gives every row of a table that can be read; `sql` reads those from a position on.
    fn each<E: From<Error>>(
        &self,
        what: &'static str,
        sql: &str,
        mut give: impl FnMut(Entry) -> Result<(), E>,
    ) -> Result<Vec<Unread>, E> {
        let (mut unread, mut next, mut damaged) = (Vec::<Unread>::new(), 1, false);
        loop {
            let why = self.stretch(sql, next, |entry| {
                if let Some(passed) = unread.last_mut().filter(|_| damaged) {
                    (passed.upto, damaged) = (Some(entry.position - 1), false);
                }
                next = entry.position.saturating_add(1);
                give(entry)
            })?;
            let Some(why) = why else { return Ok(unread) };
            if let fault @ (Fault::Server(_) | Fault::Silent(_)) = why {
                // It is no row that cannot be read: the server refused, and goes on refusing.
                return Err(failed("cannot read")(fault).at(self.place()).into());
            }
            if !damaged {
                let why = why.to_string();
                unread.push(Unread { what, from: next, upto: None, why });
                damaged = true;
            }
            // Row by row, so that nothing is passed over that can be read.
            next += 1;
            if next > self.given_upto(what) {
                return Ok(unread);
            }
        }
    }

    /// Reads rows until one cannot be read, and gives what the database said of that.
    fn stretch<E: From<Error>>(
        &self,
        sql: &str,
        from: i64,
        mut give: impl FnMut(Entry) -> Result<(), E>,
    ) -> Result<Option<Fault>, E> {
        let mut given = Ok(());
        let read = self.conn.each(sql, values![from], &mut |row| {
            given = give(entry(row)?);
            Ok(if given.is_ok() { ControlFlow::Continue(()) } else { ControlFlow::Break(()) })
        });
        given.map(|()| read.err())
    }

    /// How far positions go that a table has given; where even that cannot be read, as far as is worth looking.
    fn given_upto(&self, table: &str) -> i64 {
        const FAR: i64 = 10_000_000;
        self.conn.last_given(table).unwrap_or(FAR)
    }
}
