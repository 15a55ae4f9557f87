//! The network of the tests fails where it is told to, and nowhere else.
#![cfg(unix)]
#![allow(clippy::unwrap_used, reason = "a test says what it expects by unwrapping it")]

use bevelbook_server::{Database, Fault, Proxy, Seen, Server, Way};
use postgres::{Client, NoTls};
use std::sync::mpsc;
use std::thread;
use std::time::{Duration, Instant};

fn count(database: &Database<'_>) -> i64 {
    database.client().query_one("SELECT count(*) FROM kept", &[]).unwrap().get(0)
}

fn through(proxy: &Proxy, database: &Database<'_>) -> Client {
    Client::connect(&proxy.url(database.name()), NoTls).unwrap()
}

/// Waits until the server has ended what the cut connection had begun: it holds the table until then.
fn settled(database: &Database<'_>) -> i64 {
    database.sql("BEGIN; LOCK TABLE kept; COMMIT");
    count(database)
}

#[test]
fn a_commit_is_seen_message_by_message() {
    let Some(server) = Server::shared() else { return };
    let database = server.database();
    let proxy = Proxy::before(server);
    let mut client = through(&proxy, &database);
    let start = proxy.seen();
    assert_eq!((start[0].kind, start[0].way, start[0].connection), (None, Way::ToServer, 1));
    client.batch_execute("COMMIT").unwrap();
    let told = |seen: Seen| (seen.way, seen.kind.unwrap(), seen.text);
    let seen: Vec<_> = proxy.seen().into_iter().map(told).collect();
    let commit = (Way::ToServer, 'Q', "COMMIT".to_owned());
    // A warning that there is nothing to commit, that it is done, and ready for more.
    let answer =
        [('N', ""), ('C', "COMMIT"), ('Z', "")].map(|(kind, text)| (Way::ToClient, kind, text.to_owned()));
    assert_eq!(seen, [vec![commit], answer.to_vec()].concat());
}

#[test]
fn it_cuts_before_and_behind_the_message_that_it_is_told() {
    let Some(server) = Server::shared() else { return };
    // The client's messages are BEGIN, INSERT, COMMIT as simple queries, each answered by two.
    let cases = [
        (Way::ToServer, 2, Fault::CutAfter, 0),
        (Way::ToServer, 3, Fault::CutBefore, 0),
        (Way::ToServer, 3, Fault::CutAfter, 1),
        (Way::ToClient, 4, Fault::CutAfter, 0),
        (Way::ToClient, 5, Fault::CutBefore, 1),
    ];
    for case in cases {
        let (way, nth, fault, committed) = case;
        let database = server.database();
        database.sql("CREATE TABLE kept (id int)");
        let proxy = Proxy::before(server);
        let mut client = through(&proxy, &database);
        proxy.arm(way, nth, fault);
        let mut run = || {
            ["BEGIN", "INSERT INTO kept VALUES (1)", "COMMIT"].map(|sql| client.batch_execute(sql).is_ok())
        };
        let answered = run();
        assert!(!answered[2], "{case:?}: {answered:?}");
        assert_eq!(proxy.struck().map(|seen| seen.way), Some(way), "{case:?}");
        assert_eq!(settled(&database), committed, "{case:?}");
    }
}

#[test]
fn without_a_fault_everything_passes_and_a_cut_closes_all() {
    let Some(server) = Server::shared() else { return };
    let database = server.database();
    database.sql("CREATE TABLE kept (id int, text text)");
    let proxy = Proxy::before(server);
    let mut clients = [through(&proxy, &database), through(&proxy, &database)];
    let long = "b".repeat(300_000);
    for (id, client) in (0..).zip(&mut clients) {
        client.execute("INSERT INTO kept VALUES ($1, $2)", &[&id, &long]).unwrap();
        let row = client.query_one("SELECT text FROM kept WHERE id = $1", &[&id]).unwrap();
        assert_eq!(row.get::<_, String>(0), long);
    }
    assert_eq!(count(&database), 2);
    proxy.cut();
    assert!(clients.iter_mut().all(|client| client.batch_execute("SELECT").is_err()));
    proxy.refuse(true);
    assert!(Client::connect(&proxy.url(database.name()), NoTls).is_err());
    proxy.refuse(false);
    assert!(through(&proxy, &database).batch_execute("SELECT").is_ok());
}

#[test]
fn an_answer_is_late_or_never_comes() {
    let Some(server) = Server::shared() else { return };
    let database = server.database();
    database.sql("CREATE TABLE kept (id int)");
    let proxy = Proxy::before(server);
    let mut client = through(&proxy, &database);
    proxy.arm(Way::ToClient, 1, Fault::Delay(Duration::from_millis(200)));
    let began = Instant::now();
    client.batch_execute("INSERT INTO kept VALUES (1)").unwrap();
    assert!(began.elapsed() >= Duration::from_millis(200));

    for (fault, arrives) in [(Fault::Swallow, 2), (Fault::Freeze, 3)] {
        let mut client = through(&proxy, &database);
        proxy.arm(Way::ToClient, 1, fault);
        let (answer, answered) = mpsc::channel();
        let insert =
            thread::spawn(move || answer.send(client.batch_execute("INSERT INTO kept VALUES (2)").is_ok()));
        assert!(answered.recv_timeout(Duration::from_millis(300)).is_err(), "{fault:?}");
        // The server heard of it all the same.
        assert_eq!(count(&database), arrives, "{fault:?}");
        match fault {
            Fault::Freeze => proxy.thaw(),
            _ => proxy.cut(),
        }
        assert_eq!(answered.recv_timeout(Duration::from_secs(10)), Ok(fault == Fault::Freeze), "{fault:?}");
        insert.join().unwrap().unwrap();
    }
}
