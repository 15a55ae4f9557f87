//! `book restore`, as a person uses it.

use super::{customers, done, open_job};
use bevelbook_tests::Shop;
use std::io::{BufRead, BufReader};
use std::process::Stdio;

#[test]
fn a_backup_comes_back_and_what_only_the_former_book_had_is_told() {
    let shop = Shop::new();
    open_job(&shop, "K-1");
    done(&shop, ["book", "backup", "b.db"]);
    open_job(&shop, "K-2");
    let trial = done(&shop, ["book", "restore", "b.db", "--dry-run"]);
    assert!(
        trial.stdout.contains("would be kept as") && trial.stdout.contains("only in the former book"),
        "{trial:?}"
    );
    assert_eq!(customers(&shop), ["K-1", "K-2"]);
    let restored = done(&shop, ["book", "restore", "b.db", "--json"]).json();
    assert_eq!(customers(&shop), ["K-1"]);
    let records = |of: &str| restored[of][0]["records"].as_u64().unwrap();
    assert!(records("journals") >= 1 && records("missing") == 1, "{restored}");
    let kept = restored["kept"].as_str().unwrap();
    done(&shop, ["book", "restore", kept]);
    assert_eq!(customers(&shop), ["K-1", "K-2"]);
}

#[test]
fn a_running_bench_keeps_its_book_and_a_backup_copied_over_it_by_hand_is_told() {
    let shop = Shop::new();
    open_job(&shop, "K-1");
    done(&shop, ["book", "backup", "b.db"]);
    open_job(&shop, "K-2");
    let mut bench = shop.command();
    bench
        .args(["bench", "--port", "software", "--yes", "--plain"])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped());
    let mut bench = bench.spawn().unwrap();
    let mut said = BufReader::new(bench.stdout.take().unwrap()).lines();
    assert!(said.next().unwrap().is_ok(), "it is there");
    let refused = shop.run(["book", "restore", "b.db"]);
    assert_eq!(refused.status, Some(4), "{refused:?}");
    assert!(
        refused.stderr.contains("open in another program") && refused.stderr.contains("bench"),
        "{refused:?}"
    );
    std::fs::copy(shop.folder().join("b.db"), shop.book()).unwrap();
    let by_hand = shop.run(["job", "list"]);
    assert_eq!(by_hand.status, Some(4), "{by_hand:?}");
    assert!(
        by_hand.stderr.contains("put there by hand") && by_hand.stderr.contains("book restore"),
        "{by_hand:?}"
    );
    bench.kill().unwrap();
    bench.wait().unwrap();
    done(&shop, ["book", "restore", "b.db"]);
    assert_eq!(customers(&shop), ["K-1"]);
}

#[test]
fn a_file_that_is_not_there_is_named_as_what_it_was_given_for() {
    let shop = Shop::new();
    for args in [["book", "restore", "nothing.db"], ["book", "check", "nothing.db"]] {
        let output = shop.run(args);
        assert_eq!(output.status, Some(3));
        assert!(output.stderr.contains("there is no file at nothing.db"), "{output:?}");
    }
}
