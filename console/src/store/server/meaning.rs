//! What an error of the client means: which of a server's refusals it is, or that the server is away.
//!
//! The codes are PostgreSQL's (15's documentation, appendix A). What the client finds out by itself it says in words
//! alone; those that are looked for here are held by tests against a server.

use super::denied::Denied;
use super::passfile;
use super::refusal::{Reason, Refusal, Unproven};
use super::way::{Target, Way};
use crate::store::Trouble;
use rustls::CertificateError;
use std::error::Error;
use std::io;
use tokio_postgres::error::{DbError, SqlState};

/// The trouble behind what a server said while `doing` something over a connection.
pub(in crate::store) fn trouble(doing: &'static str, error: &tokio_postgres::Error) -> Trouble {
    if let Some(why) = away(error) {
        return Trouble::Away { why };
    }
    let Some(said) = error.as_db_error() else {
        return refused(None, Reason::Other { doing, said: innermost(error) });
    };
    let words = words(said);
    match said.code() {
        &SqlState::LOCK_NOT_AVAILABLE => Trouble::Busy,
        &SqlState::DISK_FULL => Trouble::DiskFull,
        &SqlState::INSUFFICIENT_PRIVILEGE => refused(None, Reason::NoRight { said: words }),
        &SqlState::READ_ONLY_SQL_TRANSACTION => refused(None, Reason::ReadOnly { stands_by: true }),
        &SqlState::DATA_CORRUPTED | &SqlState::INDEX_CORRUPTED => {
            refused(None, Reason::Damaged { said: words })
        }
        code => refused(None, Reason::Other { doing, said: format!("{words} (SQLSTATE {})", code.code()) }),
    }
}

/// The trouble that a role may not do something.
pub(super) fn denied(why: Denied) -> Trouble {
    refused(None, Reason::Denied(why))
}

/// The trouble that one of its hosts, if it is known which, refuses.
pub(super) fn refused(server: Option<String>, reason: Reason) -> Trouble {
    Trouble::Refused(Box::new(Refusal { server, reason }))
}

/// Whether the same may well succeed when it is run anew, since only others stood in its way.
pub(super) fn is_to_be_tried_again(error: &tokio_postgres::Error) -> bool {
    matches!(error.code(), Some(&SqlState::T_R_SERIALIZATION_FAILURE | &SqlState::T_R_DEADLOCK_DETECTED))
}

/// What was met, where the server is away or has no time for anybody.
pub(super) fn away(error: &tokio_postgres::Error) -> Option<String> {
    if let Some(said) = error.as_db_error() {
        let code = said.code();
        let gone = code.code().starts_with("08")
            || [
                SqlState::ADMIN_SHUTDOWN,
                SqlState::CRASH_SHUTDOWN,
                SqlState::CANNOT_CONNECT_NOW,
                SqlState::IDLE_IN_TRANSACTION_SESSION_TIMEOUT,
                SqlState::IDLE_SESSION_TIMEOUT,
                SqlState::TOO_MANY_CONNECTIONS,
            ]
            .contains(code);
        return gone.then(|| words(said));
    }
    if error.is_closed() {
        return Some("it closed the connection".to_owned());
    }
    let system = sources(error).find_map(|source| source.downcast_ref::<io::Error>())?;
    // An error of TLS comes in one of the system's, and a protocol that is none as one of bad data.
    let is_systems = system.get_ref().is_none_or(|inner| !inner.is::<rustls::Error>());
    let kinds = [io::ErrorKind::InvalidData, io::ErrorKind::InvalidInput, io::ErrorKind::PermissionDenied];
    (is_systems && !kinds.contains(&system.kind())).then(|| plainly(system))
}

/// What the system says of a connection, without its number.
fn plainly(error: &io::Error) -> String {
    match error.kind() {
        io::ErrorKind::ConnectionRefused => "nothing listens there".to_owned(),
        io::ErrorKind::NotFound => "there is no socket".to_owned(),
        io::ErrorKind::TimedOut => "no answer".to_owned(),
        io::ErrorKind::UnexpectedEof | io::ErrorKind::ConnectionReset | io::ErrorKind::BrokenPipe => {
            "it closed the connection".to_owned()
        }
        // What the client says of an end within a message.
        io::ErrorKind::Other if error.to_string() == "bytes remaining on stream" => {
            "it broke off within an answer; is that a PostgreSQL server?".to_owned()
        }
        _ if error.to_string().starts_with("failed to lookup address") => {
            "no address is known for it".to_owned()
        }
        _ => error.to_string(),
    }
}

