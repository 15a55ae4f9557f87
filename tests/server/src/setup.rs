//! How a server is set up before it starts.

use crate::process::Process;
use crate::programs::Programs;
use crate::scratch::Scratch;
use crate::server::{self, Server};
use std::fs;
use std::io::{self, Write};
use std::net::{Ipv4Addr, TcpListener};
use std::os::unix::fs::PermissionsExt;
use std::path::Path;
use std::process::Stdio;
use std::sync::Mutex;

/// As a shop's server is unless said otherwise: what it acknowledges is on the disk. Small, since many may run at once.
const USUAL: &str = "shared_buffers = '16MB'\nmax_connections = 300\nunix_socket_permissions = 0777\n";

/// A server that does not run yet: on a Unix socket alone, and whoever comes is let in.
#[derive(Clone, Debug, Default)]
#[must_use]
pub struct Setup {
    scram: bool,
    tcp: bool,
    tls: Option<(String, String)>,
    settings: Vec<(String, String)>,
    disk: Option<String>,
}

impl Setup {
    /// Asks every role but `postgres` on the socket for its password.
    pub fn scram(self) -> Self {
        Self { scram: true, ..self }
    }

    /// Listens on a port of 127.0.0.1 too.
    pub fn tcp(self) -> Self {
        Self { tcp: true, ..self }
    }

    /// Speaks TLS with this certificate and its key, both PEM; over TCP, and without it there too.
    pub fn tls(self, certificate: &str, key: &str) -> Self {
        Self { tls: Some((certificate.into(), key.into())), ..self }.tcp()
    }

    /// A line of `postgresql.conf`.
    pub fn setting(mut self, name: &str, value: &str) -> Self {
        self.settings.push((name.into(), value.into()));
        self
    }

    /// Keeps the data on a disk of its own that holds so much (as `mount` has it), which root alone may have.
    pub fn disk(self, size: &str) -> Self {
        Self { disk: Some(size.into()), ..self }
    }

    /// Makes it and starts it; `None` where tests are to do without.
    #[must_use]
    pub fn start(self) -> Option<Server> {
        let programs = Programs::find()?;
        let scratch = match &self.disk {
            None => Some(Scratch::new(&programs)),
            Some(size) => Scratch::on_disk(&programs, size),
        };
        let Some(scratch) = scratch else {
            let said = "no disk of its own can be had for a server: a test that fills one is passed over";
            let _ = writeln!(io::stderr(), "{said}");
            return None;
        };
        initdb(&programs, &scratch);
        self.configure(&programs, &scratch, &[]);
        Some(self.run(programs, scratch))
    }

    /// Starts what lies in `scratch`, and waits until it answers.
    pub(crate) fn run(self, programs: Programs, scratch: Scratch) -> Server {
        let process = Process::start(&programs, scratch.data(), &server::log(&scratch));
        let port = port(&fs::read_to_string(scratch.data().join("own.conf")).expect("written before"));
        let server = Server { setup: self, port, programs, process: Mutex::new(Some(process)), scratch };
        server.wait_until_it_answers();
        server
    }

    /// Writes who may come and the settings; `more` stand behind.
    pub(crate) fn configure(&self, programs: &Programs, scratch: &Scratch, more: &[(&str, &str)]) {
        let method = if self.scram { "scram-sha-256" } else { "trust" };
        let access = format!(
            "local all postgres trust\nlocal replication postgres trust\nlocal all all {method}\n\
             host all all 127.0.0.1/32 {method}\n"
        );
        let mut text = USUAL.to_owned();
        let mut set = |name: &str, value: &str| {
            text.push_str(&format!("{name} = '{}'\n", value.replace('\'', "''")));
        };
        set("unix_socket_directories", &scratch.folder().to_string_lossy());
        set("listen_addresses", if self.tcp { "127.0.0.1" } else { "" });
        set("port", &if self.tcp { free_port() } else { 5432 }.to_string());
        if let Some((certificate, key)) = &self.tls {
            write(programs, &scratch.data().join("server.crt"), certificate);
            write(programs, &scratch.data().join("server.key"), key);
            set("ssl", "on");
        }
        for (name, value) in
            self.settings.iter().map(|(name, value)| (&**name, &**value)).chain(more.iter().copied())
        {
            set(name, value);
        }
        write(programs, &scratch.data().join("own.conf"), &text);
        write(programs, &scratch.data().join("postgresql.conf"), "include 'own.conf'\n");
        write(programs, &scratch.data().join("pg_hba.conf"), &access);
    }
}

/// Makes the data folder.
fn initdb(programs: &Programs, scratch: &Scratch) {
    let made = programs
        .command("initdb", scratch.folder())
        .arg("-D")
        .arg(scratch.data())
        .args(["-A", "trust", "-U", "postgres", "--no-sync", "--locale=C", "-E", "UTF8"])
        .stdin(Stdio::null())
        .output()
        .expect("initdb");
    assert!(made.status.success(), "initdb: {}", String::from_utf8_lossy(&made.stderr));
}

/// Writes a file that the server alone may read.
fn write(programs: &Programs, path: &Path, text: &str) {
    fs::write(path, text).expect("a file in the data folder");
    fs::set_permissions(path, fs::Permissions::from_mode(0o600)).expect("a file just written");
    programs.give(path);
}

/// A port that nobody listens on now.
fn free_port() -> u16 {
    let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, 0)).expect("a port");
    listener.local_addr().expect("a port").port()
}

fn port(settings: &str) -> u16 {
    let value = settings.lines().find_map(|line| line.strip_prefix("port = '"));
    value.and_then(|value| value.trim_end_matches('\'').parse().ok()).expect("a port among the settings")
}
