//! What a role may by SQL of its own, past every program: a bench that is hostile, and the owner.

use super::Kept;
use bevelbook_tests::usual_order;
use postgres::Client;

/// What the server says to it; the test fails where it does it.
fn refused(client: &mut Client, sql: &str) -> String {
    let error = client.batch_execute(sql).expect_err(sql);
    let said = error.as_db_error().unwrap_or_else(|| panic!("{sql}: {error:?}"));
    said.message().to_owned()
}

/// A book with a few records, as a bench wrote them.
fn kept() -> Option<Kept<'static>> {
    let kept = Kept::begun()?;
    kept.done("counter", usual_order(&[["--name", "Ottoline Quillfeather"]]));
    kept.done("bench", ["station", "dial", "--basis", "diameter", "--absolute", "--step", "0.05"]);
    Some(kept)
}

/// A record as it might be forged, at a position and with a number of the first journal.
fn forged(position: &str, seq: &str) -> String {
    format!(
        "INSERT INTO bevelbook.record (position, journal, seq, kind, payload, digest)
         SELECT {position}, journal, {seq}, 0, '', '0123456789abcdef' FROM bevelbook.record WHERE position = 1"
    )
}

const LAST: &str = "(SELECT max(position) FROM bevelbook.record)";

#[test]
fn a_bench_changes_deletes_and_switches_off_nothing() {
    let Some(kept) = kept() else { return };
    let bench = &mut kept.database.client_as(&kept.role("bench"));
    for table in ["record", "conflict", "journal", "console", "leap"] {
        for sql in [
            format!("UPDATE bevelbook.{table} SET journal = 1"),
            format!("DELETE FROM bevelbook.{table}"),
            format!("TRUNCATE bevelbook.{table} CASCADE"),
        ] {
            let said = refused(bench, &sql.replace("journal SET journal", "journal SET id"));
            assert!(said.contains("permission denied"), "{sql}: {said}");
        }
    }
    for sql in [
        "DELETE FROM bevelbook.chain",
        "UPDATE bevelbook.chain SET of = 'x'",
        "UPDATE bevelbook.book SET version = 9",
        "INSERT INTO bevelbook.leap VALUES (1, 1)",
        "TRUNCATE bevelbook.found_by",
        "SELECT * FROM bevelbook.person",
        "SELECT count(*) FROM bevelbook.person",
        "COPY bevelbook.person TO STDOUT",
        "INSERT INTO bevelbook.person VALUES ('K-1', 'x', '')",
        "SET session_replication_role = replica",
        "CREATE TABLE bevelbook.mine (x int)",
        "SET ROLE postgres",
        "GRANT SELECT ON bevelbook.record TO PUBLIC; SELECT 1/0",
    ] {
        refused(bench, sql);
    }
    for sql in [
        "ALTER TABLE bevelbook.record DISABLE TRIGGER ALL",
        "ALTER TABLE bevelbook.record DROP COLUMN digest",
        "DROP TRIGGER record_never_changed ON bevelbook.record",
        "DROP TABLE bevelbook.record CASCADE",
        "DROP SCHEMA bevelbook CASCADE",
        "CREATE OR REPLACE FUNCTION bevelbook.never_changed() RETURNS trigger LANGUAGE plpgsql AS 'BEGIN RETURN NEW; END'",
        "ALTER FUNCTION bevelbook.note_leap() SECURITY INVOKER",
        "CREATE INDEX ON bevelbook.record (kind)",
        "CREATE TRIGGER mine AFTER INSERT ON bevelbook.record FOR EACH ROW EXECUTE FUNCTION bevelbook.note_leap()",
    ] {
        let said = refused(bench, sql);
        assert!(said.contains("must be owner") || said.contains("permission denied"), "{sql}: {said}");
    }
    kept.done("owner", ["book", "check"]);
}

#[test]
fn a_counter_and_a_reader_may_no_more_than_their_names_say() {
    let Some(kept) = kept() else { return };
    let reader = &mut kept.database.client_as(&kept.role("reader"));
    for sql in [
        &forged(&format!("{LAST} + 1"), "99"),
        "UPDATE bevelbook.book SET writes = writes + 1",
        "DELETE FROM bevelbook.found_by",
        "SELECT name FROM bevelbook.person",
        "SELECT 1 FROM bevelbook.book FOR UPDATE",
        "BEGIN; LOCK bevelbook.record IN EXCLUSIVE MODE",
    ] {
        let said = refused(reader, sql);
        assert!(said.contains("permission denied"), "{sql}: {said}");
    }
    let counter = &mut kept.database.client_as(&kept.role("counter"));
    for sql in [
        "UPDATE bevelbook.person SET reference = 'K-2'",
        "TRUNCATE bevelbook.person",
        "DELETE FROM bevelbook.record",
    ] {
        let said = refused(counter, sql);
        assert!(said.contains("permission denied"), "{sql}: {said}");
    }
}

#[test]
fn the_owner_changes_no_record_either() {
    let Some(kept) = kept() else { return };
    for role in ["owner", "postgres"] {
        let owner = &mut match role {
            "owner" => kept.database.client_as(&kept.role("owner")),
            _ => kept.database.client(),
        };
        for sql in [
            "UPDATE bevelbook.record SET kind = 1",
            "DELETE FROM bevelbook.record",
            "TRUNCATE bevelbook.record CASCADE",
        ] {
            let said = refused(owner, sql);
            assert_eq!(said, "a record is never changed or deleted", "{sql}");
        }
        assert_eq!(refused(owner, "DELETE FROM bevelbook.chain"), "a chain is never changed or deleted");
        assert_eq!(refused(owner, "UPDATE bevelbook.chain SET links = links - 1"), "a chain only grows");
    }
}

