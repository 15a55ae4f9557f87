//! The tables of a book on a server.
//!
//! They are those of a book in a file, in the server's own schema `bevelbook` of one database. Beside them:
//!
//! - `book`: one row, which marks the database as a book, has the version of its schema, and counts the writes. A write
//!   begins with it (`link.rs`).
//! - `console`: the journal of each console, by the fingerprint of the place where it runs (`console.rs`).
//!
//! Positions are given by whoever writes, the last one and one more: nobody else writes meanwhile, and a sequence of the
//! server's would leave gaps and, where several machines keep the database, be out of order. A text is compared by its
//! bytes (`COLLATE "C"`), as in a file.

/// The steps from an empty database to the newest schema; step n leads to schema version n + 1.
pub(super) const MIGRATIONS: &[&str] = &[include_str!("schema_1.sql")];

/// The newest schema version this program knows.
pub(in crate::store) const KNOWN: i64 = MIGRATIONS.len().cast_signed() as i64;

/// Begins a write; tells its number and the version of the schema.
pub(super) const COUNT_WRITE: &str = "UPDATE book SET writes = writes + 1 RETURNING writes, version";

/// What nearly every write asks first: the last position, and the last number of a journal. Another statement than that which
/// waits: what a statement sees is settled before it waits.
pub(super) const LAST: &str = "SELECT (SELECT coalesce(max(position), 0) FROM record), (SELECT max(seq) FROM record WHERE journal = ?1)";
