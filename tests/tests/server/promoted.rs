//! A standby takes over while a shop works: what was acknowledged is on it, and the consoles go over by themselves.

use crate::account;
use crate::console::Task;
use crate::consoles::Consoles;
use crate::shop;
use bevelbook_server::Server;
use std::time::Duration;

/// Kills the server under load, and promotes its standby.
fn promote(works: Duration, consoles: usize, task: Task) {
    let Some(server) = Server::start() else { return };
    let standby = server.standby();
    server.synchronous(true);
    server.sql("CREATE DATABASE shop");
    shop::begin(&server.url("shop"));
    // As libpq has it: several hosts, of which one that takes writes is meant.
    let hosts = format!("{},{}", server.socket().display(), standby.socket().display());
    let both = format!("postgres:///shop?host={hosts}&user=postgres&target_session_attrs=read-write");
    let mut consoles = Consoles::start(&both, consoles, task);
    consoles.until_acknowledged(1);
    std::thread::sleep(works);
    server.kill9();
    standby.promote();
    let before: u32 = {
        let account = consoles.account.lock().unwrap();
        account.assert_acknowledged(&account::book(&mut standby.client("shop")));
        account.acknowledged.values().sum()
    };
    consoles.until_acknowledged(before + 1);
    std::thread::sleep(works);
    consoles.end();
    let account = consoles.wait();
    account.assert_all(&account::book(&mut standby.client("shop")), &shop::open(&both).unwrap());
    let after: u32 = account.acknowledged.values().sum();
    println!(
        "promoted under load: {before} records were acknowledged before, {after} in the end; none lost, none twice"
    );
    assert!(0 < before && before < after, "{before} before, {after} in the end");
}

#[test]
fn a_standby_that_takes_over_has_all_that_was_acknowledged_and_the_shop_works_on() {
    promote(
        Duration::from_secs(3),
        2,
        Task { number: 0, keypads: 2, records: 200, typed: 1000, pace_ms: 300 },
    );
}

#[test]
#[ignore = "takes minutes"]
fn ten_standbys_take_over_one_after_the_other() {
    for _ in 0..10 {
        promote(
            Duration::from_secs(8),
            3,
            Task { number: 0, keypads: 5, records: 250, typed: 1000, pace_ms: 200 },
        );
    }
}
