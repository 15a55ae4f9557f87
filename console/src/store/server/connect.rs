//! A connection to the server that keeps a book: which host, who it is, and what holds for the session.
//!
//! The hosts are asked in turn. The next one is asked where one is away or is none that is wanted; whoever is refused by
//! one (its password, its rights) is not tried with others, as for libpq (PostgreSQL 15's documentation, §34.1.1.3).
//!
//! What holds for the session is set for each connection anew: the book's schema, how long a lock is waited for, that a
//! console which stands still within a write loses it, and that a commit returns only when it is durable.

use super::address::Address;
use super::attempt;
use super::client::{self, Client};
use super::keeping::{Keeping, MAKE_DURABLE, warning_of_way};
use super::meaning::{self, refused};
use super::refusal::{OLDEST, Reason};
use super::said::{Host, Wanted};
use super::surroundings::Surroundings;
use super::tls::{self, Mode};
use super::way::{self, Target, Way};
use crate::store::Trouble;
use crate::store::error::BUSY_S;
use crate::store::value::Fault;
use std::fmt;
use std::time::Duration;
use tokio_postgres::config::SslMode;
use tokio_postgres::{Config, SimpleQueryMessage};

/// What a connection is made for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Purpose {
    /// To read and to write: of several servers the one that takes writes.
    Write,
    /// To look: any server serves, also one that stands by, and the session cannot write.
    Look,
}

/// A server that was reached.
pub(super) struct Reached {
    /// The connection.
    pub(super) client: Client,
    /// Which of the hosts it is.
    pub(super) server: String,
    /// What is to be told of it: how others could read what goes there, and what of it is not kept for certain.
    pub(super) warnings: Vec<String>,
}

/// How long a dead network goes unnoticed, at most: what was sent is not acknowledged for so long (Linux), or a silent
/// connection was probed for so long. Own choice: a bench is told within some ten seconds.
const UNNOTICED: Duration = Duration::from_secs(10);
const PROBED_AFTER: Duration = Duration::from_secs(5);
const PROBED_EVERY: Duration = Duration::from_secs(2);
const PROBES: u32 = 3;

/// How long a session may stand still within a transaction. Half of what others wait for its lock, so that a console
/// which died within a write stops nobody.
const STANDS_STILL_S: u64 = BUSY_S / 2;

/// Connects to the server of the book at `address`.
///
/// # Errors
/// Nobody answers ([`Trouble::Away`]), or whoever answers is refused or refuses ([`Trouble::Refused`]).
pub(super) fn connect(address: &Address, purpose: Purpose) -> Result<Reached, Trouble> {
    connect_from(address, purpose, &Surroundings::here())
}

/// The same, as from other surroundings.
pub(super) fn connect_from(
    address: &Address,
    purpose: Purpose,
    around: &Surroundings<'_>,
) -> Result<Reached, Trouble> {
    let way = way::find(address, around).map_err(|why| refused(None, Reason::NoWay(why)))?;
    let mut passed_over = Vec::new();
    for target in &way.hosts {
        match reach(target, &way, purpose) {
            Ok(reached) => return Ok(reached),
            Err(Miss::Refused(reason)) => {
                return Err(refused(Some(target.to_string()), reason));
            }
            Err(miss) => passed_over.push((target.to_string(), miss)),
        }
    }
    Err(none_of(passed_over))
}

/// Why a host does not serve.
enum Miss {
    Away(String),
    /// It is not the one that is wanted now; another host may be.
    Unwanted(Reason),
    /// No other host is asked.
    Refused(Reason),
}

/// What it means that none of the hosts serves. Of several, one that does not answer or only stands by may be the one
/// that serves later.
fn none_of(mut passed_over: Vec<(String, Miss)>) -> Trouble {
    if let [(_, Miss::Unwanted(_) | Miss::Refused(_))] = passed_over.as_slice()
        && let Some((server, Miss::Unwanted(reason) | Miss::Refused(reason))) = passed_over.pop()
    {
        return refused(Some(server), reason);
    }
    let each = passed_over.iter().map(|(server, miss)| match miss {
        Miss::Away(why) => format!("{server}: {why}"),
        Miss::Unwanted(_) | Miss::Refused(_) => format!("{server}: not the one that serves now"),
    });
    Trouble::Away { why: each.collect::<Vec<_>>().join("; ") }
}

/// Connects to one host, and makes the session.
fn reach(target: &Target, way: &Way, purpose: Purpose) -> Result<Reached, Miss> {
    let server = target.to_string();
    let config = config(target, way);
    let tls = tls::connector(target.mode, &way.roots).map_err(|why| Miss::Refused(Reason::NoRoots(why)))?;
    let runtime = client::runtime().map_err(|error| Miss::Away(error.to_string()))?;
    let attempt = move || {
        let mut client = Client::connect(runtime, &config, tls)?;
        let greeted = client.simple_query(&greeting(purpose))?;
        Ok::<_, Fault>((client, greeted))
    };
    let Some(answer) = attempt::within(way.timeout, &server, attempt) else {
        return Err(Miss::Away(format!("no answer within {} s", way.timeout.as_secs())));
    };
    let (client, greeted) = answer.map_err(|fault| miss(&fault, target, way))?;
    let greeted = Greeted::of(&greeted).ok_or(Miss::Refused(Reason::Other {
        doing: "cannot connect",
        said: "nothing of itself".to_owned(),
    }))?;
    greeted.serves(purpose, way.wanted)?;
    let mut warnings: Vec<String> = warning_of_way(&target.host, &server, target.mode).into_iter().collect();
    warnings.extend(target.password.as_ref().err().filter(|none| none.is_told).map(|none| none.why.clone()));
    warnings.extend(greeted.keeping.warnings(&server));
    Ok(Reached { client, server, warnings })
}

