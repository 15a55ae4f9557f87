//! The ground that a test's books lie on: a folder of this machine, or a database of a real server. A test that takes one is
//! written once and runs on both ([`on_both_engines`]).

use crate::store::{Book, Place};
#[cfg(unix)]
use bevelbook_server::{Database, Server};
use std::path::{Path, PathBuf};
#[cfg(unix)]
use std::sync::OnceLock;
use tempfile::TempDir;

/// Where the books of one test lie; gone with it.
pub(crate) struct Ground {
    folder: TempDir,
    #[cfg(unix)]
    databases: Option<Databases>,
}

/// The databases of one test; the second is made when it is asked for.
#[cfg(unix)]
struct Databases {
    first: Database<'static>,
    second: OnceLock<Database<'static>>,
    server: &'static Server,
}

impl Ground {
    pub(crate) fn file() -> Self {
        let folder = tempfile::tempdir().unwrap();
        Self {
            folder,
            #[cfg(unix)]
            databases: None,
        }
    }

    /// On the server that all tests share; none where tests are to do without (`tests/server`).
    #[cfg(unix)]
    pub(crate) fn server() -> Option<Self> {
        let server = Server::shared()?;
        let databases = Databases { first: server.database(), second: OnceLock::new(), server };
        Some(Self { databases: Some(databases), ..Self::file() })
    }

    #[cfg(not(unix))]
    pub(crate) fn server() -> Option<Self> {
        None
    }

    /// Where the book is.
    pub(crate) fn place(&self) -> Place {
        #[cfg(unix)]
        if let Some(databases) = &self.databases {
            return named(&databases.first);
        }
        Place::File(self.in_folder("book.db"))
    }

    /// The same, with a book begun there.
    pub(crate) fn begun(&self) -> Place {
        Book::begin(self.place()).unwrap();
        self.place()
    }

    /// Where a second book is, on the same engine.
    pub(crate) fn other(&self) -> Place {
        #[cfg(unix)]
        if let Some(Databases { second, server, .. }) = &self.databases {
            return named(second.get_or_init(|| server.database()));
        }
        Place::File(self.in_folder("other.db"))
    }

    /// Takes the book away, as if none had ever been.
    pub(crate) fn clear(&self) {
        #[cfg(unix)]
        if let Some(databases) = &self.databases {
            return databases.first.sql("DROP SCHEMA bevelbook CASCADE");
        }
        for end in ["", "-wal", "-shm"] {
            let _ = std::fs::remove_file(self.in_folder(&format!("book.db{end}")));
        }
    }

    /// How often to try what chance decides: on a server, which takes its time, not as often.
    pub(crate) fn times(&self, on_a_file: u64) -> u64 {
        if self.place().as_file().is_some() { on_a_file } else { on_a_file / 4 }
    }

    /// The folder of this machine that the test may write to.
    pub(crate) fn folder(&self) -> &Path {
        self.folder.path()
    }

    /// A file in it.
    pub(crate) fn in_folder(&self, name: &str) -> PathBuf {
        self.folder().join(name)
    }

    /// A hand in the tables of the book, by no way of this program's.
    pub(crate) fn hand(&self, sql: &str) {
        #[cfg(unix)]
        if let Some(databases) = &self.databases {
            return databases.first.sql(&format!("SET search_path TO bevelbook; {sql}"));
        }
        rusqlite::Connection::open(self.in_folder("book.db")).unwrap().execute_batch(sql).unwrap();
    }

    /// The same, with all triggers switched off meanwhile, and no look at references.
    pub(crate) fn hand_past_triggers(&self, sql: &str) {
        #[cfg(unix)]
        if self.databases.is_some() {
            return self.hand(&format!("SET session_replication_role = replica; {sql}"));
        }
        let hand = rusqlite::Connection::open(self.in_folder("book.db")).unwrap();
        hand.pragma_update(None, "foreign_keys", "OFF").unwrap();
        let triggers: Vec<(String, String)> = hand
            .prepare("SELECT name, sql FROM sqlite_schema WHERE type = 'trigger'")
            .unwrap()
            .query_map([], |r| Ok((r.get(0)?, r.get(1)?)))
            .unwrap()
            .map(Result::unwrap)
            .collect();
        for (name, _) in &triggers {
            hand.execute_batch(&format!("DROP TRIGGER {name}")).unwrap();
        }
        hand.execute_batch(sql).unwrap();
        for (_, sql) in &triggers {
            hand.execute_batch(sql).unwrap();
        }
    }
}

#[cfg(unix)]
fn named(database: &Database<'_>) -> Place {
    Place::named(database.url().into()).unwrap()
}

/// Makes two tests of each, which take a [`Ground`]: `on_a_file::…` and `on_a_server::…`.
macro_rules! on_both_engines {
    ($($test:ident),* $(,)?) => {
        mod on_a_file {
            $( #[test] fn $test() { super::$test(&$crate::store::Ground::file()); } )*
        }

        mod on_a_server {
            $( #[test] fn $test() { $crate::store::Ground::server().iter().for_each(super::$test); } )*
        }
    };
}
pub(crate) use on_both_engines;
