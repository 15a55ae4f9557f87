//! What it means that an engine did not do something.

use super::value::Fault;
use super::{Trouble, server};
use rusqlite::ErrorCode;

/// The trouble behind what the database said while `doing` something.
pub(super) fn failed<F: Into<Fault>>(doing: &'static str) -> impl Fn(F) -> Trouble + Copy {
    move |fault| match fault.into() {
        Fault::File(source) => of_file(&source, doing),
        Fault::Server(source) => server::trouble(doing, &source),
        Fault::Schema(found) => Trouble::NewerSchema { found, known: server::KNOWN },
        fault @ (Fault::Silent(_) | Fault::Warned(_)) => Trouble::Away { why: fault.to_string() },
        fault @ (Fault::Column(_) | Fault::Nested) => Trouble::Database { doing, source: fault.to_string() },
    }
}

fn of_file(source: &rusqlite::Error, doing: &'static str) -> Trouble {
    match source.sqlite_error_code() {
        Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked) => Trouble::Busy,
        Some(ErrorCode::DiskFull) => Trouble::DiskFull,
        Some(ErrorCode::ReadOnly) => Trouble::ReadOnly,
        Some(ErrorCode::DatabaseCorrupt) => Trouble::Damaged { what: source.to_string() },
        Some(ErrorCode::NotADatabase) => Trouble::NotABook { found: "not a SQLite database".to_owned() },
        Some(ErrorCode::CannotOpen) => Trouble::Unopened(source.to_string()),
        _ => Trouble::Database { doing, source: source.to_string() },
    }
}
