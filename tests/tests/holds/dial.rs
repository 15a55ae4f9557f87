//! What the station's dial counts is one fact: the newest statement, wherever it was made, holds at both ends.

use crate::ends::{Ends, OTHER_JOB};
use crate::rig::Keypad;
use crate::shop::{at_sizing, done, log, open_job};
use bevelbook_tests::Shop;

/// Names of each basis, and the short ones that a sizing screen may have.
const BASES: [(&str, &str); 3] = [("radius", "rad"), ("diameter", "dia"), ("girth", "gir")];

/// States at the console that the dial counts `basis`.
fn state(shop: &Shop, basis: &str) {
    done(shop, &["station", "dial", "--basis", basis, "--absolute", "--step", "0.05"]);
}

/// What the console holds the dial to count.
fn stated(shop: &Shop) -> String {
    done(shop, &["station", "--json"]).json()["dial"]["basis"].as_str().unwrap().to_owned()
}

/// The one basis that a sizing screen names.
fn shown(screen: &str) -> &'static str {
    assert!(screen.contains("fits") && screen.contains("loose"), "no lens is sized:\n{screen}");
    let plain = screen.to_lowercase();
    let named: Vec<&str> =
        BASES.iter().filter(|(_, short)| plain.contains(short)).map(|(basis, _)| *basis).collect();
    assert_eq!(named.len(), 1, "the sizing screen names {named:?}:\n{screen}");
    named[0]
}

/// What the next pass at the keypad counts on, as it comes into the book. A word about a change is answered first.
fn passed_on(ends: &mut Ends) -> String {
    ends.settle();
    let screen = ends.until_sizing();
    assert!(screen.contains("loose"), "no lens is sized:\n{screen}");
    ends.press(&["up"]);
    ends.keypad.until_synced();
    let log = log(&ends.shop);
    let says = log.last().unwrap()["says"].as_str().unwrap();
    let basis = says.split_once("mm on ").unwrap_or_else(|| panic!("no pass: {says}")).1;
    basis.split(':').next().unwrap().to_owned()
}

/// A keypad with job 1, which is sized next, and a console whose dial counts `basis`.
fn beside(basis: &str) -> Ends {
    let shop = Shop::new();
    state(&shop, basis);
    open_job(&shop, 1);
    for eye in ["r", "l"] {
        done(&shop, &["record", "pass", "1", eye, "0.6", "far"]);
    }
    let mut ends = Ends::of(shop);
    ends.until("job 1 (");
    ends
}

#[test]
fn the_sizing_screen_shows_its_basis() {
    for (basis, _) in BASES {
        let mut ends = beside(basis);
        ends.press(&["centre"]);
        let screen = ends.until_sizing();
        assert_eq!(shown(&screen), basis);
        // While the size is changed, too.
        ends.press(&["centre"]);
        assert!(ends.keypad.screen().to_lowercase().contains(&basis[..3]), "{}", ends.keypad.screen());
    }
}

#[test]
fn the_sizing_screen_shows_the_newest_statement() {
    let mut ends = beside("diameter");
    ends.open_own();
    ends.state_dial("radius");
    assert_eq!(shown(&ends.until_sizing()), "radius");
    ends.choose(OTHER_JOB);
    ends.take(&["1 T1"]);
    assert_eq!(shown(&ends.until_sizing()), "radius");
    ends.keypad.until_synced();
    state(&ends.shop, "girth");
    ends.settle();
    assert_eq!(shown(&ends.until_sizing()), "girth");
}

#[test]
fn a_job_opened_at_the_keypad_knows_the_dial_that_the_console_stated() {
    let mut ends = beside("girth");
    ends.open_own();
    assert_eq!(passed_on(&mut ends), "girth");
}

#[test]
fn a_keypad_started_again_without_the_console_still_knows_the_dial() {
    let mut ends = beside("girth");
    ends.settle();
    ends.leave();
    ends.keypad.send(&["quit"]);
    let Ends { shop, keypad, .. } = ends;
    keypad.wait();
    let keypad = Keypad::start(&shop);
    let mut ends = Ends { shop, keypad, console: None };
    ends.open_own();
    let screen = ends.until_sizing();
    assert!(screen.contains("loose"), "no lens is sized:\n{screen}");
    ends.press(&["up"]);
    ends.attend();
    assert_eq!(passed_on(&mut ends), "girth");
}

