//! A bench logs and knows no names; a counter sets and forgets them.

use super::Kept;
use bevelbook_tests::usual_order;

#[test]
fn a_bench_works_a_job_without_knowing_whose_it_is() {
    let Some(kept) = Kept::begun() else { return };
    kept.done("counter", usual_order(&[["--name", "Ottoline Quillfeather"]]));
    kept.done("bench", ["station", "dial", "--basis", "diameter", "--absolute", "--step", "0.05"]);
    kept.done("bench", ["record", "pass", "1", "right", "0.50", "fits"]);
    let told = kept.done("bench", ["job", "show", "1"]);
    assert!(told.stdout.contains("K-17") && !told.stdout.contains("Quillfeather"), "{told:?}");
    kept.done("bench", usual_order(&[["--customer", "K-18"]]));
    kept.done("bench", ["job", "amend", "2", "--tray", "7", "--why", "moved"]);
    kept.done("bench", ["book", "check", "--renew"]);
    kept.done("bench", ["book", "check"]);
    assert_eq!(kept.count("SELECT count(*) FROM bevelbook.console"), 2, "each console has its journal");
}

#[test]
fn a_name_is_set_and_forgotten_by_a_counter_alone() {
    let Some(kept) = Kept::begun() else { return };
    let named = usual_order(&[["--name", "Ottoline Quillfeather"]]);
    let told = kept.refused("bench", &named);
    assert!(told.stderr.contains("--as counter") && told.stderr.contains("nothing was recorded"), "{told:?}");
    let checked = [&named[..], &["--check".to_owned()]].concat();
    kept.refused("bench", checked);
    assert_eq!(kept.count("SELECT count(*) FROM bevelbook.record"), 0, "nothing is half done");
    kept.done("counter", &named);
    kept.refused("bench", ["job", "amend", "1", "--name", "Ottoline Marrowby", "--why", "married"]);
    for command in [&["book", "forget", "K-17"][..], &["book", "forget", "K-17", "--yes"]] {
        let told = kept.refused("bench", command);
        assert!(told.stderr.contains("--as counter"), "{told:?}");
    }
    kept.done("counter", ["book", "export", "export.jsonl"]);
    kept.done("counter", ["job", "amend", "1", "--name", "Ottoline Marrowby", "--why", "married"]);
    let told = kept.done("counter", ["book", "forget", "K-17", "--yes"]);
    for said in ["backups", "write-ahead log", "the owner of the book does it"] {
        assert!(told.stderr.contains(said), "{said}: {told:?}");
    }
    assert_eq!(kept.count("SELECT count(*) FROM bevelbook.person"), 0);
    let told = kept.refused("bench", ["book", "import", "export.jsonl"]);
    assert!(told.stderr.contains("--as counter"), "an export with names: {told:?}");
    kept.done("counter", ["book", "import", "export.jsonl"]);
    // Statistics hold samples of values, whatever became of the rows.
    kept.database.sql("ANALYZE bevelbook.person");
    let samples = "SELECT count(*) FROM pg_statistic WHERE starelid = 'bevelbook.person'::regclass";
    assert_eq!(kept.count(samples), 0);
    let is_in_file = || {
        kept.database.sql("CHECKPOINT");
        let bytes = "SELECT position('Quillfeather'::bytea IN pg_read_binary_file(pg_relation_filepath('bevelbook.person')))::bigint";
        kept.count(bytes) > 0
    };
    // As long as anybody still sees an older state the row stays in the file, whoever tidies it.
    let mut sees = kept.database.client();
    sees.batch_execute("BEGIN ISOLATION LEVEL REPEATABLE READ; SELECT count(*) FROM bevelbook.book").unwrap();
    // Who has read the names in a transaction holds up whoever tidies them.
    let mut holds = kept.database.client();
    holds.batch_execute("BEGIN; SELECT count(*) FROM bevelbook.person").unwrap();
    let told = kept.done("owner", ["book", "forget", "K-17", "--yes", "--json"]);
    assert!(told.stderr.contains("backups") && told.stderr.contains("not written over yet"), "{told:?}");
    assert_eq!((&told.json()["tidied"], is_in_file()), (&false.into(), true), "{told:?}");
    holds.batch_execute("COMMIT").unwrap();
    let again = kept.run("owner", ["book", "forget", "K-17", "--yes"]);
    assert!(again.status == Some(3) && again.stderr.contains("not written over yet"), "{again:?}");
    sees.batch_execute("COMMIT").unwrap();
    // The server itself may look for a moment.
    let tidied = (0..20).any(|_| {
        let again = kept.run("owner", ["book", "forget", "K-17", "--yes"]);
        assert_eq!(again.status, Some(3), "{again:?}");
        again.stderr.contains("is tidied")
    });
    assert!(tidied && !is_in_file(), "not in the server's file either, where that is told");
}

#[test]
fn where_a_book_is_tells_who_asks_and_what_is_kept() {
    let Some(kept) = Kept::begun() else { return };
    let told = kept.done("bench", ["book", "where"]);
    let role = kept.role("bench");
    let day = kept.done("bench", ["day"]);
    assert!(day.words().contains("backup with its server"), "{day:?}");
    for said in ["postgres://", "PostgreSQL", "on the server's disk", "bench: looks and logs", &role] {
        assert!(told.words().contains(said), "{said}: {told:?}");
    }
}
