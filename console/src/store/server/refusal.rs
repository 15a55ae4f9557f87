//! What a server refuses, in words: which server, what, and what would be right. Nothing of what was asked for is in the
//! book then.

use super::denied::Denied;
use super::tls::{Mode, NoRoots, Roots};
use super::way::NoWay;
use crate::shell::word;
use jiff::Timestamp;
use jiff::tz::TimeZone;
use std::fmt;

/// Why a server that was asked does not keep the book, or did not do something with it.
#[derive(Debug)]
pub struct Refusal {
    /// Which of the hosts; none where the address tells enough.
    pub(super) server: Option<String>,
    pub(super) reason: Reason,
}

#[derive(Debug)]
pub(super) enum Reason {
    /// What was said of the server leads to none.
    NoWay(NoWay),
    /// It takes no writes.
    ReadOnly {
        stands_by: bool,
    },
    /// It is of another kind than was asked for (`target_session_attrs`).
    Unwanted {
        wanted: &'static str,
    },
    /// The password, if it knows the user.
    Password {
        user: String,
        found_in: String,
    },
    /// It wants a password, and none is known; the line that a password file would need, unless that is not the reason.
    NoPassword {
        user: String,
        why: String,
        line: Option<String>,
    },
    /// The user, for another reason than the password.
    User {
        user: String,
        said: String,
    },
    NoDatabase {
        database: String,
    },
    /// The user may not do that.
    NoRight {
        said: String,
    },
    /// The same, of what roles may with a book.
    Denied(Denied),
    /// It speaks an older protocol than is needed.
    TooOld {
        version: u32,
    },
    /// It speaks another protocol.
    Foreign,
    /// It has no TLS, and that is wanted.
    NoTls,
    /// It is not known to be the server that was asked for.
    Certificate {
        what: Unproven,
        roots: Roots,
    },
    NoRoots(NoRoots),
    /// The two found no way to speak in private.
    Handshake {
        said: String,
    },
    /// It says that its files are spoilt.
    Damaged {
        said: String,
    },
    /// Anything else.
    Other {
        doing: &'static str,
        said: String,
    },
}

/// Why a certificate proves nothing.
#[derive(Debug)]
pub(super) enum Unproven {
    UnknownRoot,
    OtherHost {
        host: String,
        named: Vec<String>,
    },
    Expired {
        utc_s: Option<u64>,
    },
    NotYetValid {
        utc_s: Option<u64>,
    },
    /// A certificate of a kind that names no host (X.509 version 1).
    Nameless,
    /// A root's own certificate, which is no server's.
    IsRoot,
    Other {
        said: String,
    },
}

