//! A server that runs, or did until it was killed.

use crate::database::Database;
use crate::process::{self, COMES, LOOK, Process};
use crate::programs::Programs;
use crate::scratch::Scratch;
use crate::setup::Setup;
use postgres::{Client, Config, NoTls};
use rustix::process::Signal;
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU32, Ordering};
use std::sync::{Mutex, MutexGuard, OnceLock, PoisonError};
use std::thread;
use std::time::Instant;

/// A server of one test, or of one test binary. Nothing of it stays when it is dropped, or when its process ends otherwise.
#[derive(Debug)]
pub struct Server {
    pub(crate) setup: Setup,
    pub(crate) port: u16,
    pub(crate) programs: Programs,
    // Before the process: it is waited for behind the end of all that lies there.
    pub(crate) scratch: Scratch,
    pub(crate) process: Mutex<Option<Process>>,
}

impl Server {
    /// One on a Unix socket of its own; `None` where tests are to do without.
    #[must_use]
    pub fn start() -> Option<Self> {
        Self::setup().start()
    }

    /// One that is set up otherwise.
    pub fn setup() -> Setup {
        Setup::default()
    }

    /// The one that all tests of this binary share: nobody stops it.
    #[must_use]
    pub fn shared() -> Option<&'static Self> {
        static SHARED: OnceLock<Option<Server>> = OnceLock::new();
        SHARED.get_or_init(Self::start).as_ref()
    }

    /// A fresh, empty database.
    #[must_use]
    pub fn database(&self) -> Database<'_> {
        static MADE: AtomicU32 = AtomicU32::new(1);
        Database::make(self, format!("test_{}", MADE.fetch_add(1, Ordering::Relaxed)))
    }

    /// Where the database `name` is, as role `postgres`, who may do everything: by the socket.
    #[must_use]
    pub fn url(&self, name: &str) -> String {
        self.url_as("postgres", name)
    }

    /// The same as another role.
    #[must_use]
    pub fn url_as(&self, role: &str, name: &str) -> String {
        format!("postgres:///{name}?host={}&port={}&user={role}", self.socket().display(), self.port)
    }

    /// Where the database `name` is by TCP, if the server was set up so.
    #[must_use]
    pub fn tcp_url(&self, role: &str, name: &str) -> String {
        format!("postgres://{role}@127.0.0.1:{}/{name}", self.port)
    }

    /// The folder of its socket, which is what a URL calls its host.
    #[must_use]
    pub fn socket(&self) -> &Path {
        self.scratch.folder()
    }

    /// The folder of its data.
    #[must_use]
    pub fn data(&self) -> &Path {
        self.scratch.data()
    }

    /// Its port; that of a socket is a part of the socket's name.
    #[must_use]
    pub fn port(&self) -> u16 {
        self.port
    }

    /// A connection of the test's own to the database `name`, as role `postgres`.
    ///
    /// # Errors
    /// The server does not run, or there is no such database.
    pub fn try_client(&self, name: &str) -> Result<Client, postgres::Error> {
        let mut config = Config::new();
        config.host_path(self.socket()).port(self.port).user("postgres").dbname(name).connect(NoTls)
    }

    /// A connection to a database that is there, of a server that runs.
    #[must_use]
    pub fn client(&self, name: &str) -> Client {
        self.try_client(name).unwrap_or_else(|error| panic!("{name}: {error}\n{}", self.log()))
    }

    /// Runs SQL as role `postgres` in the database `postgres`: roles, passwords, what is the whole server's.
    pub fn sql(&self, sql: &str) {
        self.client("postgres").batch_execute(sql).unwrap_or_else(|error| panic!("{sql}: {error:?}"));
    }

    /// Changes a setting of the running server, for every connection that is made from now on.
    pub fn setting(&self, name: &str, value: &str) {
        let loaded = |client: &mut Client| -> String {
            client.query_one("SELECT pg_conf_load_time()::text", &[]).expect("a time").get(0)
        };
        let before = loaded(&mut self.client("postgres"));
        self.sql(&format!("ALTER SYSTEM SET {name} = '{}'", value.replace('\'', "''")));
        self.sql("SELECT pg_reload_conf()");
        self.wait("takes no setting", || loaded(&mut self.client("postgres")) != before);
    }

    /// What it wrote of itself.
    #[must_use]
    pub fn log(&self) -> String {
        fs::read_to_string(log(&self.scratch)).unwrap_or_default()
    }

    /// Kills all its processes as if the power had gone.
    pub fn kill9(&self) {
        self.process().take().expect("a server that runs").kill9(self.scratch.data());
    }

    /// Ends it in order.
    pub fn stop(&self) {
        self.process().take().expect("a server that runs").stop();
    }

    /// Has all its processes stand still, as a machine does that is held up: connections are taken, and nobody answers.
    pub fn stand_still(&self) {
        process::signal_all(self.scratch.data(), Signal::STOP);
    }

    /// Has them go on.
    pub fn go_on(&self) {
        process::signal_all(self.scratch.data(), Signal::CONT);
    }

    /// Starts it again after [`Server::kill9`] or [`Server::stop`], and waits until it answers.
    pub fn restart(&self) {
        let started = Process::start(&self.programs, self.scratch.data(), &log(&self.scratch));
        assert!(self.process().replace(started).is_none(), "the server runs");
        self.wait_until_it_answers();
    }

    pub(crate) fn wait_until_it_answers(&self) {
        self.wait("does not answer", || {
            let ended = self.process().as_mut().is_none_or(Process::has_ended);
            assert!(!ended, "the server ended by itself:\n{}", self.log());
            self.try_client("postgres").is_ok()
        });
    }

    /// Waits until `so`.
    pub(crate) fn wait(&self, otherwise: &str, mut so: impl FnMut() -> bool) {
        let until = Instant::now() + COMES;
        while !so() {
            assert!(Instant::now() < until, "the server {otherwise}:\n{}", self.log());
            thread::sleep(LOOK);
        }
    }

    fn process(&self) -> MutexGuard<'_, Option<Process>> {
        self.process.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

/// What the server in `scratch` writes of itself.
pub(crate) fn log(scratch: &Scratch) -> PathBuf {
    scratch.folder().join("log")
}
