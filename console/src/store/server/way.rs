//! The whole way to a server: what the address leaves out is found where libpq finds it (PostgreSQL 15's documentation,
//! §34.1.2, §34.15 to §34.17). What the address says comes before what a service file says, that before the environment,
//! and that before what is usual. All of it is looked up anew for each connection, so that a new password counts at once.
//!
//! As for libpq: without a user it is the one of the operating system, without a database the one of the user's name,
//! without a host the socket on this machine. Other than for libpq: without a mode what comes over a network wants
//! `verify-full` (`tls.rs`), and a host is waited for only as long as a person would wait.

use super::address::Address;
use super::passfile::{self, Login, NoPassword};
use super::said::{Host, KNOWN, Said, Secret, Untaken, Wanted};
use super::service::{self, NoService};
use super::surroundings::Surroundings;
use super::tls::{Mode, Roots};
use std::path::PathBuf;
use std::time::Duration;

/// The way to a server, or to several that are tried in turn.
pub(super) struct Way {
    pub(super) hosts: Vec<Target>,
    pub(super) database: String,
    pub(super) user: String,
    pub(super) wanted: Option<Wanted>,
    pub(super) application: String,
    /// How long one host may take to answer.
    pub(super) timeout: Duration,
    pub(super) roots: Roots,
}

/// One host of a way.
pub(super) struct Target {
    pub(super) host: Host,
    pub(super) port: u16,
    pub(super) mode: Mode,
    /// The password, or why none was found.
    pub(super) password: Result<Secret, NoPassword>,
}

impl Target {
    pub(super) fn login<'a>(&'a self, way: &'a Way) -> Login<'a> {
        Login { host: &self.host, port: self.port, database: &way.database, user: &way.user }
    }
}

/// Why there is no way to try.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub(super) enum NoWay {
    /// The service that is named is not described.
    #[error(transparent)]
    Service(#[from] NoService),
    /// A variable of the environment is none of what it could be.
    #[error("in the environment {variable}={value} cannot be; {right}")]
    Variable {
        /// The variable.
        variable: &'static str,
        /// What it is.
        value: String,
        /// What would be right.
        right: &'static str,
    },
    /// As many ports are wanted as hosts, or one.
    #[error("{hosts} hosts and {ports} ports are named; each host has its port, or all have one")]
    Ports {
        /// How many hosts there are.
        hosts: usize,
        /// How many ports.
        ports: usize,
    },
    /// A host among several has no name.
    #[error("one of the hosts has no name; name one between two commas, or leave one comma out")]
    Nameless,
    /// The operating system does not say who the user is.
    #[error(
        "no user is named, and the system does not say who you are; name one: postgres://USER@HOST/DATABASE"
    )]
    NoUser,
}

/// How long a host may take to answer, in seconds. Own choice: a server across a slow line answers within one.
const TIMEOUT_S: u64 = 5;

/// The port that a server has where none is said (registered with IANA for PostgreSQL).
const PORT: u16 = 5432;

/// Where servers put their socket: Debian's packages and those that follow it, and PostgreSQL's own default.
const SOCKET_FOLDERS: [&str; 3] = ["/run/postgresql", "/var/run/postgresql", "/tmp"];

impl Host {
    /// A folder that libpq looks into where no host is said; the password file calls it `localhost`.
    pub(super) fn is_usual_folder(&self) -> bool {
        matches!(self, Self::Folder(folder) if SOCKET_FOLDERS.iter().any(|usual| folder.as_os_str() == *usual))
    }

    /// The host where none is said: the folder with this port's socket, else the first that a server would use.
    fn usual(port: u16) -> Self {
        if cfg!(not(unix)) {
            return Self::Machine("localhost".to_owned());
        }
        let socket = format!(".s.PGSQL.{port}");
        let mut folders = SOCKET_FOLDERS.iter().map(PathBuf::from);
        let found = folders.find(|folder| folder.join(&socket).exists());
        Self::Folder(found.unwrap_or_else(|| SOCKET_FOLDERS[0].into()))
    }
}

/// The way to what is at `address`.
pub(super) fn find(address: &Address, around: &Surroundings<'_>) -> Result<Way, NoWay> {
    let said = gather(address, around)?;
    let user = said.user.or_else(|| around.user.clone()).ok_or(NoWay::NoUser)?;
    let database = said.database.unwrap_or_else(|| user.clone());
    let roots = said.roots.or_else(|| {
        let usual = around.file_of_user(".postgresql/root.crt").filter(|file| file.exists());
        usual.map(Roots::File)
    });
    let pass_file = said.pass_file.or_else(|| around.file_of_user(".pgpass"));
    let mut hosts = Vec::new();
    for (host, port) in hosts_and_ports(said.hosts, &said.ports.unwrap_or_default())? {
        let login = Login { host: &host, port, database: &database, user: &user };
        let password = match (&said.password, &pass_file) {
            (Some(secret), _) => Ok(secret.clone()),
            (None, Some(file)) => passfile::password(file, login),
            (None, None) => Err(NoPassword { why: "no folder of yours is known".to_owned(), is_told: false }),
        };
        let mode = mode(said.mode, &host, roots.is_some());
        hosts.push(Target { host, port, mode, password });
    }
    Ok(Way {
        hosts,
        database,
        user,
        wanted: said.wanted,
        application: said.application.unwrap_or_else(|| "bevelbook".to_owned()),
        timeout: said.timeout.unwrap_or(Duration::from_secs(TIMEOUT_S)),
        roots: roots.unwrap_or(Roots::System),
    })
}

/// All that is said anywhere.
fn gather(address: &Address, around: &Surroundings<'_>) -> Result<Said, NoWay> {
    let mut said = address.said().clone();
    if let Some(name) = said.service.clone().or_else(|| around.variable("PGSERVICE")) {
        said.fill(service::read(&name, around)?);
    }
    let mut environment = Said::default();
    for (name, variable) in KNOWN {
        let value = around.variable(variable).unwrap_or_default();
        environment.take(name, &value, variable).map_err(|untaken| match untaken {
            Untaken::Value(right) => NoWay::Variable { variable, value, right },
            Untaken::Unknown => NoWay::Variable { variable, value, right: "it is not known" },
        })?;
    }
    said.fill(environment);
    Ok(said)
}

fn hosts_and_ports(hosts: Option<Vec<Host>>, ports: &[Option<u16>]) -> Result<Vec<(Host, u16)>, NoWay> {
    let port_at = |at: usize| ports.get(at).copied().flatten().unwrap_or(PORT);
    let hosts = hosts.unwrap_or_else(|| vec![Host::usual(port_at(0))]);
    if hosts.contains(&Host::Machine(String::new())) {
        return Err(NoWay::Nameless);
    }
    if ports.len() > 1 && ports.len() != hosts.len() {
        return Err(NoWay::Ports { hosts: hosts.len(), ports: ports.len() });
    }
    let of_all = ports.len() == 1;
    let port = |at| port_at(if of_all { 0 } else { at });
    Ok(hosts.into_iter().enumerate().map(|(at, host)| (host, port(at))).collect())
}

/// The mode for a host. Whoever names roots wants them looked at, as for libpq.
fn mode(said: Option<Mode>, host: &Host, roots_named: bool) -> Mode {
    match said {
        _ if matches!(host, Host::Folder(_)) => Mode::Disable,
        Some(Mode::Require) if roots_named => Mode::VerifyCa,
        Some(mode) => mode,
        None if host.is_here() => Mode::Prefer,
        None => Mode::VerifyFull,
    }
}
