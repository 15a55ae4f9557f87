//! A server that is asked and then says nothing, and one whose commit waits for a standby that does not come.

use super::{Bench, FAULT, READ, begun, done, on, read};
use bevelbook_server::{Fault, Proxy, Server, Way};
use bevelbook_tests::{Output, Shop};
use std::time::{Duration, Instant};

/// How long a typed command and a bench wait at most, and what that may take more on a busy machine.
const TYPED: Duration = Duration::from_secs(30);
const BENCH: Duration = Duration::from_secs(15);
const MORE: Duration = Duration::from_secs(20);

const NOTE: [&str; 4] = ["record", "note", "1", "nose pads were missing"];

/// What a command says, and after how long. One that goes on waiting is ended, so that this fails and does not wait with it.
fn said(shop: &Shop, book: &str, args: &[&str]) -> (Output, Duration) {
    let begun = Instant::now();
    let mut child = shop.command();
    child.args(on(book, args)).stdout(std::process::Stdio::piped()).stderr(std::process::Stdio::piped());
    let mut child = child.spawn().unwrap();
    while child.try_wait().unwrap().is_none() {
        if begun.elapsed() > TYPED + 2 * MORE {
            child.kill().unwrap();
        }
        std::thread::sleep(Duration::from_millis(20));
    }
    let took = begun.elapsed();
    let ended = child.wait_with_output().unwrap();
    let text = |bytes| String::from_utf8(bytes).unwrap();
    println!("{args:?} after {took:.1?}: {}", String::from_utf8_lossy(&ended.stderr).trim());
    (Output { status: ended.status.code(), stdout: text(ended.stdout), stderr: text(ended.stderr) }, took)
}

/// A server that is going to stand still, or whose standby is, with a book and its shop. The book is not deleted behind the test:
/// that would wait too.
fn server_and_shop() -> Option<(Server, String, Shop)> {
    let server = Server::start()?;
    server.sql("CREATE DATABASE shop");
    let book = server.url("shop");
    let shop = begun(&book);
    Some((server, book, shop))
}

fn notes(shop: &Shop, book: &str) -> usize {
    done(shop, book, &["job", "show", "1"]).stdout.matches("nose pads were missing").count()
}

/// A note of which the message before its commit, or that with it, arrives nowhere.
fn note_meets_silence(server: &Server, at_commit: bool) {
    let database = server.database();
    let shop = begun(&database.url());
    let proxy = Proxy::before(server);
    let book = proxy.url(database.name());
    let _ = proxy.seen();
    done(&shop, &book, &NOTE);
    let questions =
        proxy.seen().into_iter().filter(|seen| seen.way == Way::ToServer && seen.kind == Some('Q'));
    let commit = questions.map(|seen| seen.text).position(|text| text.contains("NOTIFY")).unwrap() + 1;
    // Of a commit nobody can say whether it arrived.
    let (nth, words) = if at_commit {
        (
            commit,
            "did not say for certain that this was saved (no answer for 30 s): it may be recorded or not",
        )
    } else {
        (commit - 1, "is away (no answer for 30 s): nothing was recorded. Try again when it is back")
    };
    let before = notes(&shop, &database.url());
    proxy.arm_at(Way::ToServer, "Q", nth, Fault::Freeze);
    let (output, took) = said(&shop, &book, &NOTE);
    assert!(
        proxy.struck().is_some() && output.status == FAULT && output.stderr.contains(words),
        "{output:?}"
    );
    assert!((TYPED..TYPED + MORE).contains(&took), "{took:?}");
    // What was held up arrives now, if somebody still waits for it.
    proxy.thaw();
    std::thread::sleep(Duration::from_secs(1));
    let after = notes(&shop, &database.url());
    assert!((before..=before + usize::from(at_commit)).contains(&after), "{before} and {after}: {output:?}");
}

fn look_meets_silence(server: &Server) {
    let database = server.database();
    let shop = begun(&database.url());
    let proxy = Proxy::before(server);
    let book = proxy.url(database.name());
    // The answer to its third question, whatever that is.
    proxy.arm_at(Way::ToClient, "Z", 4, Fault::Swallow);
    let (output, took) = said(&shop, &book, &["job", "show", "1"]);
    assert!(output.status == FAULT && output.stderr.contains("is away (no answer for 30 s)"), "{output:?}");
    assert!((TYPED..TYPED + MORE).contains(&took), "{took:?}");
}

#[test]
fn a_typed_command_gives_up_a_server_that_says_nothing_and_tells_what_came_of_it() {
    let Some(server) = Server::start() else { return };
    // All at once: each waits for half a minute and more.
    std::thread::scope(|scope| {
        scope.spawn(|| note_meets_silence(&server, false));
        scope.spawn(|| note_meets_silence(&server, true));
        scope.spawn(|| look_meets_silence(&server));
        scope.spawn(commit_meets_a_standby_that_stands_still);
    });
}

