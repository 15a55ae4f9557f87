//! What there is to tell of the server that keeps a book.

use super::link::Link;
use crate::store::value::{Fault, values};
use std::ops::ControlFlow;

/// A server, as it tells of itself.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize)]
pub struct About {
    /// Its version.
    pub version: String,
    /// Whether it waits for its disk before it says that something is kept. (That it waits at all this program sees to.)
    pub waits_for_disk: bool,
    /// The servers that stand by whose word it waits for as well; empty for none.
    pub waits_for_standbys: String,
}

/// Asks it.
pub(in crate::store) fn about(link: &Link) -> Result<About, Fault> {
    let sql =
        "SELECT current_setting('server_version'), coalesce(current_setting('fsync', true), 'on') = 'on',
                      coalesce(current_setting('synchronous_standby_names', true), '')";
    let mut about = None;
    link.run(sql, values![], &mut |row| {
        about = Some(About {
            version: row.try_get(0)?,
            waits_for_disk: row.try_get(1)?,
            waits_for_standbys: row.try_get(2)?,
        });
        Ok(ControlFlow::Break(()))
    })?;
    about.ok_or(Fault::Column(0))
}