/// What a connection to a host that did not come about means.
pub(super) fn of_connecting(error: &tokio_postgres::Error, target: &Target, way: &Way) -> Reason {
    if let Some(said) = error.as_db_error() {
        return said_at_the_door(said, target, way);
    }
    let tls = sources(error).find_map(|source| {
        let inner = source.downcast_ref::<io::Error>()?.get_ref()?;
        inner.downcast_ref::<rustls::Error>()
    });
    match tls {
        Some(rustls::Error::InvalidCertificate(what)) => {
            let what = unproven(what, &target.host.to_string());
            return Reason::Certificate { what, roots: way.roots.clone() };
        }
        Some(other) => return Reason::Handshake { said: other.to_string() },
        None => {}
    }
    match (innermost(error).as_str(), &target.password) {
        ("server does not support TLS", _) => Reason::NoTls,
        ("password missing", Err(none)) => {
            let line = (!none.is_told).then(|| passfile::line(target.login(way)));
            Reason::NoPassword { user: way.user.clone(), why: none.why.clone(), line }
        }
        _ if is_of_protocol(error) => Reason::Foreign,
        (said, _) => Reason::Other { doing: "cannot connect", said: said.to_owned() },
    }
}

/// What a server says to whom it does not let in.
fn said_at_the_door(said: &DbError, target: &Target, way: &Way) -> Reason {
    let words = words(said);
    match (said.code(), &target.password) {
        (&SqlState::INVALID_PASSWORD, Ok(secret)) => {
            Reason::Password { user: way.user.clone(), found_in: secret.found_in.clone() }
        }
        (code, _) if code.code().starts_with("28") => Reason::User { user: way.user.clone(), said: words },
        (&SqlState::INVALID_CATALOG_NAME, _) => Reason::NoDatabase { database: way.database.clone() },
        (&SqlState::INSUFFICIENT_PRIVILEGE, _) => Reason::NoRight { said: words },
        (code, _) => {
            Reason::Other { doing: "cannot connect", said: format!("{words} (SQLSTATE {})", code.code()) }
        }
    }
}

/// Whether what answers speaks otherwise than a server does.
fn is_of_protocol(error: &tokio_postgres::Error) -> bool {
    let of_bytes = |source: &io::Error| {
        matches!(source.kind(), io::ErrorKind::InvalidData | io::ErrorKind::InvalidInput)
    };
    error.to_string() == "unexpected message from server"
        || sources(error).filter_map(|source| source.downcast_ref::<io::Error>()).any(of_bytes)
}

fn unproven(what: &CertificateError, host: &str) -> Unproven {
    match what {
        CertificateError::UnknownIssuer => Unproven::UnknownRoot,
        CertificateError::NotValidForName => Unproven::OtherHost { host: host.to_owned(), named: Vec::new() },
        CertificateError::NotValidForNameContext { presented, .. } => {
            let named = presented.iter().map(|name| bare(name)).collect();
            Unproven::OtherHost { host: host.to_owned(), named }
        }
        CertificateError::Expired => Unproven::Expired { utc_s: None },
        CertificateError::ExpiredContext { not_after, .. } => {
            Unproven::Expired { utc_s: Some(not_after.as_secs()) }
        }
        CertificateError::NotValidYet => Unproven::NotYetValid { utc_s: None },
        CertificateError::NotValidYetContext { not_before, .. } => {
            Unproven::NotYetValid { utc_s: Some(not_before.as_secs()) }
        }
        // rustls has no words of its own for these.
        CertificateError::Other(other) => match format!("{other:?}") {
            said if said.contains("CaUsedAsEndEntity") => Unproven::IsRoot,
            said if said.contains("UnsupportedCertVersion") => Unproven::Nameless,
            said => Unproven::Other { said },
        },
        other => Unproven::Other { said: other.to_string() },
    }
}

/// A name of a certificate, which rustls tells with its kind around it.
fn bare(name: &str) -> String {
    let within = name.split_once('(').and_then(|(_, rest)| rest.strip_suffix(')'));
    within.unwrap_or(name).trim_matches('"').to_owned()
}

/// The errors behind an error, from the outermost.
fn sources(error: &tokio_postgres::Error) -> impl Iterator<Item = &(dyn Error + 'static)> {
    std::iter::successors(error.source(), |&source| source.source())
}

/// What the innermost of the errors says; the outer ones say what was being done.
fn innermost(error: &tokio_postgres::Error) -> String {
    sources(error).last().map_or_else(|| error.to_string(), ToString::to_string)
}

/// What a server says, and what it adds.
pub(super) fn words(said: &DbError) -> String {
    let more = said.detail().or(said.hint()).map(|more| format!("; {}", more.trim_end_matches('.')));
    format!("{}{}", said.message(), more.unwrap_or_default())
}
