//! A reader looks at everything but names of people, and writes nothing.

use super::Kept;
use bevelbook_tests::usual_order;

/// What only looks, of a book whose job 1 was ordered.
const LOOKING: [&[&str]; 19] = [
    &["day"],
    &["job", "list"],
    &["job", "list", "--all"],
    &["job", "show", "1"],
    &["plan", "1"],
    &["sheet", "1", "--out", "-"],
    &["sheet", "1", "--with-name", "--out", "-"],
    &["frames"],
    &["frames", "show", "Lindgren 7"],
    &["history"],
    &["station"],
    &["keypad", "list"],
    &["keypad", "log", "bench"],
    &["book", "check"],
    &["book", "where"],
    &["book", "conflicts"],
    &["book", "export", "-"],
    &["book", "grant"],
    &["calc", "transpose", "-1.25 -0.75 x 15"],
];

/// What writes.
const WRITING: [&[&str]; 15] = [
    &["job", "amend", "1", "--tray", "7", "--why", "moved"],
    &["job", "close", "1"],
    &["job", "remake", "1", "right", "--cause", "damaged", "--charged-to", "shop"],
    &["record", "pass", "1", "right", "0.50", "fits"],
    &["record", "void", "1"],
    &["inspect", "1", "--sign-off", "EM"],
    &["station", "dial", "--basis", "diameter", "--absolute", "--step", "0.05"],
    &["keypad", "add", "00000000000b0a4d", "--name", "second", "--yes"],
    &["bench", "--port", "nowhere"],
    &["book", "check", "--renew"],
    &["book", "forget", "K-17"],
    &["book", "forget", "K-17", "--yes"],
    &["book", "conflicts", "settle", "b0a4d00000000001:12", "--keep", "book"],
    &["book", "import", "export.jsonl"],
    &["book", "grant", "postgres", "--as", "reader"],
];

/// A book with an order, a name, a stated dial and a keypad, typed by a counter.
fn kept() -> Option<Kept<'static>> {
    let kept = Kept::begun()?;
    kept.done("counter", usual_order(&[["--name", "Ottoline Quillfeather"]]));
    kept.done("counter", ["station", "dial", "--basis", "diameter", "--absolute", "--step", "0.05"]);
    kept.done("counter", ["keypad", "add", "00000000000b0a4d", "--name", "bench", "--yes"]);
    kept.done("bench", ["record", "pass", "1", "right", "0.50", "fits"]);
    Some(kept)
}

#[test]
fn a_reader_looks_at_everything_but_names_and_nothing_is_written() {
    let Some(kept) = kept() else { return };
    let writes = kept.writes();
    for command in LOOKING {
        let told = kept.done("reader", command);
        assert!(!told.stdout.contains("Quillfeather") && !told.stderr.contains("Quillfeather"), "{told:?}");
    }
    // A pair that was not read is not within.
    assert_eq!(kept.run("reader", ["inspect", "1"]).status, Some(1));
    assert_eq!(kept.writes(), writes);
    assert_eq!(kept.count("SELECT count(*) FROM bevelbook.console"), 2, "a journal is begun by who logs");
    assert!(
        kept.done("reader", ["job", "list"]).stdout.contains("K-17"),
        "the reference stands for the name"
    );
    assert!(kept.done("counter", ["job", "show", "1"]).stdout.contains("Quillfeather"));
}

#[test]
fn what_was_not_looked_at_is_told() {
    let Some(kept) = kept() else { return };
    let checked = kept.done("reader", ["book", "check", "--json"]);
    let (json, role) = (checked.json(), kept.role("reader"));
    assert_eq!(
        (&json["sound"], &json["people"], &json["records"]),
        (&true.into(), &().into(), &4.into()),
        "{json}"
    );
    assert!(
        checked.stderr.contains(&format!("names of people, which role {role} may not read")),
        "{checked:?}"
    );
    let whole = kept.done("counter", ["book", "check", "--json"]);
    assert_eq!(whole.json()["people"], 1);
    assert!(!whole.stderr.contains("not looked at"), "{whole:?}");
    let exported = kept.done("reader", ["book", "export", "export.jsonl"]);
    assert!(exported.stdout.contains("4 records") && exported.stdout.contains("0 names"), "{exported:?}");
    assert!(
        exported.stderr.contains("names of people are left out") && exported.stderr.contains(&role),
        "{exported:?}"
    );
    let asked = kept.done("reader", ["book", "export", "without.jsonl", "--no-names"]);
    assert!(!asked.stderr.contains("left out"), "{asked:?}");
    let sheet = kept.done("reader", ["sheet", "1", "--with-name", "--out", "sheet.html"]);
    assert!(sheet.stderr.contains(&role), "{sheet:?}");
}

#[test]
fn whatever_writes_is_refused_in_a_sentence_that_names_the_role() {
    let Some(kept) = kept() else { return };
    kept.done("counter", ["book", "export", "export.jsonl"]);
    let writes = kept.writes();
    for command in WRITING {
        let told = kept.refused("reader", command);
        assert!(told.stdout.is_empty() && told.stderr.lines().count() == 1, "{command:?}: {told:?}");
    }
    kept.refused("reader", usual_order(&[["--customer", "K-18"]]));
    assert_eq!(kept.writes(), writes);
}

#[test]
fn a_role_without_rights_is_told_who_gives_them() {
    let Some(kept) = kept() else { return };
    kept.make("passer-by".replace('-', "_").as_str());
    for command in [&["job", "list"][..], &["job", "close", "1"], &["book", "grant"]] {
        let told = kept.refused("passer_by", command);
        assert!(told.stderr.contains("book grant") && told.stderr.contains("--as reader"), "{told:?}");
    }
    let told = kept.done("passer_by", ["book", "where"]);
    assert!(told.stderr.contains("may not look into"), "{told:?}");
}