#[test]
fn the_bench_on_plain_lines_tells_that_a_server_stands_still_and_takes_everything_in_when_it_goes_on() {
    let Some((server, book, shop)) = server_and_shop() else { return };
    let mut bench = Bench::start(&shop, &book);
    bench.tells("is on the keypad");
    server.stand_still();
    let begun = Instant::now();
    bench.press(READ);
    let away = bench.tells("server away since ");
    println!("after {:.1?}: {away}", begun.elapsed());
    assert!((BENCH..BENCH + MORE).contains(&begun.elapsed()), "{away}");
    assert!(away.contains("(no answer for 15 s)"), "{away}");
    server.go_on();
    // The one or the other is told first.
    for words in ["server back (away since ", "right: read uncut"] {
        bench.told(words).unwrap_or_else(|| bench.tells(words));
    }
    assert_eq!(read(&shop, &book), 1);
}

/// A commit that waits for a standby which does not come is in doubt.
fn commit_meets_a_standby_that_stands_still() {
    let Some((server, book, shop)) = server_and_shop() else { return };
    let standby = server.standby();
    server.synchronous(true);
    done(&shop, &book, &NOTE);
    standby.stand_still();
    let (output, took) = said(&shop, &book, &NOTE);
    assert!(output.status == FAULT && output.stderr.contains("it may be recorded or not"), "{output:?}");
    assert!((TYPED..TYPED + MORE).contains(&took), "{took:?}");
    standby.go_on();
    // It was.
    let begun = Instant::now();
    while notes(&shop, &book) != 2 {
        assert!(begun.elapsed() < MORE);
        std::thread::sleep(Duration::from_millis(100));
    }
}

/// Whoever looks after the server breaks off what waits for its standby, until `over`.
fn break_off(server: &Server, mut over: impl FnMut() -> bool) {
    let mut client = server.client("postgres");
    let sql = "SELECT pg_cancel_backend(pid) FROM pg_stat_activity WHERE wait_event = 'SyncRep'";
    while !over() {
        client.batch_execute(sql).unwrap();
        std::thread::sleep(Duration::from_millis(50));
    }
}

#[test]
fn a_commit_whose_wait_for_the_standby_is_broken_off_is_not_said_to_be_saved() {
    let Some((server, book, shop)) = server_and_shop() else { return };
    // A session that is told of no warnings has to ask for them.
    server.sql("ALTER DATABASE shop SET client_min_messages = error");
    let standby = server.standby();
    server.synchronous(true);
    standby.stand_still();
    let output = std::thread::scope(|scope| {
        let typed = scope.spawn(|| said(&shop, &book, &NOTE).0);
        break_off(&server, || typed.is_finished());
        typed.join().unwrap()
    });
    standby.go_on();
    assert!(output.status == FAULT && output.stderr.contains("it may be recorded or not"), "{output:?}");
    assert!(output.stderr.contains("canceling wait for synchronous replication"), "{output:?}");
    assert_eq!(notes(&shop, &book), 1);
}

#[test]
fn what_was_broken_off_once_is_saved_when_a_commit_behind_it_is_on_the_standby() {
    let Some((server, book, shop)) = server_and_shop() else { return };
    let standby = server.standby();
    server.synchronous(true);
    standby.stand_still();
    let output = std::thread::scope(|scope| {
        let typed = scope.spawn(|| said(&shop, &book, &NOTE).0);
        let mut client = server.client("postgres");
        let sql = "SELECT count(pg_cancel_backend(pid)) FROM pg_stat_activity WHERE wait_event = 'SyncRep'";
        while client.query_one(sql, &[]).unwrap().get::<_, i64>(0) == 0 {
            assert!(!typed.is_finished(), "it did not wait");
        }
        standby.go_on();
        typed.join().unwrap()
    });
    assert_eq!((output.status, notes(&shop, &book)), (Some(0), 1), "{output:?}");
}

#[test]
fn a_keypad_is_told_of_nothing_that_the_standby_may_lack() {
    let Some((server, book, shop)) = server_and_shop() else { return };
    let standby = server.standby();
    server.synchronous(true);
    let mut bench = Bench::start(&shop, &book);
    bench.tells("is on the keypad");
    standby.stand_still();
    bench.press(READ);
    let (mut away, begun) = (None, Instant::now());
    break_off(&server, || {
        away = bench.told("server away since ");
        away.is_some() || begun.elapsed() > BENCH + MORE
    });
    standby.go_on();
    let away = away.unwrap_or_default();
    println!("after {:.1?}: {away}", begun.elapsed());
    assert!(away.contains("canceling wait for synchronous replication"), "{away} {:#?}", bench.told);
    assert!(away.contains("1 record waiting"), "{away}");
    bench.tells("server back (away since ");
    assert_eq!(read(&shop, &book), 1);
}
