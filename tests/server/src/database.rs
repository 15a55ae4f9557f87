//! A database of one test.

use crate::server::Server;
use postgres::{Client, Config, NoTls};

/// A database on a server, gone when it is dropped.
#[derive(Debug)]
pub struct Database<'a> {
    server: &'a Server,
    name: String,
}

impl<'a> Database<'a> {
    pub(crate) fn make(server: &'a Server, name: String) -> Self {
        server.sql(&format!("CREATE DATABASE {name}"));
        Self { server, name }
    }

    /// What it is called on its server.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.name
    }

    /// Where it is, as role `postgres`, who may do everything.
    #[must_use]
    pub fn url(&self) -> String {
        self.server.url(&self.name)
    }

    /// The same as another role.
    #[must_use]
    pub fn url_as(&self, role: &str) -> String {
        self.server.url_as(role, &self.name)
    }

    /// A connection of the test's own.
    #[must_use]
    pub fn client(&self) -> Client {
        self.server.client(&self.name)
    }

    /// The same as another role.
    #[must_use]
    pub fn client_as(&self, role: &str) -> Client {
        let mut config = Config::new();
        config.host_path(self.server.socket()).port(self.server.port()).user(role).dbname(&self.name);
        config.connect(NoTls).unwrap_or_else(|error| panic!("{role}: {error}"))
    }

    /// Runs SQL in it.
    pub fn sql(&self, sql: &str) {
        self.client().batch_execute(sql).unwrap_or_else(|error| panic!("{sql}: {error:?}"));
    }
}

impl Drop for Database<'_> {
    fn drop(&mut self) {
        // A server that a test killed keeps its databases for as long as it lasts.
        if let Ok(mut client) = self.server.try_client("postgres") {
            let _ = client.batch_execute(&format!("DROP DATABASE IF EXISTS {} WITH (FORCE)", self.name));
        }
    }
}
