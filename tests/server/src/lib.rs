//! A real PostgreSQL for tests: a server of their own on a socket of its own, and a network that fails when it is told to.
//!
//! ```no_run
//! # use bevelbook_server::Server;
//! let Some(server) = Server::shared() else { return };
//! let database = server.database();
//! println!("{}", database.url());
//! ```
//!
//! - [`Server::shared`] is one server for a whole test binary, with a fresh [`Database`] for each test;
//!   [`Server::start`] one that a test may kill; [`Server::setup`] one with passwords, TCP, TLS or other settings.
//! - [`Server::kill9`], [`Server::restart`], [`Server::stop`], [`Server::stand_still`] and [`Server::standby`] are what happens to servers.
//! - [`Proxy`] stands between client and server, knows where a message ends, and cuts, swallows, delays or stands still.
//!
//! The programs are those of Debian's `postgresql`, of the newest version that is found, or of the folder that
//! `BEVELBOOK_POSTGRES` names. Where there are none the test fails, unless `BEVELBOOK_POSTGRES=none`: then there is no
//! [`Server`], and the tests that want one are passed over and say so. Nothing of a machine's own cluster is touched. Needs
//! `/proc`.
#![cfg(unix)]
#![allow(clippy::expect_used, clippy::panic, reason = "all of this is called by tests alone")]

mod database;
mod process;
mod programs;
mod proxy;
mod scratch;
mod server;
mod setup;
mod standby;

pub use database::Database;
pub use proxy::{Fault, Proxy, Seen, Way};
pub use server::Server;
pub use setup::Setup;
