//! What holds for a session, and what is told of it when it fails.

use super::{Purpose, Reached, Shop, assert_says, first, refused, setting, text};
use crate::store::Trouble;
use crate::store::server::meaning::{is_to_be_tried_again, trouble};
use bevelbook_server::Server;
use std::time::Duration;

#[test]
fn a_session_waits_as_long_as_a_person_would_and_says_whose_it_is() {
    let Some(server) = Server::shared() else { return };
    let database = server.database();
    // Newer servers have it, and would end a session while somebody thinks over an answer.
    let idles = !database.client().query("SHOW server_version_num", &[]).unwrap()[0]
        .get::<_, &str>(0)
        .starts_with("13");
    if idles {
        database.sql(&format!("ALTER DATABASE {} SET idle_session_timeout = '1s'", database.name()));
    }
    let mut reached = Shop::new().reach(&database.url());
    assert!(!idles || setting(&mut reached, "idle_session_timeout") == "0");
    for (name, value) in [
        ("application_name", "bevelbook"),
        ("search_path", "bevelbook"),
        ("lock_timeout", "10s"),
        ("idle_in_transaction_session_timeout", "5s"),
        ("statement_timeout", "0"),
        ("synchronous_commit", "on"),
        ("default_transaction_read_only", "off"),
    ] {
        assert_eq!(setting(&mut reached, name), value, "{name}");
    }
    assert_eq!(reached.warnings, [""; 0]);
}

#[test]
fn who_looks_cannot_write_and_keeps_nobody_waiting() {
    let Some(server) = Server::shared() else { return };
    let database = server.database();
    let mut reached = Shop::new().connect(&database.url(), Purpose::Look).unwrap();
    assert_eq!(setting(&mut reached, "idle_in_transaction_session_timeout"), "0");
    let error = refused(&mut reached, "CREATE TABLE public.x ()");
    assert_says(&text(trouble("cannot write", &error), "postgres://x"), &["takes no writes"]);
}

#[test]
fn a_server_that_keeps_less_than_it_says_is_told_and_this_session_waits_all_the_same() {
    let Some(server) = Server::setup().setting("fsync", "off").setting("full_page_writes", "off").start()
    else {
        return;
    };
    let shop = Shop::new();
    let url = server.url("postgres");
    for (value, words) in [
        ("off", &["fsync is off", "full_page_writes off", "synchronous_commit off"][..]),
        ("local", &["fsync is off", "full_page_writes off"]),
    ] {
        server.setting("synchronous_commit", value);
        let mut reached = shop.reach(&url);
        println!("{}", reached.warnings.join("\n"));
        assert_says(&reached.warnings.join("\n"), words);
        assert_eq!(reached.warnings.len(), words.len(), "{:?}", reached.warnings);
        assert_eq!(setting(&mut reached, "synchronous_commit"), "on");
    }
    server.setting("synchronous_commit", "remote_apply");
    assert_eq!(setting(&mut shop.reach(&url), "synchronous_commit"), "remote_apply");
}

#[test]
fn a_server_that_goes_is_away_whatever_it_says_last() {
    let Some(server) = Server::start() else { return };
    let shop = Shop::new();
    let away = |reached: &mut Reached| {
        let error = refused(reached, "SELECT");
        let said = match trouble("cannot read", &error) {
            Trouble::Away { why } => why,
            other => panic!("{}", text(other, "postgres://x")),
        };
        println!("{said}");
        said
    };
    let mut reached = shop.reach(&server.url("postgres"));
    server.sql("SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE application_name = 'bevelbook'");
    away(&mut reached);
    assert_says(&away(&mut reached), &["closed the connection"]);
    let mut idle = shop.reach(&server.url("postgres"));
    idle.client.batch_execute("SET idle_in_transaction_session_timeout = '10ms'; BEGIN").unwrap();
    std::thread::sleep(Duration::from_millis(300));
    away(&mut idle);
    let mut reached = shop.reach(&server.url("postgres"));
    server.kill9();
    away(&mut reached);
    assert_says(&shop.away(&server.url("postgres")), &["nothing listens there"]);
}

