//! The server of the tests does what servers do: it keeps what it acknowledged, it is killed, followed and replaced, and
//! nothing of it stays.
#![cfg(unix)]
#![allow(clippy::unwrap_used, reason = "a test says what it expects by unwrapping it")]

use bevelbook_server::Server;
use postgres::{Client, Config, NoTls};
use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::PathBuf;
use std::process::{Command, Stdio};
use std::thread;
use std::time::{Duration, Instant};

fn count(client: &mut Client) -> i64 {
    client.query_one("SELECT count(*) FROM kept", &[]).unwrap().get(0)
}

/// Waits until what must come has come.
fn wait(so: impl Fn() -> bool) {
    let until = Instant::now() + Duration::from_secs(30);
    while !so() {
        assert!(Instant::now() < until, "it does not come");
        thread::sleep(Duration::from_millis(10));
    }
}

#[test]
fn each_test_has_a_database_of_its_own_on_one_server() {
    let Some(server) = Server::shared() else { return };
    let (one, other) = (server.database(), server.database());
    one.sql("CREATE TABLE kept (id int)");
    other.sql("CREATE TABLE kept (id int); INSERT INTO kept VALUES (1)");
    assert_eq!((count(&mut one.client()), count(&mut other.client())), (0, 1));
    let mut by_url = Client::connect(&other.url(), NoTls).unwrap();
    assert_eq!(count(&mut by_url), 1);
    let version: i32 =
        by_url.query_one("SELECT current_setting('server_version_num')::int", &[]).unwrap().get(0);
    assert!(version >= 130_000, "{version} is older than what is promised");
    let name = one.name().to_owned();
    drop(one);
    assert!(server.try_client(&name).is_err(), "a database is gone with its test");
}

#[test]
fn it_settles_for_nothing_less_than_a_shops_server_does() {
    let Some(server) = Server::shared() else { return };
    let mut client = server.client("postgres");
    for name in ["fsync", "synchronous_commit", "full_page_writes"] {
        let value: String = client.query_one("SELECT current_setting($1)", &[&name]).unwrap().get(0);
        assert_eq!(value, "on", "{name}");
    }
    assert!(client.query("SELECT FROM pg_hba_file_rules WHERE error IS NOT NULL", &[]).unwrap().is_empty());
}

#[test]
fn what_was_committed_survives_a_kill_and_what_was_not_is_gone() {
    let Some(server) = Server::start() else { return };
    server.sql("CREATE TABLE kept (id int)");
    let mut client = server.client("postgres");
    for round in 1..=3 {
        client.batch_execute("INSERT INTO kept VALUES (1)").unwrap();
        client.batch_execute("BEGIN; INSERT INTO kept VALUES (2)").unwrap();
        server.kill9();
        assert!(client.batch_execute("COMMIT").is_err(), "somebody has answered");
        assert!(server.try_client("postgres").is_err());
        server.restart();
        client = server.client("postgres");
        assert_eq!(count(&mut client), round);
    }
    server.stop();
    assert!(client.batch_execute("SELECT").is_err());
    server.restart();
    assert_eq!(count(&mut server.client("postgres")), 3);
}

#[test]
fn a_setting_holds_for_every_new_connection() {
    let Some(server) = Server::setup().setting("work_mem", "5MB").start() else { return };
    let shown = |name: &str| -> String {
        server.client("postgres").query_one("SELECT current_setting($1)", &[&name]).unwrap().get(0)
    };
    assert_eq!(shown("work_mem"), "5MB");
    server.setting("work_mem", "7MB");
    assert_eq!(shown("work_mem"), "7MB");
}

#[test]
fn a_standby_has_what_was_acknowledged_and_takes_over() {
    let Some(server) = Server::start() else { return };
    server.sql("CREATE TABLE kept (id int)");
    let standby = server.standby();
    server.synchronous(true);
    let mut client = server.client("postgres");
    for id in 0..20 {
        client.execute("INSERT INTO kept VALUES ($1)", &[&id]).unwrap();
    }
    assert!(
        standby.client("postgres").batch_execute("INSERT INTO kept VALUES (1)").is_err(),
        "a standby is read only"
    );
    server.kill9();
    standby.promote();
    let mut client = standby.client("postgres");
    assert_eq!(count(&mut client), 20);
    client.batch_execute("INSERT INTO kept VALUES (20)").unwrap();
}

