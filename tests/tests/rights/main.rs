//! No more rights than the job needs, in a book that a server keeps: what a bench, a counter, a reader and the owner may,
//! by the binary and by hand.
#![cfg(unix)]
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test that cannot go on fails")]

mod bench;
mod by_hand;
mod granting;
mod reader;

use bevelbook_server::{Database, Server};
use bevelbook_tests::{Output, Shop};
use std::ffi::OsStr;
use std::fmt::Debug;

/// A book on a server, with an owner and a role for each job.
struct Kept<'a> {
    database: Database<'a>,
    shop: Shop,
}

impl Kept<'static> {
    /// A database of an owner without a book.
    fn empty() -> Option<Self> {
        let database = Server::shared()?.database();
        let kept = Self { database, shop: Shop::new() };
        kept.make("owner");
        kept.database.sql(&format!(
            "ALTER DATABASE {} OWNER TO {}",
            kept.database.name(),
            kept.role("owner")
        ));
        Some(kept)
    }

    /// With a book, and roles that were granted what they are for.
    fn begun() -> Option<Self> {
        let kept = Self::empty()?;
        kept.done("owner", ["book", "begin"]);
        for role in ["bench", "counter", "reader"] {
            kept.make(role);
            kept.done("owner", ["book", "grant", &kept.role(role), "--as", role]);
        }
        Some(kept)
    }

    /// What a role is called on the server that other tests share.
    fn role(&self, role: &str) -> String {
        format!("{role}_{}", self.database.name())
    }

    /// Makes a role that may log in.
    fn make(&self, role: &str) {
        self.database.sql(&format!("CREATE ROLE {} LOGIN", self.role(role)));
    }

    /// Runs the console as a role, at a place of its own.
    fn run<S: AsRef<OsStr>>(&self, role: &str, args: impl IntoIterator<Item = S>) -> Output {
        let url = self.database.url_as(&self.role(role));
        let home = self.shop.folder().join(role);
        let mut command = self.shop.command();
        command.env("BEVELBOOK_BOOK", url).env("XDG_DATA_HOME", home).args(args);
        let ended = command.output().unwrap();
        let text = |bytes| String::from_utf8(bytes).unwrap();
        Output { status: ended.status.code(), stdout: text(ended.stdout), stderr: text(ended.stderr) }
    }

    /// Runs what must succeed.
    fn done<S: AsRef<OsStr> + Debug>(&self, role: &str, args: impl IntoIterator<Item = S>) -> Output {
        let args: Vec<S> = args.into_iter().collect();
        let output = self.run(role, &args);
        assert_eq!(output.status, Some(0), "{role} {args:?}: {output:?}");
        output
    }

    /// Runs what must be refused in a sentence that names the role.
    fn refused<S: AsRef<OsStr> + Debug>(&self, role: &str, args: impl IntoIterator<Item = S>) -> Output {
        let args: Vec<S> = args.into_iter().collect();
        let output = self.run(role, &args);
        assert!(matches!(output.status, Some(2 | 4)), "{role} {args:?}: {output:?}");
        assert!(output.stderr.contains(&format!("role {}", self.role(role))), "{role} {args:?}: {output:?}");
        output
    }

    /// A number that the owner counts.
    fn count(&self, sql: &str) -> i64 {
        self.database.client().query_one(sql, &[]).unwrap().get(0)
    }

    /// How many writes there were.
    fn writes(&self) -> i64 {
        self.count("SELECT writes FROM bevelbook.book")
    }
}
