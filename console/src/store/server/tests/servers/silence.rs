//! A server that says nothing is given up; one that is slow, or that nobody asks anything, is not.

use super::certificates::{Certified, Root};
use super::{Shop, first};
use crate::store::server::patience::Patience;
use crate::store::value::Fault;
use bevelbook_server::Server;
use std::ops::ControlFlow;
use std::thread::{scope, sleep};
use std::time::{Duration, Instant};
use tokio_postgres::SimpleQueryMessage;

/// Longer than a bench waits.
const LONG: Duration = Duration::from_secs(Patience::Bench.time().as_secs() + 2);

/// Rows that a server does not gather before it sends them, each a second behind the one before.
const SLOW: &str = "SELECT repeat('x', 20000), pg_sleep(1) FROM generate_series(1, 20)";

#[test]
fn who_is_silent_is_given_up_and_who_is_slow_or_idle_is_not() {
    let Certified { certificate, key } = Root::new("Test root").signs(&["127.0.0.1"], 2020, 2090);
    let Some(server) = Server::setup().tls(&certificate, &key).start() else { return };
    let tcp = server.tcp_url("postgres", "postgres");
    let ways = [
        ("f", server.url("postgres")),
        ("f", format!("{tcp}?sslmode=disable")),
        ("t", format!("{tcp}?sslmode=require")),
    ];
    let shop = Shop::new();
    scope(|scope| {
        for (channel, (encrypted, url)) in ["a", "b", "c"].into_iter().zip(&ways) {
            let reach = || {
                let mut reached = shop.reach(url);
                reached.client.wait_as(Patience::Bench);
                reached
            };
            let (mut silent, mut slow, mut idle, mut told) = (reach(), reach(), reach(), reach());
            let ssl = "SELECT ssl FROM pg_stat_ssl WHERE pid = pg_backend_pid()";
            assert_eq!(first(&mut silent, ssl), *encrypted);
            scope.spawn(move || {
                let begun = Instant::now();
                let fault = silent.client.batch_execute("SELECT pg_sleep(60)").unwrap_err();
                let took = begun.elapsed();
                println!("{url}: {fault} after {took:.2?}");
                assert!(matches!(fault, Fault::Silent(time) if time == Patience::Bench.time()), "{fault:?}");
                assert!((Patience::Bench.time()..LONG + Duration::from_secs(5)).contains(&took), "{took:?}");
                // It is given up for good, and nobody waits for it once more.
                let begun = Instant::now();
                assert!(matches!(silent.client.batch_execute("SELECT"), Err(Fault::Silent(_))));
                drop(silent);
                assert!(begun.elapsed() < Duration::from_secs(5), "{:?}", begun.elapsed());
            });
            scope.spawn(move || {
                // Work of our own that takes longer than is waited.
                let answer = slow.client.ask(SLOW, Vec::new()).unwrap();
                let mut rows = 0;
                let all = slow.client.each(answer, &mut |_| {
                    rows += 1;
                    sleep(if rows == 1 { LONG } else { Duration::ZERO });
                    Ok(ControlFlow::Continue(()))
                });
                assert!(all.is_ok() && rows == 20, "{all:?} behind {rows} rows");
            });
            scope.spawn(move || {
                let said = told.client.simple_query(SLOW).unwrap();
                let rows = said.iter().filter(|said| matches!(said, SimpleQueryMessage::Row(_)));
                assert_eq!(rows.count(), 20);
            });
            scope.spawn(move || {
                idle.client.batch_execute(&format!("LISTEN {channel}")).unwrap();
                sleep(LONG);
                assert!(!idle.client.told().unwrap());
                idle.client.batch_execute(&format!("NOTIFY {channel}")).unwrap();
                assert!(idle.client.told().unwrap() && !idle.client.told().unwrap());
            });
        }
    });
}
