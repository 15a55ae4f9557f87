//! Who is let in, and what answers that is no server.

use super::{Shop, assert_says, refused, setting, text};
use crate::store::server::meaning::trouble;
use bevelbook_server::Server;
use std::io::{Read, Write};
use std::net::TcpListener;

#[test]
fn who_is_not_let_in_is_told_why_and_what_would_be_right() {
    let Some(server) = Server::setup().scram().tcp().start() else { return };
    server.sql("CREATE ROLE bench LOGIN PASSWORD 'opensesame' CONNECTION LIMIT 1");
    let database = server.database();
    let url = server.tcp_url("bench", database.name());
    let shop = Shop::new();
    let line = format!("127.0.0.1:{}:{}:bench:PASSWORD", server.port(), database.name());
    assert_says(
        &shop.told(&url),
        &["wants the password of user bench", "there is no password file", "as a line", &line, "chmod 600"],
    );
    let shop = shop.with("PGPASSWORD", "wrong");
    assert_says(&shop.told(&url), &["refuses user bench with the password from PGPASSWORD", "recorded"]);
    assert_says(&shop.told(&server.tcp_url("nobody", database.name())), &["refuses user nobody"]);
    let shop = Shop::new().file(".pgpass", &format!("127.0.0.1:{}:*:bench:opensesame\n", server.port()));
    assert_says(&shop.told(&server.tcp_url("bench", "other")), &["no database other", "createdb other"]);
    let mut reached = shop.reach(&url);
    assert_eq!(setting(&mut reached, "application_name"), "bevelbook");
    assert_says(&shop.away(&url), &["too many connections"]);
    drop(reached);
    let shop = Shop::new().file_of(".pgpass", "*:*:*:*:opensesame\n", 0o644);
    assert_says(&shop.told(&url), &["was not used, since others may read it"]);
    // Who needs no password is told of the file all the same.
    let by_socket = shop.reach(&database.url());
    assert_says(&by_socket.warnings.join("\n"), &["was not used, since others may read it"]);
}

#[test]
fn a_user_without_the_right_or_whom_nobody_knows_is_told_so() {
    let Some(server) = Server::shared() else { return };
    let database = server.database();
    server.sql("CREATE ROLE looker LOGIN");
    database.sql("CREATE TABLE kept ()");
    let shop = Shop::new();
    assert_says(&shop.told(&database.url_as("stranger")), &["does not let user stranger in", "stranger"]);
    let mut reached = shop.reach(&database.url_as("looker"));
    let error = refused(&mut reached, "SELECT FROM public.kept");
    assert_says(
        &text(trouble("cannot read", &error), "postgres://db1/shop"),
        &["the server of postgres://db1/shop does not let you do this", "permission denied for table kept"],
    );
    let error = refused(&mut reached, "SELECT 1/0");
    assert_says(
        &text(trouble("cannot read", &error), "postgres://x"),
        &["cannot read", "division by zero", "22012"],
    );
    server.sql(&format!("REVOKE CONNECT ON DATABASE {} FROM public", database.name()));
    assert_says(&shop.told(&database.url_as("looker")), &["does not let you do this", "CONNECT"]);
}

#[test]
fn what_speaks_another_protocol_is_no_server() {
    let listener = TcpListener::bind("127.0.0.1:0").unwrap();
    let url = format!("postgres://x@{}/x?sslmode=", listener.local_addr().unwrap());
    let answers = std::thread::spawn(move || {
        for answer in [
            b"HTTP/1.1 400 Bad Request\r\n\r\n".as_slice(),
            b"HTTP/1.1 400 Bad Request\r\n\r\n".as_slice(),
            b"SSH-2.0-Invented_1.0\r\n".as_slice(),
        ] {
            let (mut stream, _) = listener.accept().unwrap();
            let _ = stream.read(&mut [0; 512]);
            let _ = stream.write_all(answer);
            let _ = stream.read(&mut [0; 512]);
        }
        let (mut stream, _) = listener.accept().unwrap();
        let _ = stream.read(&mut [0; 512]);
        let _ = stream.write_all(b"Z\0\0\0\0");
    });
    let shop = Shop::new();
    assert_says(
        &shop.away(&format!("{url}prefer")),
        &["broke off within an answer", "is that a PostgreSQL server?"],
    );
    assert_says(&shop.told(&format!("{url}require")), &["has no TLS"]);
    assert_says(&shop.told(&format!("{url}require")), &["no private way to speak"]);
    assert_says(
        &shop.told(&format!("{url}disable")),
        &["does not speak PostgreSQL's protocol", "host and port"],
    );
    answers.join().unwrap();
}