#[test]
fn what_stands_in_each_others_way_is_run_anew_and_a_held_lock_is_busy() {
    let Some(server) = Server::shared() else { return };
    let database = server.database();
    database.sql(
        "CREATE SCHEMA bevelbook; CREATE TABLE bevelbook.row (n int); INSERT INTO bevelbook.row VALUES (1)",
    );
    let shop = Shop::new();
    let (mut one, mut other) = (shop.reach(&database.url()), shop.reach(&database.url()));
    one.client.batch_execute("BEGIN; UPDATE row SET n = n + 1").unwrap();
    other.client.batch_execute("BEGIN ISOLATION LEVEL REPEATABLE READ; SELECT FROM row").unwrap();
    one.client.batch_execute("COMMIT").unwrap();
    let error = refused(&mut other, "UPDATE row SET n = n + 1");
    assert!(is_to_be_tried_again(&error), "{error:?}");
    other.client.batch_execute("ROLLBACK; SET lock_timeout = '20ms'").unwrap();
    one.client.batch_execute("BEGIN; UPDATE row SET n = n + 1").unwrap();
    let error = refused(&mut other, "UPDATE row SET n = n + 1");
    assert!(matches!(trouble("cannot write", &error), Trouble::Busy) && !is_to_be_tried_again(&error));
}

#[test]
fn a_console_that_stands_still_within_a_write_loses_it_and_the_next_one_goes_on() {
    let Some(server) = Server::shared() else { return };
    let database = server.database();
    database.sql(
        "CREATE SCHEMA bevelbook; CREATE TABLE bevelbook.row (n int); INSERT INTO bevelbook.row VALUES (1)",
    );
    let shop = Shop::new();
    let (mut one, mut other) = (shop.reach(&database.url()), shop.reach(&database.url()));
    one.client.batch_execute("BEGIN; UPDATE row SET n = 2").unwrap();
    other.client.batch_execute("UPDATE row SET n = n + 2").unwrap();
    assert_eq!(first(&mut other, "SELECT n FROM row"), "3");
    assert!(matches!(trouble("cannot write", &refused(&mut one, "COMMIT")), Trouble::Away { .. }));
}

#[test]
fn each_code_of_a_server_means_what_the_documentation_says() {
    let Some(server) = Server::shared() else { return };
    let database = server.database();
    let mut reached = Shop::new().reach(&database.url());
    let mut raise = |code: &str| {
        let raise =
            format!("DO $$ BEGIN RAISE EXCEPTION 'words' USING ERRCODE = '{code}', DETAIL = 'more.'; END $$");
        refused(&mut reached, &raise)
    };
    // PostgreSQL 15's documentation, appendix A.
    for (code, told) in [
        ("53100", "no room left on the disk"),
        ("25006", "takes no writes"),
        ("42501", "does not let you do this: words; more. Ask"),
        ("XX001", "finds its files spoilt (words; more)"),
        ("XX002", "finds its files spoilt"),
        ("55P03", "is held by another program for over 10 s"),
        ("53300", "is away (words; more)"),
        ("57P01", "is away"),
        ("57P02", "is away"),
        ("57P03", "is away"),
        ("08006", "is away"),
        ("25P03", "is away"),
        (
            "22012",
            "cannot write: the server of postgres://db1/shop says words; more (SQLSTATE 22012). Nothing was recorded",
        ),
    ] {
        assert_says(
            &text(trouble("cannot write", &raise(code)), "postgres://db1/shop"),
            &[told, "postgres://db1/shop"],
        );
    }
    for (code, again) in [("40001", true), ("40P01", true), ("40003", false), ("55P03", false)] {
        assert_eq!(is_to_be_tried_again(&raise(code)), again, "{code}");
    }
}
