//! A commit that was not answered.

use super::address::Address;
use super::link::Link;
use super::open;
use crate::store::Trouble;
use crate::store::chain::Digest;
use crate::store::error::BUSY_S;
use crate::store::fault::failed;
use crate::store::value::{Fault, For, values};
use bevelbook_core::record::RecordId;
use std::ops::ControlFlow;
use std::thread::sleep;
use std::time::{Duration, Instant};

/// How long is waited before a server that is away is asked again.
const AGAIN: Duration = Duration::from_millis(200);

/// Whether the book has a record after all, whose commit was not answered, and what asked that; `None` where that cannot be
/// found out.
pub(in crate::store) fn has_after_all(
    address: &Address,
    former: &Link,
    last: Option<(RecordId, Digest)>,
) -> Option<(Link, bool)> {
    let ((id, digest), begun) = (last?, Instant::now());
    loop {
        let asked = open(address, former.patience.get()).and_then(|link| {
            link.follow(former);
            let has = has(&link, id, &digest).map_err(failed("cannot look"))?;
            Ok((link, has))
        });
        match asked {
            Ok(found) => return Some(found),
            Err(Trouble::Away { .. }) if begun.elapsed() < Duration::from_secs(BUSY_S) => sleep(AGAIN),
            Err(_) => return None,
        }
    }
}

/// Whether the book has this very record. Whoever was committing it is over when the write lock is had.
fn has(link: &Link, id: RecordId, digest: &Digest) -> Result<bool, Fault> {
    link.begin(For::Writing)?;
    let mut has = false;
    let sql = "SELECT digest FROM record WHERE journal = ?1 AND seq = ?2";
    let asked = link.run(sql, values![id.journal, id.seq], &mut |row| {
        has = row.try_get::<_, &[u8]>(0)? == digest;
        Ok(ControlFlow::Break(()))
    });
    asked.inspect_err(|_| link.undo())?;
    if has {
        // It may be on this server alone, which was broken off while it waited for one that stands by: a commit behind it waits
        // until both are there.
        link.commit()?;
    } else {
        link.undo();
    }
    Ok(has)
}
