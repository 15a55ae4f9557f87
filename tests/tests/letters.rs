//! A text has at most 200 letters wherever one is typed, and the error says so; nothing is written.
#![allow(clippy::unwrap_used, reason = "a test that cannot go on fails")]

use bevelbook_tests::{Shop, usual_order};

#[test]
fn a_text_that_fills_a_page_is_refused_wherever_it_is_typed() {
    let shop = Shop::new();
    assert_eq!(shop.run(usual_order(&[])).status, Some(0));
    let before = std::fs::read(shop.book()).unwrap();
    let long = "ö".repeat(201);
    let long = long.as_str();
    for command in [
        &["job", "amend", "1", "--tray", "5", "--why", long][..],
        &["job", "amend", "1", "--why", "so", "--tray", long],
        &["job", "amend", "1", "--why", "so", "--name", long],
        &["job", "amend", "1", "--why", "so", "--rim-material", long],
        &["job", "amend", "1", "--why", "so", "--treatment", long],
        &["job", "close", "1", "--how", long],
        &["job", "close", "1", "--despite", long],
        &["job", "remake", "1", "r", "--cause", "other", "--bearer", "shop", "--story", long],
        &["job", "arrive", "1", "r", "--what", long],
        &["record", "note", "1", long],
        &["inspect", "1", "--sign-off", long],
        &["inspect", "1", "--sign-off", "EM", "--despite", long],
        &["keypad", "add", "00000000000000aa", "--yes", "--name", long],
    ] {
        let refused = shop.run(command);
        assert_eq!(refused.status, Some(2), "{command:?}: {refused:?}");
        let said = "201 letters, where at most 200 are allowed";
        assert!(refused.stderr.contains(said), "{command:?}: {refused:?}");
    }
    for flag in ["--customer", "--tray", "--frame", "--name", "--rim-material", "--treatment"] {
        let refused = shop.run(usual_order(&[[flag, long]]));
        assert!(
            refused.status == Some(2) && refused.stderr.contains("200 are allowed"),
            "{flag}: {refused:?}"
        );
    }
    assert_eq!(std::fs::read(shop.book()).unwrap(), before);
    let just = "ö".repeat(200);
    assert_eq!(shop.run(["record", "note", "1", &just]).status, Some(0));
}

#[test]
fn a_figure_that_no_bench_has_is_refused_where_it_is_typed() {
    let shop = Shop::new();
    assert_eq!(shop.run(usual_order(&[])).status, Some(0));
    for command in [
        &["record", "girth", "1", "r", "1412"][..],
        &["record", "pd", "1", "31/31", "--heights", "180"],
        &["record", "mark", "1", "r", "--prism", "50 in"],
        &["record", "reading", "1", "r", "--direct=-45.00 DS"],
        &["record", "reading", "1", "r", "--first", "-45", "--second", "-45", "--axis", "5"],
        &["record", "reading", "1", "r", "--direct", "pl", "--add", "12"],
        &["station", "dial", "--basis", "girth", "--absolute", "--step", "0"],
        &["station", "dial", "--basis", "girth", "--take-off-from", "50", "--step", "0.05"],
    ] {
        let refused = shop.run(command);
        assert_eq!((refused.status, refused.stdout.as_str()), (Some(2), ""), "{command:?}: {refused:?}");
    }
    let shown = shop.run(["job", "show", "1", "--json"]).json();
    assert_eq!(shown["records"].as_array().map(Vec::len), Some(1), "{shown}");
}