#[test]
fn the_console_states_another_dial_after_the_keypad() {
    let mut ends = beside("diameter");
    ends.open_own();
    ends.state_dial("radius");
    ends.keypad.until_synced();
    assert_eq!(stated(&ends.shop), "radius");
    assert_eq!(passed_on(&mut ends), "radius");
    state(&ends.shop, "girth");
    assert_eq!(stated(&ends.shop), "girth");
    assert_eq!(passed_on(&mut ends), "girth", "the keypad's own job");
    ends.choose(OTHER_JOB);
    ends.take(&["1 T1"]);
    assert_eq!(passed_on(&mut ends), "girth", "the ordered job");
}

#[test]
fn the_keypad_states_another_dial_after_the_console() {
    let mut ends = beside("diameter");
    ends.open_own();
    state(&ends.shop, "girth");
    ends.settle();
    ends.state_dial("radius");
    ends.keypad.until_synced();
    assert_eq!(stated(&ends.shop), "radius");
    assert_eq!(passed_on(&mut ends), "radius", "the keypad's own job");
    ends.choose(OTHER_JOB);
    ends.take(&["1 T1"]);
    assert_eq!(passed_on(&mut ends), "radius", "the ordered job");
}

#[test]
fn what_was_stated_apart_is_decided_by_the_order_of_commits() {
    let mut ends = beside("diameter");
    ends.leave();
    // The keypad first, but its statement reaches the book behind the console's.
    ends.open_own();
    ends.state_dial("radius");
    state(&ends.shop, "girth");
    assert_eq!(stated(&ends.shop), "girth");
    ends.attend();
    ends.keypad.until_synced();
    assert_eq!(stated(&ends.shop), "radius");
    assert_eq!(passed_on(&mut ends), "radius");
}

#[test]
fn a_voided_statement_gives_the_one_before_back_at_both_ends() {
    let mut ends = beside("diameter");
    ends.open_own();
    ends.state_dial("radius");
    assert_eq!(passed_on(&mut ends), "radius");
    // The keypad opened the job with record 1 and stated the dial with record 2.
    assert_eq!(ends.void(2).status, Some(0));
    assert_eq!(stated(&ends.shop), "diameter");
    assert_eq!(passed_on(&mut ends), "diameter");
}

#[test]
fn a_statement_that_the_keypad_says_is_undone_is_undone_at_both_ends() {
    let mut ends = beside("diameter");
    ends.open_own();
    ends.state_dial("radius");
    ends.press(&["hold left"]);
    let undone = ends.keypad.screen().contains("undone");
    ends.keypad.until_synced();
    let holds = if undone { "diameter" } else { "radius" };
    assert_eq!(stated(&ends.shop), holds, "the console; the keypad says undone: {undone}");
    assert_eq!(passed_on(&mut ends), holds);
}

#[test]
fn a_change_of_basis_while_a_lens_is_in_work_stops_the_keypad_and_says_so() {
    let mut ends = Ends::of(at_sizing(1));
    ends.until("job 1 (");
    ends.press(&["centre"]);
    ends.until_sizing();
    ends.press(&["up"]);
    ends.keypad.until_synced();
    let before = ends.keypad.ask("saved");
    state(&ends.shop, "radius");
    let screen = ends.keypad.until_screen("RADIUS");
    // An arrow is no outcome there: nobody has seen the size on its new basis yet.
    ends.press(&["down"]);
    assert_eq!(ends.keypad.ask("saved"), before, "{screen}");
    ends.press(&["centre"]);
    assert_eq!(shown(&ends.until_sizing()), "radius");
    // Said once.
    ends.press(&["up"]);
    let screen = ends.keypad.screen();
    assert!(!screen.contains("RADIUS"), "{screen}");
}
