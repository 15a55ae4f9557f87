//! The keypad says of a reading what the console will say: by the limits that the shop judges by.
//!
//! −5.125 D for −5.00 D ordered: within ±0.13 D by ANSI Z80.1-2015, beyond ±0.12 D by ISO 21987:2017 (S1 and the summary of
//! ISO 21987 that the tables of the core cite).

use crate::ends::Ends;
use crate::shop::done;
use bevelbook_tests::{Shop, usual_order};
use std::fs;

/// A shop that judges as `settings` say, with job 1 of −5.00 D for both eyes.
fn judging(settings: &str) -> Shop {
    let shop = Shop::new();
    fs::write(shop.settings(), settings).unwrap();
    open(&shop, 1);
    shop
}

fn open(shop: &Shop, number: u32) {
    let tray = number.to_string();
    let order = [["--right", "-5.00 DS"], ["--left", "-5.00 DS"], ["--tray", tray.as_str()]];
    done(shop, &usual_order(&order));
}

/// The keypad beside the console, at the first reading of job 1.
fn at_reading(shop: Shop) -> Ends {
    let mut ends = Ends::of(shop);
    ends.until("job 1 (");
    ends.press(&["centre"]);
    ends.keypad.until_screen("-5.00");
    ends
}

/// Reads the uncut lens that is asked for `eighths` of a dioptre stronger in minus than ordered; what then shows.
fn read(ends: &mut Ends, eighths: usize) -> String {
    let before = ends.keypad.ask("saved");
    ends.press(&vec!["down"; eighths]);
    while ends.keypad.ask("saved") == before {
        ends.press(&["centre"]);
    }
    ends.keypad.screen()
}

/// Whether the console finds the uncut lens of `eye` out.
fn console_says_out(ends: &Ends, eye: &str) -> bool {
    let inspected = ends.shop.run(["inspect", "1", "--json"]).json();
    match inspected[eye]["uncut"]["verdict"].as_str() {
        Some("within") => false,
        Some("out") => true,
        _ => panic!("{eye} is not judged: {inspected}"),
    }
}

#[test]
fn by_iso_21987_the_keypad_says_that_it_is_out() {
    let mut ends = at_reading(judging("standard = \"iso-21987-2017\"\n"));
    let screen = read(&mut ends, 1);
    assert!(screen.contains("OUT"), "{screen}");
    assert!(screen.contains("0.12"), "the limit shows:\n{screen}");
    ends.keypad.until_synced();
    assert!(console_says_out(&ends, "right"));
}

#[test]
fn by_ansi_z80_1_it_passes_and_the_next_step_is_asked() {
    let mut ends = at_reading(judging("standard = \"ansi-z80.1-2015\"\n"));
    let screen = read(&mut ends, 1);
    assert!(!screen.contains("OUT") && screen.contains("spotted?"), "{screen}");
    ends.keypad.until_synced();
    assert!(!console_says_out(&ends, "right"));
}

/// The shop's own table: the example, with another limit for powers up to 6.00 D.
fn table(shop: &Shop, limit: &str) {
    let example = done(shop, &["settings", "tolerances"]).stdout;
    let altered = example.replace("[6.00, 0.12]", &format!("[6.00, {limit}]"));
    assert!(altered.contains(limit), "the example has changed: {example}");
    fs::write(shop.folder().join("table.toml"), altered).unwrap();
    fs::write(shop.settings(), "standard = \"shop\"\ntolerance.shop_table = \"table.toml\"\n").unwrap();
}

#[test]
fn an_altered_table_of_the_shop_changes_what_the_keypad_says() {
    let shop = judging("");
    table(&shop, "0.30");
    let mut ends = at_reading(shop);
    // A quarter of a dioptre, which every published standard finds out.
    let screen = read(&mut ends, 2);
    assert!(!screen.contains("OUT") && screen.contains("spotted?"), "{screen}");
    ends.keypad.until_synced();
    assert!(!console_says_out(&ends, "right"));
    // The table is altered and the console started again: what the keypad holds is made anew.
    ends.leave();
    table(&ends.shop, "0.11");
    ends.attend();
    open(&ends.shop, 2);
    ends.until("job 2 (");
    ends.press(&["centre"]);
    ends.keypad.until_screen("uncut sphere line");
    let screen = read(&mut ends, 1);
    assert!(screen.contains("OUT") && screen.contains("left"), "{screen}");
    assert!(screen.contains("0.11"), "the limit shows:\n{screen}");
    ends.keypad.until_synced();
    assert!(console_says_out(&ends, "left") && console_says_out(&ends, "right"));
}

#[test]
fn a_job_without_an_order_is_not_judged() {
    let mut ends = at_reading(judging("standard = \"iso-21987-2017\"\n"));
    ends.open_own();
    ends.keypad.until_screen("uncut sphere line");
    let screen = read(&mut ends, 40);
    assert!(!screen.contains("OUT"), "{screen}");
}