#[test]
fn a_commit_waits_for_a_standby_that_is_away_where_it_is_synchronous() {
    let Some(server) = Server::start() else { return };
    let standby = server.standby();
    server.synchronous(true);
    standby.kill9();
    let mut client = server.client("postgres");
    let cancel = client.cancel_token();
    thread::spawn(move || {
        thread::sleep(Duration::from_millis(500));
        cancel.cancel_query(NoTls).unwrap();
    });
    let began = Instant::now();
    client.batch_execute("CREATE TABLE kept (id int)").unwrap();
    assert!(began.elapsed() >= Duration::from_millis(500), "it waited until it was told to do so no more");
    server.synchronous(false);
    client.batch_execute("DROP TABLE kept").unwrap();
}

#[test]
fn passwords_are_asked_for_where_they_are_to_be() {
    let Some(server) = Server::setup().scram().tcp().start() else { return };
    server.sql("CREATE ROLE bench LOGIN PASSWORD 'right'");
    for url in [server.url_as("bench", "postgres"), server.tcp_url("bench", "postgres")] {
        let with = |password: &str| url.parse::<Config>().unwrap().password(password).connect(NoTls);
        assert!(with("right").is_ok(), "{url}");
        assert!(with("wrong").is_err(), "{url}");
        assert!(Client::connect(&url, NoTls).is_err(), "{url}");
    }
}

#[test]
fn it_speaks_tls_where_it_has_a_certificate() {
    let folder = tempfile::tempdir().unwrap();
    let (key, certificate) = (folder.path().join("key"), folder.path().join("certificate"));
    let made = Command::new("openssl")
        .args([
            "req",
            "-x509",
            "-newkey",
            "rsa:2048",
            "-nodes",
            "-days",
            "1",
            "-subj",
            "/CN=localhost",
            "-keyout",
        ])
        .args([&key, &PathBuf::from("-out"), &certificate])
        .output()
        .unwrap();
    assert!(made.status.success(), "{}", String::from_utf8_lossy(&made.stderr));
    let read = |path| std::fs::read_to_string(path).unwrap();
    let Some(server) = Server::setup().tls(&read(certificate), &read(key)).start() else { return };
    let mut stream = TcpStream::connect(("127.0.0.1", server.port())).unwrap();
    // PostgreSQL's documentation, "Message Formats": SSLRequest, which is answered by S or N.
    stream.write_all(&[0, 0, 0, 8, 4, 210, 22, 47]).unwrap();
    let mut answer = [0];
    stream.read_exact(&mut answer).unwrap();
    assert_eq!(&answer, b"S");
}

#[test]
fn nothing_stays_of_a_server_that_is_dropped() {
    let Some(server) = Server::start() else { return };
    let (folder, pid) = (server.socket().to_path_buf(), pid(&server));
    drop(server);
    assert!(!folder.exists());
    assert!(!PathBuf::from(format!("/proc/{pid}")).exists());
}

#[test]
fn nothing_stays_of_a_server_whose_test_was_killed() {
    if Server::shared().is_none() {
        return;
    }
    let mut child = Command::new(std::env::current_exe().unwrap())
        .args(["--exact", "is_killed_by_another_test", "--ignored", "--nocapture"])
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let lines = BufReader::new(child.stdout.take().unwrap()).lines();
    let said =
        lines.map(Result::unwrap).find_map(|line| line.strip_prefix("started ").map(str::to_owned)).unwrap();
    let (pid, folder) = said.split_once(' ').unwrap();
    let (process, folder) = (PathBuf::from(format!("/proc/{pid}")), PathBuf::from(folder));
    assert!(process.exists() && folder.exists());
    child.kill().unwrap();
    child.wait().unwrap();
    wait(|| !process.exists() && !folder.exists());
}

#[test]
#[ignore = "another test runs it, and kills it"]
fn is_killed_by_another_test() {
    // Whoever runs all that is ignored has no patience with it.
    if !std::env::args().any(|arg| arg == "is_killed_by_another_test") {
        return;
    }
    let Some(server) = Server::start() else { return };
    println!("\nstarted {} {}", pid(&server), server.socket().display());
    thread::sleep(Duration::from_secs(60));
}

/// The process that all others of the server come from.
fn pid(server: &Server) -> String {
    let file = std::fs::read_to_string(server.socket().join("data/postmaster.pid")).unwrap();
    file.lines().next().unwrap().to_owned()
}
