//! Whether a server keeps what it says it has kept, and whether others can read what goes there.
//!
//! What each setting means is from PostgreSQL 15's documentation, §20.5.1. A commit of ours returns only when it is
//! durable: any user may say so for a session, and where a server or a standby would do with less we do.

use super::said::Host;
use super::tls::Mode;

/// What a server says of how it keeps things; none where it does not know the setting.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Keeping {
    pub(super) synchronous_commit: Option<String>,
    pub(super) fsync: Option<String>,
    pub(super) full_page_writes: Option<String>,
    pub(super) synchronous_standbys: Option<String>,
}

/// Makes the session's commits durable, where they would not be.
pub(super) const MAKE_DURABLE: &str = "SELECT set_config('synchronous_commit', 'on', false) \
     WHERE current_setting('synchronous_commit', true) IN ('off', 'local', 'remote_write')";

impl Keeping {
    /// What is to be told of it.
    pub(super) fn warnings(&self, server: &str) -> Vec<String> {
        let is = |setting: &Option<String>, value: &str| setting.as_deref() == Some(value);
        let mut told = Vec::new();
        if is(&self.fsync, "off") {
            told.push(format!(
                "the server {server} does not wait for its disk (fsync is off there): a power cut can take records that \
                 were saved, or spoil the whole book. Have it set to on"
            ));
        }
        if is(&self.full_page_writes, "off") {
            told.push(format!(
                "the server {server} has full_page_writes off: a power cut while it writes can spoil the book, unless its \
                 disk never leaves a page half written. Have it set to on"
            ));
        }
        let waits = self.synchronous_commit.as_deref();
        let has_standby = self.synchronous_standbys.as_deref().is_some_and(|names| !names.is_empty());
        if waits == Some("off") {
            told.push(format!(
                "the server {server} has synchronous_commit off: it says saved before it is. This program waits all the \
                 same; have it set to on for whatever else writes there"
            ));
        } else if let (Some(less @ ("local" | "remote_write")), true) = (waits, has_standby) {
            told.push(format!(
                "the server {server} has synchronous_commit {less}: it says saved before that is on its standby's disk. \
                 This program waits all the same; have it set to on for whatever else writes there"
            ));
        }
        told
    }
}

/// What is to be told of the way to a host.
pub(super) fn warning_of_way(host: &Host, server: &str, mode: Mode) -> Option<String> {
    let said = mode.name();
    let can = match mode {
        _ if host.is_here() => return None,
        Mode::VerifyCa | Mode::VerifyFull => return None,
        Mode::Disable => {
            format!("what goes to the server {server} can be read on the way, names of people too")
        }
        Mode::Prefer => {
            format!("what goes to the server {server} may be readable on the way, names of people too")
        }
        Mode::Require => format!("nobody looks whether it is the server {server} that answers"),
    };
    Some(format!("{can} (sslmode={said}); over a network sslmode=verify-full is right"))
}
