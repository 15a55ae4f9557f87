//! How an older book becomes a newer one.
//!
//! A book made by newer software is refused; an older one is backed up beside itself and migrated, each migration
//! once, all in one immediate transaction, so that two consoles opening at once do it once.

use super::mark::{APPLICATION_ID, version};
use super::part::Part;
use super::place::{beside, make_folder};
use super::schema::{MAKING, MIGRATIONS, Migration};
use super::{Trouble, backup, error};
use crate::file::folder_of;
use rusqlite::{Connection, OpenFlags, Transaction, TransactionBehavior};
use std::path::Path;

/// Begins a book at `path`: it is there only when it is whole. `false` where something is there already.
pub(super) fn begin(path: &Path) -> Result<bool, Trouble> {
    if path.exists() {
        return Ok(false);
    }
    make_folder(folder_of(path))?;
    let part = Part::of(path)?;
    let failed = error::failed(MAKING);
    let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    let conn = Connection::open_with_flags(part.path(), flags).map_err(failed)?;
    migrate(&conn, part.path(), MIGRATIONS)?;
    conn.close().map_err(|(_, e)| failed(e))?;
    part.finish_unless_there(path)
}

/// Brings the database to the newest of `migrations`. Where that is already so, nothing is written.
pub(super) fn migrate(conn: &Connection, path: &Path, migrations: &[Migration]) -> Result<(), Trouble> {
    let known = migrations.len().cast_signed() as i64;
    if version(conn, known)? == known {
        return Ok(());
    }
    let failed = error::failed(MAKING);
    let tx = Transaction::new_unchecked(conn, TransactionBehavior::Immediate).map_err(failed)?;
    // Asked again with the write lock held: another console may have been first.
    let found = version(&tx, known)?;
    if found == known {
        return Ok(());
    }
    if found > 0 {
        // A second connection reads what is committed while this one holds the lock, so nothing slips between.
        let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX;
        let source = Connection::open_with_flags(path, flags).map_err(failed)?;
        backup::copy(&source, &beside(path, &format!(".schema-{found}")))?;
    }
    for (_, migration) in (1_i64..).zip(migrations).filter(|(step, _)| *step > found) {
        migration.run(&tx)?;
    }
    tx.pragma_update(None, "application_id", APPLICATION_ID).map_err(failed)?;
    tx.pragma_update(None, "user_version", known).map_err(failed)?;
    tx.commit().map_err(failed)
}
