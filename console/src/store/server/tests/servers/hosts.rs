//! Which of several servers is taken, and which are away.

use super::{Purpose, Shop, assert_says};
use bevelbook_server::{Proxy, Server};
use std::net::TcpListener;
use std::time::{Duration, Instant};

#[test]
fn of_several_hosts_a_dead_one_is_passed_over_and_all_dead_ones_are_told() {
    let Some(server) = Server::setup().tcp().start() else { return };
    let closed = TcpListener::bind("127.0.0.1:0").unwrap().local_addr().unwrap().port();
    let shop = Shop::new();
    let url = format!("postgres://postgres@127.0.0.1:{closed},127.0.0.1:{}/postgres", server.port());
    assert_eq!(shop.reach(&url).server, format!("127.0.0.1:{}", server.port()));
    let url = format!("postgres://x@127.0.0.1:{closed},%2Fnowhere,host.invalid/x?sslmode=disable");
    let why = shop.away(&url);
    println!("{why}");
    assert_says(
        &why,
        &[&format!(
            "127.0.0.1:{closed}: nothing listens there; /nowhere/.s.PGSQL.5432: there is no socket; host.invalid:5432: no address is known for it"
        )],
    );
}

#[test]
fn a_standby_is_passed_over_by_who_writes_and_serves_who_looks() {
    let Some(server) = Server::start() else { return };
    let standby = server.standby();
    let shop = Shop::new();
    assert_says(
        &shop.told(&standby.url("postgres")),
        &["only stands by for another one", "Nothing was recorded"],
    );
    assert!(shop.connect(&standby.url("postgres"), Purpose::Look).is_ok());
    let encoded = |server: &Server| server.socket().display().to_string().replace('/', "%2F");
    let both = format!("postgres://postgres@{},{}/postgres", encoded(&standby), encoded(&server));
    assert!(shop.reach(&both).server.starts_with(&server.socket().display().to_string()));
    let looked = |wanted: &str| {
        let reached = shop.connect(&format!("{both}?target_session_attrs={wanted}"), Purpose::Look).unwrap();
        reached.server.starts_with(&server.socket().display().to_string())
    };
    assert_eq!(
        ["any", "standby", "primary", "read-only", "read-write"].map(looked),
        [false, false, true, false, true]
    );
    // Until the standby takes over, there is none that serves.
    server.stop();
    assert_says(&shop.away(&both), &["not the one that serves now", "there is no socket"]);
    standby.promote();
    assert!(shop.reach(&both).server.starts_with(&standby.socket().display().to_string()));
}

#[test]
fn a_server_that_may_only_be_read_is_told_from_one_that_stands_by() {
    let Some(server) = Server::shared() else { return };
    let database = server.database();
    database.sql(&format!("ALTER DATABASE {} SET default_transaction_read_only = on", database.name()));
    assert_says(&Shop::new().told(&database.url()), &["may only be read", "default_transaction_read_only"]);
}

#[test]
fn a_server_that_stands_still_is_given_up_and_asked_anew_when_it_goes_on() {
    let Some(server) = Server::shared() else { return };
    let proxy = Proxy::before(server);
    let url = format!("{}&connect_timeout=1", proxy.url("postgres"));
    let shop = Shop::new();
    proxy.freeze();
    let begun = Instant::now();
    assert_says(&shop.away(&url), &["no answer within 1 s"]);
    assert!((1..3).contains(&begun.elapsed().as_secs()), "{:?}", begun.elapsed());
    // An attempt that nobody answered is not made again beside the first.
    assert_says(&shop.away(&url), &["no answer"]);
    assert!(begun.elapsed() < Duration::from_secs(3));
    proxy.thaw();
    while shop.connect(&url, Purpose::Write).is_err() {
        assert!(begun.elapsed() < Duration::from_secs(20));
        std::thread::sleep(Duration::from_millis(20));
    }
}
