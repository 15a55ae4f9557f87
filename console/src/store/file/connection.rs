//! What is set of a connection to a file.

use crate::store::engine::Conn;
use crate::store::value::Fault;
use rusqlite::config::DbConfig;

/// Another program that writes is waited for, so many seconds at most.
pub(super) fn wait_for_others(conn: &Conn, seconds: u64) -> Result<(), Fault> {
    conn.batch(&format!("PRAGMA busy_timeout = {}", seconds * 1000))
}

/// Whether the connection leaves the log as it is when it is closed, instead of putting it into the file.
pub(in crate::store) fn keep_log(conn: &Conn, keep: bool) -> Result<(), Fault> {
    if let Conn::File(conn) = conn {
        conn.set_db_config(DbConfig::SQLITE_DBCONFIG_NO_CKPT_ON_CLOSE, keep)?;
    }
    Ok(())
}