fn miss(fault: &Fault, target: &Target, way: &Way) -> Miss {
    match fault {
        Fault::Server(error) => match meaning::away(error) {
            Some(why) => Miss::Away(why),
            None => Miss::Refused(meaning::of_connecting(error, target, way)),
        },
        other => Miss::Away(other.to_string()),
    }
}

fn config(target: &Target, way: &Way) -> Config {
    let mut config = Config::new();
    match &target.host {
        Host::Machine(name) => config.host(name),
        #[cfg(unix)]
        Host::Folder(folder) => config.host_path(folder),
        #[cfg(not(unix))]
        Host::Folder(folder) => config.host(&folder.to_string_lossy()),
    };
    config.port(target.port).user(&way.user).dbname(&way.database).application_name(&way.application);
    if let Ok(secret) = &target.password {
        config.password(&secret.password);
    }
    config.ssl_mode(match target.mode {
        Mode::Disable => SslMode::Disable,
        Mode::Prefer => SslMode::Prefer,
        Mode::Require | Mode::VerifyCa | Mode::VerifyFull => SslMode::Require,
    });
    // Of a name's several addresses the second has its turn.
    config.connect_timeout(way.timeout / 2).tcp_user_timeout(UNNOTICED);
    config.keepalives(true).keepalives_idle(PROBED_AFTER);
    config.keepalives_interval(PROBED_EVERY).keepalives_retries(PROBES);
    config
}

/// Asks who the server is, and sets what holds for the session, all at once. No statement is broken off there after some
/// time: a commit that is broken off while it waits for a server that stands by is answered as if it were done, but for a
/// warning, which is asked for here.
fn greeting(purpose: Purpose) -> String {
    let look = match purpose {
        Purpose::Write => "",
        Purpose::Look => "SET default_transaction_read_only = on;",
    };
    // A console that looks holds nothing that others wait for, and may wait for whoever reads what it prints.
    let stands_still_s = match purpose {
        Purpose::Write => STANDS_STILL_S,
        Purpose::Look => 0,
    };
    format!(
        "SELECT current_setting('server_version_num'), pg_is_in_recovery(), current_setting('transaction_read_only'), \
         current_setting('synchronous_commit', true), current_setting('fsync', true), \
         current_setting('full_page_writes', true), current_setting('synchronous_standby_names', true); \
         SET search_path = bevelbook; SET bytea_output = hex; SET lock_timeout = '{BUSY_S}s'; SET statement_timeout = 0; \
         SET client_min_messages = warning; \
         SET idle_in_transaction_session_timeout = '{stands_still_s}s'; {look} {MAKE_DURABLE}; {STAY}"
    )
}

/// A session is not ended for being idle, as while somebody thinks over an answer. Not every version has that setting.
const STAY: &str = "SELECT set_config('idle_session_timeout', '0', false) \
     WHERE current_setting('idle_session_timeout', true) IS NOT NULL";

/// What a server says of itself.
struct Greeted {
    version: u32,
    stands_by: bool,
    read_only: bool,
    keeping: Keeping,
}

impl Greeted {
    fn of(answer: &[SimpleQueryMessage]) -> Option<Self> {
        let row = answer.iter().find_map(|message| match message {
            SimpleQueryMessage::Row(row) => Some(row),
            _ => None,
        })?;
        let text = |at| row.try_get(at).ok().flatten();
        let setting = |at| text(at).map(str::to_owned);
        Some(Self {
            version: text(0)?.parse().ok()?,
            stands_by: text(1)? == "t",
            read_only: text(2)? == "on",
            keeping: Keeping {
                synchronous_commit: setting(3),
                fsync: setting(4),
                full_page_writes: setting(5),
                synchronous_standbys: setting(6),
            },
        })
    }

    /// Whether it serves for the purpose, and is what the address wants.
    fn serves(&self, purpose: Purpose, wanted: Option<Wanted>) -> Result<(), Miss> {
        if self.version < OLDEST {
            return Err(Miss::Refused(Reason::TooOld { version: self.version }));
        }
        if purpose == Purpose::Write && self.read_only {
            return Err(Miss::Unwanted(Reason::ReadOnly { stands_by: self.stands_by }));
        }
        match wanted {
            Some(wanted) if !wanted.is_met(self.stands_by, self.read_only) => {
                Err(Miss::Unwanted(Reason::Unwanted { wanted: wanted.name() }))
            }
            _ => Ok(()),
        }
    }
}

/// As messages name it.
impl fmt::Display for Target {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let port = self.port;
        match &self.host {
            Host::Machine(name) if name.contains(':') => write!(f, "[{name}]:{port}"),
            Host::Machine(name) => write!(f, "{name}:{port}"),
            Host::Folder(folder) => write!(f, "{}", folder.join(format!(".s.PGSQL.{port}")).display()),
        }
    }
}

impl fmt::Debug for Reached {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Reached").field("server", &self.server).finish_non_exhaustive()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// No server of that age is to be had here.
    #[test]
    fn a_server_that_is_too_old_is_refused_by_its_number() {
        let server =
            |version| Greeted { version, stands_by: false, read_only: false, keeping: Keeping::default() };
        let old = server(120_022).serves(Purpose::Write, None);
        assert!(matches!(old, Err(Miss::Refused(Reason::TooOld { version: 120_022 }))));
        assert!(server(130_000).serves(Purpose::Write, None).is_ok());
    }
}
