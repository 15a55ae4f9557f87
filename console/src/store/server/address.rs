//! The address of a book that a server keeps: the URI form of libpq (PostgreSQL 15's documentation, §34.1.1.2).
//!
//! `postgres://USER@HOST:PORT,HOST:PORT/DATABASE?PARAMETER=VALUE&…`: every part may be missing, and is then found where
//! libpq finds it (`way.rs`). A host that is the folder of a socket is written with `%2F` for each slash, or as `host=`.
//! There is no password in it: a command line and the environment are shown by `ps`, kept by shells, and pasted.

use super::said::{Host, KNOWN, Said, Untaken};
use percent_encoding::{AsciiSet, NON_ALPHANUMERIC, percent_decode_str, utf8_percent_encode};
use std::fmt;

/// How a server, and which database of it, is reached. It holds no password, so that it may be shown anywhere.
#[derive(Clone, PartialEq, Eq)]
pub struct Address(Box<Said>);

/// Why a text is no address of a book.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NotAnAddress {
    /// It begins as an address of something else does, or nearly as ours.
    #[error(
        "{0} is no address of a book: a server's is postgres://HOST/DATABASE; if a file of that name is meant, write \
         ./{0}"
    )]
    Scheme(String),
    /// It carries a password.
    #[error(
        "a password does not belong in the book's address, where others can read it (by `ps`, for example); put it into \
         ~/.pgpass, which only you may read, as a line HOST:PORT:DATABASE:USER:PASSWORD, or name such a file in \
         PGPASSFILE, and leave it out of the address"
    )]
    Password,
    /// A parameter that is not known.
    #[error("the book's address has a parameter {name} that is not known here; known are {known}")]
    Parameter {
        /// As it was written.
        name: String,
        /// All that are.
        known: String,
    },
    /// A parameter whose value is none.
    #[error("in the book's address: {name}={value} cannot be; {right}")]
    Value {
        /// The parameter.
        name: String,
        /// What it was said to be.
        value: String,
        /// What would be right.
        right: &'static str,
    },
    /// It does not hang together.
    #[error("the book's address cannot be read at {at}: {right}")]
    Form {
        /// The part of it.
        at: String,
        /// What would be right.
        right: &'static str,
    },
}

impl Address {
    /// The address that a text for a book is meant to be; `None` where it names a file. What looks like an address of
    /// anything is none of a file, so that no book of that name is begun in the folder at hand.
    #[must_use]
    pub fn meant(text: &str) -> Option<Result<Self, NotAnAddress>> {
        let bare = text.trim_start_matches(|c: char| c.is_whitespace() || matches!(c, '"' | '\''));
        if bare.len() < text.len() && Self::meant(bare).is_some() {
            let right = "it stands without spaces and quotes round it";
            return Some(Err(NotAnAddress::Form { at: "its beginning".to_owned(), right }));
        }
        let (scheme, rest) = text.split_once(':')?;
        let of_scheme = |c: char| c.is_ascii_alphanumeric() || matches!(c, '+' | '.' | '-');
        // One letter is a drive of Windows.
        if scheme.len() < 2 || !scheme.chars().all(of_scheme) {
            return None;
        }
        let ours = ["postgres", "postgresql"].contains(&scheme.to_ascii_lowercase().as_str());
        (ours || rest.starts_with('/')).then(|| Self::read(text))
    }

    /// Reads an address.
    ///
    /// # Errors
    /// It is none; see [`NotAnAddress`].
    pub fn read(text: &str) -> Result<Self, NotAnAddress> {
        let ours = ["postgres://", "postgresql://"].iter().find_map(|scheme| text.strip_prefix(scheme));
        if has_password(text) {
            return Err(NotAnAddress::Password);
        }
        let rest = ours.ok_or_else(|| NotAnAddress::Scheme(text.to_owned()))?;
        let (rest, parameters) = rest.split_once('?').unwrap_or((rest, ""));
        let (place, database) = rest.split_once('/').unwrap_or((rest, ""));
        let (user, hosts) = place.rsplit_once('@').unwrap_or(("", place));
        let mut said = Said::default();
        take(&mut said, "user", &decoded(user)?)?;
        take(&mut said, "dbname", &decoded(database)?)?;
        take_hosts(&mut said, hosts)?;
        for parameter in parameters.split('&').filter(|p| !p.is_empty()) {
            let right = "behind the ? stands PARAMETER=VALUE, with & between two";
            let form = || NotAnAddress::Form { at: parameter.to_owned(), right };
            let (name, value) = parameter.split_once('=').ok_or_else(form)?;
            let name = decoded(name)?;
            if name == "password" {
                return Err(NotAnAddress::Password);
            }
            take(&mut said, &name, &decoded(value)?)?;
        }
        Ok(Self(said.into()))
    }

    /// The same for another user.
    #[must_use]
    pub fn of_user(&self, user: &str) -> Self {
        Self(Box::new(Said { user: Some(user.to_owned()), ..(*self.0).clone() }))
    }

    pub(super) fn said(&self) -> &Said {
        &self.0
    }
}

fn take(said: &mut Said, name: &str, value: &str) -> Result<(), NotAnAddress> {
    said.take(name, value, "the book's address").map_err(|untaken| match untaken {
        Untaken::Unknown => {
            let known = KNOWN.iter().map(|(name, _)| *name).filter(|name| *name != "password");
            NotAnAddress::Parameter { name: name.to_owned(), known: known.collect::<Vec<_>>().join(", ") }
        }
        Untaken::Value(right) => {
            NotAnAddress::Value { name: name.to_owned(), value: value.to_owned(), right }
        }
    })
}

