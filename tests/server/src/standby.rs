//! A second server that follows the first, and takes its place.

use crate::scratch::Scratch;
use crate::server::Server;
use std::fs;
use std::process::Stdio;
use std::thread;
use std::time::Duration;

/// What a standby calls itself.
const NAME: &str = "standby";

/// How long the process that knows who is to be waited for may take to learn it: it is told by a signal and answers nobody.
const TOLD: Duration = Duration::from_millis(300);

impl Server {
    /// A hot standby of this server, set up as it is: a copy that follows it as soon as it runs.
    #[must_use]
    pub fn standby(&self) -> Self {
        let scratch = Scratch::new(&self.programs);
        let copied = self
            .programs
            .command("pg_basebackup", scratch.folder())
            .arg("-D")
            .arg(scratch.data())
            .arg("-h")
            .arg(self.socket())
            .args([
                "-p",
                &self.port.to_string(),
                "-U",
                "postgres",
                "-X",
                "stream",
                "-c",
                "fast",
                "--no-sync",
                "-R",
            ])
            .stdin(Stdio::null())
            .output()
            .expect("pg_basebackup");
        assert!(copied.status.success(), "pg_basebackup: {}", String::from_utf8_lossy(&copied.stderr));
        let follows = format!(
            "host={} port={} user=postgres application_name={NAME}",
            self.socket().display(),
            self.port
        );
        self.setup.configure(&self.programs, &scratch, &[]);
        // Behind what pg_basebackup wrote of the same.
        let own = scratch.data().join("postgresql.auto.conf");
        let text =
            fs::read_to_string(&own).unwrap_or_default() + &format!("primary_conninfo = '{follows}'\n");
        fs::write(&own, text).expect("a file in the data folder");
        let standby = self.setup.clone().run(self.programs.clone(), scratch);
        self.wait("has no standby", || self.state_of_standby().is_some());
        standby
    }

    /// Has each commit wait until the standby has it on its disk, from now on; or no more.
    pub fn synchronous(&self, wanted: bool) {
        self.setting("synchronous_standby_names", if wanted { NAME } else { "" });
        self.wait("does not wait for its standby", || {
            !wanted || self.state_of_standby().as_deref() == Some("sync")
        });
        thread::sleep(TOLD);
    }

    /// Makes a standby the one that is written to, and waits until it is.
    pub fn promote(&self) {
        self.sql("SELECT pg_promote(true)");
    }

    /// How far the standby's following is, as `pg_stat_replication` says.
    fn state_of_standby(&self) -> Option<String> {
        let sql =
            "SELECT sync_state FROM pg_stat_replication WHERE application_name = $1 AND state = 'streaming'";
        self.client("postgres").query_opt(sql, &[&NAME]).expect("who follows").map(|row| row.get(0))
    }
}
