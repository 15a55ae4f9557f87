//! A day worked alone: the cable is the only supply, so that the keypad starts anew where the console is, and the console never
//! meets the start in which something was logged.

use crate::rig::{Console, Keypad};
use crate::shop::{at_sizing, done, log};
use bevelbook_tests::Shop;
use jiff::{SignedDuration, Timestamp};
use serde_json::Value;

/// Starts a keypad that no console meets, lets it log a pass, and switches it off. Between what that was.
fn alone(shop: &Shop, more: &[&str]) -> [Timestamp; 2] {
    let mut keypad = Keypad::try_start(shop, &shop.folder().join("keypad.mem"), more).unwrap();
    let (before, saved) = (Timestamp::now(), keypad.ask("saved"));
    keypad.until_screen("rim size");
    keypad.send(&["up", "wait 310"]);
    assert!(keypad.ask("saved") > saved);
    keypad.send(&["quit"]);
    keypad.wait();
    [before, Timestamp::now()]
}

/// Starts the keypad where a console is, and lets that take everything in, until it has said so.
fn met(shop: &Shop, pass: bool, says: &str) {
    let mut keypad = Keypad::start(shop);
    let mut console = Console::start(shop, &keypad.port);
    console.until("connected, ");
    if pass {
        console.until("job 1 (");
        keypad.send(&["centre", "up", "wait 310"]);
    }
    console.until(says);
    keypad.until_synced();
    keypad.send(&["quit"]);
    keypad.wait();
    assert_eq!(console.end(), Some(0));
}

fn time(value: &Value) -> Timestamp {
    value.as_str().unwrap_or_else(|| panic!("{value}")).parse().unwrap()
}

/// A shop whose keypad was met once with a pass, which the console dates.
fn met_once() -> Shop {
    let shop = at_sizing(1);
    met(&shop, true, "much too big");
    shop
}

#[test]
fn what_was_logged_alone_lies_between_what_is_known_and_no_date_is_invented() {
    let shop = met_once();
    let [least, most] = alone(&shop, &[]);
    met(&shop, false, " s after its start");
    let log = log(&shop);
    let [dated, undated] = &log[..] else { panic!("{log:#?}") };
    assert_eq!(
        (&dated["dated_by"], &dated["after"], &dated["before"]),
        (&"console".into(), &Value::Null, &Value::Null)
    );
    assert_eq!((&undated["at"], &undated["dated_by"]), (&Value::Null, &Value::Null));
    let (after, before) = (time(&undated["after"]), time(&undated["before"]));
    assert!(time(&dated["at"]) <= after && after <= most, "{undated}");
    assert!(least <= before && before <= Timestamp::now(), "{undated}");
    // In words, wherever a record shows.
    let keypad = done(&shop, &["keypad", "list", "--json"]).json()["keypads"][0]["journal"].clone();
    for shown in [
        done(&shop, &["keypad", "log", keypad.as_str().unwrap()]).stdout,
        done(&shop, &["job", "show", "1"]).stdout,
    ] {
        let line =
            shown.lines().find(|line| line.contains("after its start")).unwrap_or_else(|| panic!("{shown}"));
        for part in ["after ", "before ", " s after its start", "much too big"] {
            assert!(line.contains(part), "no `{part}` in {line}");
        }
    }
    let sheet = done(&shop, &["sheet", "1", "--out", "-"]).stdout;
    assert!(sheet.contains(" s after its start"), "{sheet}");
    assert!(!sheet.contains("undated"));
}

#[test]
fn a_clock_of_its_own_dates_what_no_console_does_and_says_that_it_did() {
    let shop = met_once();
    let [least, most] = alone(&shop, &["--clock", "now"]);
    met(&shop, false, "by the keypad's own clock");
    let log = log(&shop);
    let [_, clock, dated] = &log[..] else { panic!("{log:#?}") };
    assert!(clock["says"].as_str().unwrap().starts_with("keypad's clock: "), "{clock}");
    assert_eq!((&dated["dated_by"], &dated["after"]), (&"keypad".into(), &Value::Null));
    let (at, second) = (time(&dated["at"]), SignedDuration::from_secs(1));
    assert!(least - second <= at && at <= most, "{least} {at} {most}");
    assert!(done(&shop, &["job", "show", "1"]).stdout.contains("by the keypad's own clock"));
}

#[test]
fn a_clock_that_stood_still_or_cannot_be_right_dates_nothing() {
    for (clock, says) in [
        ("stopped", "keypad's clock stood still"),
        ("2026-01-01T00:00Z", "it dates nothing"),
        ("2090-01-01T00:00Z", "it dates nothing"),
    ] {
        let shop = met_once();
        alone(&shop, &["--clock", clock]);
        met(&shop, false, says);
        let log = log(&shop);
        let [_, said, undated] = &log[..] else { panic!("{log:#?}") };
        assert_eq!(undated["at"], Value::Null, "{clock}");
        assert!(time(&undated["after"]) < time(&undated["before"]));
        assert_eq!(said["apart"].is_null(), clock == "stopped");
    }
}

#[test]
fn what_a_day_worked_alone_is_dated_by_is_not_undone() {
    let shop = met_once();
    alone(&shop, &["--clock", "now"]);
    met(&shop, false, "by the keypad's own clock");
    let log = log(&shop);
    let refused = shop.run(["record", "void", log[1]["record"].as_str().unwrap()]);
    assert_eq!(refused.status, Some(2), "{refused:?}");
    assert!(refused.stderr.contains("dated by it"), "{refused:?}");
}