/// Takes `HOST:PORT,HOST:PORT`.
/// Whether a user's password stands before the hosts, whatever else is wrong with the address: it is not repeated then. With a
/// slash or a question mark in it the rest of it stands in the path or the parameters, and what is before looks like a port.
fn has_password(text: &str) -> bool {
    let Some((before, _)) = text.rsplit_once('@') else { return false };
    let user = before.split_once("://").map_or(before, |(_, user)| user);
    match user.find(['/', '?']) {
        None => user.contains(':'),
        Some(end) => {
            let tail = user[..end].rsplit_once(':').map(|(_, tail)| tail);
            tail.is_some_and(|tail| !tail.bytes().all(|digit| digit.is_ascii_digit()))
        }
    }
}

fn take_hosts(said: &mut Said, text: &str) -> Result<(), NotAnAddress> {
    let parts = text.split(',').map(host_and_port).collect::<Result<Vec<_>, _>>()?;
    let joined = |of: fn(&(String, String)) -> &str| parts.iter().map(of).collect::<Vec<_>>().join(",");
    let (hosts, ports) = (joined(|(host, _)| host), joined(|(_, port)| port));
    // Nothing between the commas is nothing said, as with an empty value.
    let some = |list: String| if list.chars().all(|c| c == ',') { String::new() } else { list };
    take(said, "host", &some(hosts))?;
    take(said, "port", &some(ports))
}

/// The host, decoded, and what stands behind its colon.
fn host_and_port(part: &str) -> Result<(String, String), NotAnAddress> {
    let form = |right| NotAnAddress::Form { at: part.to_owned(), right };
    let brackets = "an IPv6 address stands in brackets, as in [::1]:5432";
    let (host, port) = match part.strip_prefix('[') {
        Some(rest) => {
            let (host, behind) = rest.split_once(']').ok_or_else(|| form(brackets))?;
            let port = if behind.is_empty() { Some("") } else { behind.strip_prefix(':') };
            (host, port.ok_or_else(|| form(brackets))?)
        }
        None => part.split_once(':').unwrap_or((part, "")),
    };
    if port.contains(':') {
        return Err(form(brackets));
    }
    let host = decoded(host)?;
    if host.contains(',') {
        return Err(form("a comma stands between two hosts and in none"));
    }
    Ok((host, port.to_owned()))
}

fn decoded(text: &str) -> Result<String, NotAnAddress> {
    let form = || NotAnAddress::Form {
        at: text.to_owned(),
        right: "behind a % stand two hexadecimal digits of a UTF-8 letter, and a % itself is %25",
    };
    let whole = text.split('%').skip(1).all(|code| {
        code.get(..2).is_some_and(|digits| digits.bytes().all(|digit| digit.is_ascii_hexdigit()))
    });
    if !whole {
        return Err(form());
    }
    percent_decode_str(text).decode_utf8().map(Into::into).map_err(|_| form())
}

/// What stands in an address as it is.
const PLAIN: AsciiSet = NON_ALPHANUMERIC.remove(b'-').remove(b'.').remove(b'_').remove(b'~');

fn encoded(text: &str) -> String {
    utf8_percent_encode(text, &PLAIN).to_string()
}

/// As an address that reads as the same again, what it is silent about left out.
impl fmt::Display for Address {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let said = &self.0;
        f.write_str("postgres://")?;
        if let Some(user) = &said.user {
            write!(f, "{}@", encoded(user))?;
        }
        let hosts = said.hosts.as_deref().unwrap_or_default();
        let ports = said.ports.as_deref().unwrap_or_default();
        for at in 0..hosts.len().max(ports.len()) {
            let host = hosts.get(at).map(|host| match host {
                Host::Machine(name) if name.contains(':') => {
                    format!("[{}]", encoded(name).replace("%3A", ":"))
                }
                other => encoded(&other.to_string()),
            });
            // One port is that of all hosts.
            let port = ports
                .get(if ports.len() == 1 { 0 } else { at })
                .copied()
                .flatten()
                .map(|port| format!(":{port}"));
            let comma = if at > 0 { "," } else { "" };
            write!(f, "{comma}{}{}", host.unwrap_or_default(), port.unwrap_or_default())?;
        }
        if let Some(database) = &said.database {
            write!(f, "/{}", encoded(database))?;
        }
        let path = |path: &std::path::Path| path.display().to_string();
        let parameters = [
            ("passfile", said.pass_file.as_deref().map(path)),
            ("service", said.service.clone()),
            ("sslmode", said.mode.map(|mode| mode.name().to_owned())),
            ("sslrootcert", said.roots.as_ref().map(ToString::to_string)),
            ("connect_timeout", said.timeout.map(|time| time.as_secs().to_string())),
            ("target_session_attrs", said.wanted.map(|wanted| wanted.name().to_owned())),
            ("application_name", said.application.clone()),
        ];
        let mut before = '?';
        for (name, value) in parameters {
            let Some(value) = value else { continue };
            write!(f, "{before}{name}={}", encoded(&value).replace("%2F", "/"))?;
            before = '&';
        }
        Ok(())
    }
}

impl fmt::Debug for Address {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Address({self})")
    }
}
