//! How long a server may say nothing while it is asked.
//!
//! One that stands still with its connections open is noticed by nothing else: its machine's network acknowledges what is sent.
//! What counts is silence: each row of an answer is waited for anew, and between questions nothing is waited for, so that
//! neither a long answer, nor long work on it here, nor a connection that only follows others is broken off. A question that
//! waits for another's write is answered by the server within [`BUSY_S`].

use crate::store::error::BUSY_S;
use std::time::Duration;

/// Who waits.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Patience {
    /// A bench: the keypad keeps what is logged, and whoever stands there is to know soon that nothing comes in.
    Bench,
    /// Whoever typed a command. It may find its rows on a slow disk, far apart.
    Typed,
    /// What goes through the whole book in one statement: check, import and export, a name that is forgotten, other tables.
    WholeBook,
}

impl Patience {
    /// So long. Own choices: beside the wait for another's write a third of a bench's time and two of a command's are left for
    /// the disk and the standby; ten minutes rewrite a table of some gigabytes.
    pub(super) const fn time(self) -> Duration {
        Duration::from_secs(match self {
            Self::Bench => BUSY_S + 5,
            Self::Typed => BUSY_S + 20,
            Self::WholeBook => 600,
        })
    }
}
