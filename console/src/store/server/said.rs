//! What was said of how a server is reached: in an address, in a service file, in the environment.
//!
//! The words and their meaning are those of libpq, the client library that servers' manuals speak of (PostgreSQL 15's
//! documentation, §34.1.2 for the parameters, §34.15 for the variables), so that what a shop's other programs use
//! serves here too. A certificate of the client, Kerberos and what steers the protocol are not among them.

use super::tls::{Mode, Roots};
use std::fmt;
use std::path::PathBuf;
use std::time::Duration;

/// Each parameter that is known, and the variable of the environment that says the same.
pub(super) const KNOWN: [(&str, &str); 12] = [
    ("host", "PGHOST"),
    ("port", "PGPORT"),
    ("dbname", "PGDATABASE"),
    ("user", "PGUSER"),
    ("password", "PGPASSWORD"),
    ("passfile", "PGPASSFILE"),
    ("service", "PGSERVICE"),
    ("sslmode", "PGSSLMODE"),
    ("sslrootcert", "PGSSLROOTCERT"),
    ("connect_timeout", "PGCONNECT_TIMEOUT"),
    ("target_session_attrs", "PGTARGETSESSIONATTRS"),
    ("application_name", "PGAPPNAME"),
];

/// Where a server listens.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Host {
    /// A machine's name or address.
    Machine(String),
    /// The folder in which the server's socket lies.
    Folder(PathBuf),
}

impl Host {
    /// The host that a text names: a folder begins with a slash, as for libpq.
    fn named(text: &str) -> Self {
        if text.starts_with('/') { Self::Folder(text.into()) } else { Self::Machine(text.to_owned()) }
    }

    /// Whether what is sent never leaves this machine. `localhost` is believed to be what it says.
    pub(super) fn is_here(&self) -> bool {
        match self {
            Self::Folder(_) => true,
            Self::Machine(name) => {
                name.eq_ignore_ascii_case("localhost")
                    || name.parse::<std::net::IpAddr>().is_ok_and(|ip| ip.is_loopback())
            }
        }
    }
}

impl fmt::Display for Host {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Machine(name) => f.write_str(name),
            Self::Folder(folder) => folder.display().fmt(f),
        }
    }
}

/// Which of several servers is meant (`target_session_attrs`).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Wanted {
    Any,
    ReadWrite,
    ReadOnly,
    Primary,
    Standby,
}

impl Wanted {
    const NAMES: [(Self, &'static str); 5] = [
        (Self::Any, "any"),
        (Self::ReadWrite, "read-write"),
        (Self::ReadOnly, "read-only"),
        (Self::Primary, "primary"),
        (Self::Standby, "standby"),
    ];

    pub(super) fn name(self) -> &'static str {
        Self::NAMES.iter().find(|(wanted, _)| *wanted == self).map_or("", |(_, name)| name)
    }

    /// Whether a server serves that stands by (or not) and takes writes (or not).
    pub(super) fn is_met(self, stands_by: bool, read_only: bool) -> bool {
        match self {
            Self::Any => true,
            Self::ReadWrite => !read_only,
            Self::ReadOnly => read_only,
            Self::Primary => !stands_by,
            Self::Standby => stands_by,
        }
    }
}

/// Why a parameter was not taken.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Untaken {
    /// Nobody here knows it.
    Unknown,
    /// Its value is none; what would be right.
    Value(&'static str),
}

/// All that one place says. What it is silent about is `None`.
#[derive(Clone, Default, PartialEq, Eq)]
pub(super) struct Said {
    pub(super) hosts: Option<Vec<Host>>,
    /// As many as hosts, or one for all of them; `None` in it is the usual port.
    pub(super) ports: Option<Vec<Option<u16>>>,
    pub(super) database: Option<String>,
    pub(super) user: Option<String>,
    pub(super) password: Option<Secret>,
    pub(super) pass_file: Option<PathBuf>,
    pub(super) service: Option<String>,
    pub(super) mode: Option<Mode>,
    pub(super) roots: Option<Roots>,
    pub(super) timeout: Option<Duration>,
    pub(super) wanted: Option<Wanted>,
    pub(super) application: Option<String>,
}

/// A password, and where it was found. It is shown nowhere.
#[derive(Clone, PartialEq, Eq)]
pub(super) struct Secret {
    pub(super) password: String,
    pub(super) found_in: String,
}

impl Said {
    /// Takes what parameter `name` is in `place`. An empty value says nothing.
    pub(super) fn take(&mut self, name: &str, value: &str, place: &str) -> Result<(), Untaken> {
        if !KNOWN.iter().any(|(known, _)| *known == name) {
            return Err(Untaken::Unknown);
        }
        if value.is_empty() {
            return Ok(());
        }
        let text = || Some(value.to_owned());
        match name {
            "host" => self.hosts = Some(value.split(',').map(Host::named).collect()),
            "port" => self.ports = Some(ports(value)?),
            "dbname" => self.database = text(),
            "user" => self.user = text(),
            "password" => {
                self.password = Some(Secret { password: value.to_owned(), found_in: place.to_owned() });
            }
            "passfile" => self.pass_file = Some(value.into()),
            "service" => self.service = text(),
            "sslmode" => self.mode = Some(mode(value)?),
            "sslrootcert" => self.roots = Some(Roots::named(value)),
            "connect_timeout" => self.timeout = Some(seconds(value)?),
            "target_session_attrs" => self.wanted = Some(wanted(value)?),
            _ => self.application = text(),
        }
        Ok(())
    }

    /// Fills in what is not said here by what another place says.
    pub(super) fn fill(&mut self, other: Self) {
        fn fill<T>(here: &mut Option<T>, there: Option<T>) {
            if here.is_none() {
                *here = there;
            }
        }
        fill(&mut self.hosts, other.hosts);
        fill(&mut self.ports, other.ports);
        fill(&mut self.database, other.database);
        fill(&mut self.user, other.user);
        fill(&mut self.password, other.password);
        fill(&mut self.pass_file, other.pass_file);
        fill(&mut self.service, other.service);
        fill(&mut self.mode, other.mode);
        fill(&mut self.roots, other.roots);
        fill(&mut self.timeout, other.timeout);
        fill(&mut self.wanted, other.wanted);
        fill(&mut self.application, other.application);
    }
}

fn ports(value: &str) -> Result<Vec<Option<u16>>, Untaken> {
    let port = |text: &str| match text {
        "" => Some(None),
        _ => text.parse().ok().filter(|port| *port > 0).map(Some),
    };
    let ports: Option<_> = value.split(',').map(port).collect();
    ports.ok_or(Untaken::Value("a port is a number from 1 to 65535"))
}

fn mode(value: &str) -> Result<Mode, Untaken> {
    Mode::named(value).ok_or(Untaken::Value(
        "it is verify-full, verify-ca, require, prefer or disable; over a network verify-full is right",
    ))
}

fn wanted(value: &str) -> Result<Wanted, Untaken> {
    let named = Wanted::NAMES.iter().find(|(_, name)| *name == value);
    named
        .map(|(wanted, _)| *wanted)
        .ok_or(Untaken::Value("it is read-write, primary, any, read-only or standby"))
}

/// The longest time that a server may be given to answer, in seconds. Own choice: whoever waits longer is not waiting.
const LONGEST_S: u64 = 600;

fn seconds(value: &str) -> Result<Duration, Untaken> {
    let seconds = value.parse().ok().filter(|s| (1..=LONGEST_S).contains(s));
    seconds.map(Duration::from_secs).ok_or(Untaken::Value("it is a number of seconds from 1 to 600"))
}
