//! This console's own journal in a book that many consoles write.
//!
//! A console is known by the fingerprint of the place where it runs: the machine and the folder of its data. Those of one
//! machine and one person share a journal, which is safe: numbers are allotted within a write, and one writes at a time. The
//! server's part of the place is which server, and which making of the book there: one that was put back from a backup, copied, or
//! taken over by a server that stood by may lack what was written last, and would give numbers a second time. There the console
//! begins another journal, as with a file that was copied.
//!
//! Machines that were made of one disk image pass for one console as well, and what is said of it, as at which station it stands,
//! is said of all of them. Records are safe, for the reason above. It is told while two of them are connected: each connection
//! holds an advisory lock that names the console and the start of its machine, which no two machines share.

use super::denied::Denied;
use super::link::{LISTEN, Link};
use super::meaning::denied;
use super::rights;
use super::schema;
use crate::store::fault::failed;
use crate::store::value::{Fault, For, Row, values};
use crate::store::{Trouble, file::paths};
use bevelbook_core::record::JournalId;
use std::ops::ControlFlow;

/// So many consoles are looked through for this one. More make it ask for itself.
const CONSOLES: usize = 1000;

const BEGINNING: &str = "cannot begin a journal";

/// The version of the book, this console's journal, what its role may, and that it wants to be told of others' writes: what
/// opening asks, all in one message. None where the server refuses any of it, or this console is not among the first: what is
/// wrong, or missing, they tell who ask one by one.
pub(super) fn meet(link: &Link, listens: bool) -> Option<i64> {
    let (version, rights) = (schema::VERSION, rights::columns("current_user"));
    let listen = if listens { LISTEN } else { "" };
    let message = format!(
        "{version};{};SELECT {rights};SELECT fingerprint, journal FROM bevelbook.console LIMIT {CONSOLES};{listen}",
        which_and_twin()
    );
    let answers = link.several(message, Vec::new()).ok()?;
    let [version, which, rights, consoles] = answers.as_slice() else { return None };
    let version = Row::Told(version.first()?).get(0).ok()?;
    let which = Row::Told(which.first()?);
    let here = paths::console_fingerprint(&which.get::<String>(0).ok()?);
    let twin = which.get(1).ok()?;
    let rights = rights::read(&Row::Told(rights.first()?), 0).ok()?;
    let consoles = consoles.iter().map(Row::Told).map(|row| Ok((row.get(0)?, row.get(1)?)));
    let consoles: Vec<(u64, JournalId)> = consoles.collect::<Result<_, Fault>>().ok()?;
    let own = consoles.iter().find(|(console, _)| *console == here).map(|(_, journal)| *journal);
    if own.is_none() && consoles.len() == CONSOLES {
        return None;
    }
    link.here.set(Some(here));
    link.twin.set(twin);
    link.own.set(own);
    link.know(rights);
    if listens {
        link.is_told();
    }
    Some(version)
}

/// Finds the journal that this console writes, if one was begun, and what its role may.
pub(super) fn find(link: &Link) -> Result<(), Trouble> {
    let here = here(link);
    let sql = format!(
        "SELECT (SELECT journal FROM console WHERE fingerprint = ?1), {}",
        rights::columns("current_user")
    );
    let found = link.run(&sql, values![here], &mut |row| {
        link.own.set(row.try_get::<_, Option<i64>>(0)?.map(|id| JournalId(id.cast_unsigned())));
        link.know(rights::read(&Row::Server(row), 1)?);
        Ok(ControlFlow::Break(()))
    });
    found.map(drop).map_err(failed(BEGINNING))
}

/// Which server, which line of its history, which database and which making of the tables; a server that does not tell that is
/// taken for the one that it was.
const WHICH: &str = "concat_ws('/', (SELECT system_identifier FROM pg_control_system()),
           CASE WHEN pg_is_in_recovery() THEN '' ELSE left(pg_walfile_name(pg_current_wal_lsn()), 8) END,
           (SELECT oid FROM pg_database WHERE datname = current_database()),
           (SELECT oid FROM pg_namespace WHERE nspname = 'bevelbook'))";

/// That, and whether another machine is connected as this console; this connection tells others of itself.
fn which_and_twin() -> String {
    let (console, start) = paths::console_and_start();
    format!(
        "SELECT {WHICH},
           EXISTS (SELECT 1 FROM pg_locks WHERE locktype = 'advisory' AND objsubid = 1
               AND classid = CAST({console} AS oid) AND objid <> CAST({start} AS oid)
               AND database = (SELECT oid FROM pg_database WHERE datname = current_database())),
           pg_advisory_lock_shared((CAST({console} AS bigint) << 32) + {start})"
    )
}

/// The fingerprint of this console at this server's book.
fn here(link: &Link) -> u64 {
    if let Some(here) = link.here.get() {
        return here;
    }
    let mut which = String::new();
    let asked = link.run(&which_and_twin(), &[], &mut |row| {
        which = row.try_get(0)?;
        link.twin.set(row.try_get(1)?);
        Ok(ControlFlow::Break(()))
    });
    // Not every engine has such locks.
    let asked = asked.or_else(|_| {
        link.run(&format!("SELECT {WHICH}"), &[], &mut |row| {
            which = row.try_get(0)?;
            Ok(ControlFlow::Break(()))
        })
    });
    // Whatever is wrong with the connection is told by the next question.
    drop(asked);
    let here = paths::console_fingerprint(&which);
    link.here.set(Some(here));
    here
}

/// What is told where another machine works as this console.
pub(super) const TWIN: &str = "another machine works with this book as this console, as where both were made of one disk image: \
     what is typed at either is numbered as one console's and speaks for the station at which that stands. No record is lost \
     by it. Give one of them an id of its own (on Linux: rm /etc/machine-id; systemd-machine-id-setup), or say --station with \
     each command. Where this machine was started again a moment ago, this may be its own connection of before";

/// Sees to it that this console has a journal; of a role that may only look nothing is written.
pub(super) fn settle(link: &Link) -> Result<(), Trouble> {
    if link.rights().is_none() {
        find(link)?;
    }
    if let Some(rights) = link.rights().filter(|rights| !rights.logs) {
        return Err(denied(Denied::Log { role: rights.role.clone() }));
    }
    if link.own.get().is_some() {
        return Ok(());
    }
    let journal = JournalId(getrandom::u64().map_err(Trouble::Entropy)?);
    let begun = || -> Result<(), Fault> {
        link.begin(For::Writing)?;
        let none = &mut |_: &tokio_postgres::Row| Ok(ControlFlow::Continue(()));
        link.run("INSERT INTO journal (id, begun_here) VALUES (?1, ?2)", values![journal, true], none)?;
        // Another program of this console may have been first.
        let sql = "INSERT INTO console (fingerprint, journal) VALUES (?1, ?2) ON CONFLICT DO NOTHING";
        match link.run(sql, values![here(link), journal], none)? {
            0 => link.undo(),
            _ => link.commit()?,
        }
        Ok(())
    };
    begun().inspect_err(|_| link.undo()).map_err(failed(BEGINNING))?;
    find(link)
}