#[test]
fn no_search_path_makes_a_trigger_mean_something_else() {
    let Some(kept) = kept() else { return };
    // A place where the bench may make what it likes, as every role may in schema public before version 15.
    kept.database.sql(&format!("CREATE SCHEMA trap AUTHORIZATION {}", kept.role("bench")));
    let bench = &mut kept.database.client_as(&kept.role("bench"));
    bench
        .batch_execute(
            "CREATE FUNCTION trap.never(bigint, bigint) RETURNS boolean LANGUAGE sql AS 'SELECT false';
             CREATE OPERATOR trap.<= (LEFTARG = bigint, RIGHTARG = bigint, FUNCTION = trap.never);
             CREATE OPERATOR trap.> (LEFTARG = bigint, RIGHTARG = bigint, FUNCTION = trap.never);
             CREATE OPERATOR trap.<> (LEFTARG = bigint, RIGHTARG = bigint, FUNCTION = trap.never);
             CREATE TEMP TABLE record (position bigint, journal bigint, seq bigint);
             CREATE TEMP TABLE chain (of text, links bigint);
             CREATE TEMP TABLE leap (journal bigint, seq bigint);
             INSERT INTO pg_temp.record SELECT n, 0, n FROM generate_series(1, 1000) AS n;
             SET search_path = pg_temp, trap, pg_catalog",
        )
        .unwrap();
    assert_eq!(refused(bench, "UPDATE bevelbook.chain SET links = 1"), "a chain only grows");
    assert_eq!(refused(bench, "UPDATE bevelbook.book SET writes = 9"), "a write counts as one");
    assert_eq!(refused(bench, &forged("900", "99")), "a record follows the last one");
    bench.batch_execute(&forged(&format!("{LAST} + 1"), "99")).unwrap();
    assert_eq!(kept.count("SELECT count(*) FROM bevelbook.leap WHERE seq = 99"), 1, "noted in the book");
}

#[test]
fn what_a_hostile_bench_writes_stops_nobody_and_is_found() {
    let Some(kept) = kept() else { return };
    let bench = &mut kept.database.client_as(&kept.role("bench"));
    for position in ["0", "-1", "1", "9223372036854775807", &format!("{LAST} + 2")] {
        refused(bench, &forged(position, "99"));
    }
    for sql in [
        "UPDATE bevelbook.chain SET links = links",
        "UPDATE bevelbook.chain SET links = 9223372036854775807",
        "INSERT INTO bevelbook.chain VALUES ('conflicts', 9223372036854775807, '0123456789abcdef')",
        "UPDATE bevelbook.book SET writes = 9223372036854775807",
        "UPDATE bevelbook.found_upto SET version = -1",
        "UPDATE bevelbook.found_upto SET position = -1",
        "INSERT INTO bevelbook.found_upto VALUES (2, 1, 1)",
    ] {
        refused(bench, sql);
    }
    let conflict = |position: u32| {
        format!(
            "INSERT INTO bevelbook.conflict (position, journal, seq, kind, payload, digest)
             SELECT {position}, journal, seq, 0, '', '0123456789abcdef' FROM bevelbook.record WHERE position = 1"
        )
    };
    assert_eq!(refused(bench, &conflict(3)), "a conflict follows the last one");
    bench.batch_execute(&conflict(1)).unwrap();
    bench.batch_execute(&conflict(2)).unwrap();
    // The most it can do: a false record, a chain that does not fit, words that are wrong.
    bench.batch_execute(&forged(&format!("{LAST} + 1"), "99")).unwrap();
    bench.batch_execute("UPDATE bevelbook.chain SET links = links + 7, digest = '0123456789abcdef'").unwrap();
    bench.batch_execute("INSERT INTO bevelbook.chain VALUES ('nonsense', 5, '0123456789abcdef')").unwrap();
    bench
        .batch_execute("UPDATE bevelbook.found_upto SET position = 9223372036854775807, version = 77")
        .unwrap();
    bench.batch_execute("DELETE FROM bevelbook.found_by").unwrap();
    bench
        .batch_execute(
            "INSERT INTO bevelbook.found_by SELECT 'number\t' || n, n FROM generate_series(1, 9) AS n",
        )
        .unwrap();
    for role in ["bench", "counter"] {
        kept.done(role, usual_order(&[["--customer", "K-18"]]));
        kept.done(role, ["job", "list"]);
    }
    let checked = kept.run("owner", ["book", "check"]);
    assert_eq!(checked.status, Some(1), "{checked:?}");
    for found in ["missing", "nonsense"] {
        assert!(checked.stdout.contains(found), "{found}: {checked:?}");
    }
}

#[test]
fn a_journal_whose_numbers_a_hostile_bench_used_up_is_left_by_its_console() {
    let Some(kept) = kept() else { return };
    let bench = &mut kept.database.client_as(&kept.role("bench"));
    bench.batch_execute(&forged(&format!("{LAST} + 1"), "4294967295")).unwrap();
    let told = kept.run("counter", usual_order(&[["--customer", "K-18"]]));
    assert!(told.status == Some(4) && told.stderr.contains("no numbers left"), "{told:?}");
    let mut owner = kept.database.client_as(&kept.role("owner"));
    owner.batch_execute("DELETE FROM bevelbook.console WHERE journal = (SELECT journal FROM bevelbook.record WHERE position = 1)").unwrap();
    kept.done("counter", usual_order(&[["--customer", "K-18"]]));
}
