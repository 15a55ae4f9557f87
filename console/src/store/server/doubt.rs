//! A commit that was not answered.

use super::link::Link;
use crate::store::chain::Digest;
use crate::store::engine::{Fault, For, values};
use bevelbook_core::record::RecordId;
use std::ops::ControlFlow;

/// Whether the book has this very record. Whoever wrote it last is over when the write lock is had.
pub(super) fn has(link: &Link, id: RecordId, digest: &Digest) -> Result<bool, Fault> {
    link.begin(For::Writing)?;
    let mut has = false;
    let sql = "SELECT digest FROM record WHERE journal = ?1 AND seq = ?2";
    let asked = link.run(sql, values![id.journal, id.seq], &mut |row| {
        has = row.try_get::<_, &[u8]>(0)? == digest;
        Ok(ControlFlow::Break(()))
    });
    link.undo();
    asked.map(|_| has)
}
