//! People's names, in a table apart from the records, which only carry a reference.
//!
//! A reference is any text the caller chose; records keep it for ever, so it must not itself say who it is.

use super::chain::of_person;
use super::engine::Conn;
use super::fault::failed;
use super::server::Patience;
use super::value::values;
use super::{Book, Error, Reader, Trouble, Tx};

impl Reader {
    /// The name behind a reference; none for a role that may not read names.
    ///
    /// # Errors
    /// The database cannot be read.
    pub fn person(&self, reference: &str) -> Result<Option<String>, Error> {
        if self.nameless().is_some() {
            return Ok(None);
        }
        let sql = "SELECT name FROM person WHERE reference = ?1";
        self.ask("cannot read a name", |conn| conn.first(sql, values![reference], |r| r.get(0)))
    }
}

impl Tx<'_> {
    /// Sets or corrects the name behind a reference.
    ///
    /// # Errors
    /// The role may not set names; there is a NUL in one of them, which a server keeps in no text; or the database refuses.
    pub fn set_person(&mut self, reference: &str, name: &str) -> Result<(), Error> {
        self.may_set_names()?;
        let sql = "INSERT INTO person (reference, name, digest) VALUES (?1, ?2, ?3)
                   ON CONFLICT (reference) DO UPDATE SET name = excluded.name, digest = excluded.digest";
        if reference.contains('\0') || name.contains('\0') {
            return self.join(Err(Trouble::Nul { what: "a name or its reference" }));
        }
        let digest = of_person(reference, name);
        self.ask("cannot write a name", |conn| conn.put(sql, values![reference, name, &digest]))
    }
}

impl Book {
    /// Removes a name from the book's tables, free pages and log: whether there was one, and whether these are tidied, which is
    /// done in either case. Backups made before still hold it.
    ///
    /// # Errors
    /// [`Trouble::LogHeld`] when another program is reading an older state: the name is out of the tables then but
    /// not yet out of the file. Otherwise as [`Book::write`].
    pub fn forget_person(&mut self, reference: &str) -> Result<(bool, bool), Error> {
        self.may_set_names()?;
        self.wait_as(Patience::WholeBook);
        let removed = self.write(|tx| {
            let sql = "DELETE FROM person WHERE reference = ?1";
            tx.ask("cannot remove a name", |conn| conn.execute(sql, values![reference]))
        })?;
        self.join(tidy(&self.conn).map(|tidied| (removed > 0, tidied)))
    }
}

/// Removes what a removed name left behind: in a file free pages and the log; on a server the row that nobody sees any more.
/// Whether nothing is left.
fn tidy(conn: &Conn) -> Result<bool, Trouble> {
    let failed = failed("cannot tidy after removing a name");
    let owns = conn.rights().is_none_or(|rights| rights.owns);
    match conn {
        Conn::File(file) => {
            let tidied = file.execute_batch("VACUUM").and_then(|()| {
                file.query_row("PRAGMA wal_checkpoint(TRUNCATE)", [], |r| r.get::<_, bool>(0))
            });
            if tidied.map_err(|source| failed(source.into()))? { Err(Trouble::LogHeld) } else { Ok(true) }
        }
        // Of what is not the role's own the server itself tidies some time.
        Conn::Server(_) if !owns => Ok(false),
        Conn::Server(link) => {
            let vacuumed = link.batch("VACUUM (FULL) person").and_then(|()| link.batch("VACUUM person"));
            match vacuumed.map_err(failed) {
                // The name is gone all the same.
                Err(Trouble::Busy | Trouble::Away { .. }) => return Ok(false),
                vacuumed => vacuumed?,
            }
            // A row that somebody's open snapshot still sees is written anew with the others, and its page is none that all see.
            let sql = "SELECT relallvisible = relpages FROM pg_catalog.pg_class
                       WHERE oid = CAST('bevelbook.person' AS pg_catalog.regclass)";
            conn.value(sql, values![]).map_err(failed)
        }
    }
}