impl Refusal {
    /// The refusal in a sentence, by the server of the book at `place`.
    pub(in crate::store) fn tell(&self, f: &mut fmt::Formatter<'_>, place: &dyn fmt::Display) -> fmt::Result {
        let by = match &self.server {
            Some(server) => format!("the server {server}"),
            None => format!("the server of {place}"),
        };
        match &self.reason {
            Reason::NoWay(why) => write!(f, "{place} cannot be reached: {why}"),
            Reason::ReadOnly { stands_by: true } => write!(
                f,
                "{by} only stands by for another one and takes no writes; name the one that does, or all of them with \
                 commas between: postgres://HOST,HOST/DATABASE. Nothing was recorded"
            ),
            Reason::ReadOnly { stands_by: false } => write!(
                f,
                "{by} may only be read (default_transaction_read_only is on there, for all or for this user); have that \
                 switched off, or name another server. Nothing was recorded"
            ),
            Reason::Unwanted { wanted } => write!(
                f,
                "{by} is none that is wanted (target_session_attrs={wanted}); name one that is, or leave that out"
            ),
            Reason::Password { user, found_in } => write!(
                f,
                "{by} refuses user {user} with the password from {found_in} (it does not tell whether it knows the user); \
                 put the right one there. Nothing was recorded"
            ),
            Reason::NoPassword { user, why, line: Some(line) } => write!(
                f,
                "{by} wants the password of user {user}: {why}. Put it there, in a file that only you may read (chmod 600), as \
                 a line {line}; PGPASSFILE names another such file. Nothing was recorded"
            ),
            Reason::NoPassword { user, why, line: None } => {
                write!(f, "{by} wants the password of user {user}: {why}. Nothing was recorded")
            }
            Reason::User { user, said } => write!(
                f,
                "{by} does not let user {user} in ({said}); name the user that you have there, postgres://USER@HOST/DATABASE, \
                 or ask who looks after the server. Nothing was recorded"
            ),
            Reason::NoDatabase { database } => write!(
                f,
                "{by} has no database {database}; name the one that was made for the book, postgres://HOST/DATABASE, or have \
                 one made: createdb {}. Nothing was recorded",
                word(database)
            ),
            Reason::NoRight { said } => write!(
                f,
                "{by} does not let you do this: {said}. Ask who looks after the server for the right. Nothing was recorded"
            ),
            Reason::Denied(denied) => denied.tell(f, place),
            Reason::TooOld { version } => write!(
                f,
                "{by} is PostgreSQL {}, and a book needs {} or newer; have it brought up to date. Nothing was recorded",
                version / 10_000,
                OLDEST / 10_000
            ),
            Reason::Foreign => write!(
                f,
                "what answers as {by} does not speak PostgreSQL's protocol; look whether host and port are right"
            ),
            Reason::NoTls => write!(
                f,
                "{by} has no TLS, and what goes there could be read on the way: names of people, and a password. Have it \
                 switched on there (ssl = on); only where the way itself is private, say so in the address: \
                 ?sslmode={}",
                Mode::Disable.name()
            ),
            Reason::Certificate { what, roots } => what.tell(f, &by, roots),
            Reason::NoRoots(NoRoots { roots: Roots::File(file), why }) => write!(
                f,
                "no certificate of a root can be read from {}: {why}. It is a file of PEM blocks that sslrootcert (or \
                 PGSSLROOTCERT, or ~/.postgresql/root.crt) names",
                file.display()
            ),
            Reason::NoRoots(NoRoots { roots: Roots::System, why }) => write!(
                f,
                "this system has no certificates of roots ({why}); install them (ca-certificates), or name the file of the \
                 server's root: ?sslrootcert=FILE"
            ),
            Reason::Handshake { said } => {
                write!(
                    f,
                    "{by} and this program found no private way to speak ({said}); it needs TLS 1.2 or newer"
                )
            }
            Reason::Damaged { said } => write!(
                f,
                "{by} finds its files spoilt ({said}); ask who looks after it for its latest sound backup. Nothing was \
                 recorded"
            ),
            Reason::Other { doing, said } => write!(f, "{doing}: {by} says {said}. Nothing was recorded"),
        }
    }
}

/// The oldest server that is used, as it numbers itself: 13.
pub(super) const OLDEST: u32 = 130_000;

impl Unproven {
    fn tell(&self, f: &mut fmt::Formatter<'_>, by: &str, roots: &Roots) -> fmt::Result {
        write!(f, "{by} did not prove that it is the one that was asked for: ")?;
        match self {
            Self::UnknownRoot => {
                match roots {
                    Roots::System => f.write_str("this system knows no root of its certificate")?,
                    Roots::File(file) => write!(f, "its certificate is of no root in {}", file.display())?,
                }
                f.write_str(
                    ". Get the file of its root from who looks after it, and name it: ?sslrootcert=FILE (or \
                     PGSSLROOTCERT)",
                )
            }
            Self::OtherHost { host, named } if named.is_empty() => write!(
                f,
                "its certificate names no host, or only as its subject. Have one made that names {host} as subjectAltName"
            ),
            Self::Nameless => f.write_str(
                "its certificate is of the first version, which names no host. Have one made of version 3, with the host as \
                 subjectAltName",
            ),
            Self::OtherHost { host, named } => write!(
                f,
                "its certificate is for {}, not for {host}. Ask for it by that name, or have a certificate made that names \
                 {host} as subjectAltName",
                named.join(", ")
            ),
            Self::Expired { utc_s } => write!(
                f,
                "its certificate ran out{}. Have it renewed on the server, if the date is right on this machine",
                on(*utc_s)
            ),
            Self::NotYetValid { utc_s } => write!(
                f,
                "its certificate does not hold yet{}. Look whether the date is right on this machine",
                on(*utc_s)
            ),
            Self::IsRoot => f.write_str(
                "its certificate is a root's own (CA:TRUE). Have the server given one of its own, signed by a root (CA:FALSE)",
            ),
            Self::Other { said } => {
                write!(f, "its certificate does not serve ({said}). Have another one made")
            }
        }
    }
}

/// The day of an instant, if one is known.
fn on(utc_s: Option<u64>) -> String {
    let instant = utc_s.and_then(|s| Timestamp::from_second(i64::try_from(s).ok()?).ok());
    instant.map_or_else(String::new, |at| format!(" ({} UTC)", TimeZone::UTC.to_datetime(at).date()))
}
