//! How an older book becomes a newer one.
//!
//! A book made by newer software is refused; an older one is backed up beside itself and migrated, each migration
//! once, all in one immediate transaction, so that two consoles opening at once do it once.

use super::backup;
use super::mark::{APPLICATION_ID, version};
use super::part::Part;
use super::paths::{beside, make_folder};
use super::schema::{MAKING, MIGRATIONS, Migration};
use crate::file::folder_of;
use crate::store::engine::Conn;
use crate::store::value::For;
use crate::store::{Trouble, fault};
use rusqlite::OpenFlags;
use std::path::Path;

/// Begins a book at `path`: it is there only when it is whole. `false` where something is there already.
pub(in crate::store) fn begin(path: &Path) -> Result<bool, Trouble> {
    if path.exists() {
        return Ok(false);
    }
    make_folder(folder_of(path))?;
    let part = Part::of(path)?;
    let failed = fault::failed(MAKING);
    let conn = Conn::file(part.path(), OpenFlags::SQLITE_OPEN_READ_WRITE).map_err(failed)?;
    migrate(&conn, part.path(), MIGRATIONS)?;
    conn.close().map_err(failed)?;
    part.finish_unless_there(path)
}

/// Brings the database to the newest of `migrations`. Where that is already so, nothing is written.
pub(in crate::store) fn migrate(conn: &Conn, path: &Path, migrations: &[Migration]) -> Result<(), Trouble> {
    let known = migrations.len().cast_signed() as i64;
    if version(conn, known)? == known {
        return Ok(());
    }
    let failed = fault::failed(MAKING);
    let tx = conn.begin(For::Making).map_err(failed)?;
    // Asked again with the write lock held: another console may have been first.
    let found = version(conn, known)?;
    if found == known {
        return Ok(());
    }
    if found > 0 {
        // A second connection reads what is committed while this one holds the lock, so nothing slips between.
        let source = Conn::file(path, OpenFlags::SQLITE_OPEN_READ_WRITE).map_err(failed)?;
        backup::copy(&source, &beside(path, &format!(".schema-{found}")))?;
    }
    for (_, migration) in (1_i64..).zip(migrations).filter(|(step, _)| *step > found) {
        migration.run(conn)?;
    }
    let marks = format!("PRAGMA application_id = {APPLICATION_ID}; PRAGMA user_version = {known}");
    conn.batch(&marks).map_err(failed)?;
    tx.commit().map_err(failed)
}
