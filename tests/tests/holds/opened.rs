//! A record of a job that was opened at the keypad can be undone at the console, before the job is filed and after.

use crate::ends::{Ends, records};
use crate::shop::{at_sizing, log, numbers};
use serde_json::Value;

/// A job opened at the keypad (record 1), whose right lens was read (2) and spotted (3), all of it in the book.
fn opened() -> Ends {
    let mut ends = Ends::of(at_sizing(1));
    ends.until("job 1 (");
    ends.open_own();
    ends.read_and_spot();
    ends.keypad.until_synced();
    assert_eq!(numbers(&ends.shop), [1, 2, 3]);
    ends
}

/// Voids record `seq`, which must work, whatever job it is of.
fn voided(ends: &Ends, seq: u64) {
    let output = ends.void(seq);
    assert_eq!(output.status, Some(0), "record {seq}: {output:?}");
    ends.assert_sound();
}

/// Whether record `seq` of the keypad shows as void where job 1 is shown.
fn void_in_job(ends: &Ends, seq: u64) -> bool {
    let of_keypad = |record: &&Value| record["record"].as_str().unwrap().ends_with(&format!(":{seq}"));
    let journal = ends.journal();
    let records = records(ends, 1);
    let own = records.iter().filter(|record| record["record"].as_str().unwrap().starts_with(&journal));
    own.clone().find(of_keypad).unwrap_or_else(|| panic!("no record {seq} in {records:?}"))["void"] == true
}

#[test]
fn each_fact_is_voided_before_the_job_is_filed_and_shows_as_void_behind() {
    let ends = opened();
    for seq in [3, 2] {
        voided(&ends, seq);
        assert_eq!(log(&ends.shop)[seq as usize - 1]["void"], true, "{:?}", log(&ends.shop));
    }
    let again = ends.void(3);
    assert_eq!(again.status, Some(2), "{again:?}");
    assert!(again.stderr.contains("void already"), "{again:?}");
    // It still waits, without what was voided.
    ends.run(&format!("job attach {} 1", ends.unfiled()));
    assert!(void_in_job(&ends, 2) && void_in_job(&ends, 3));
    assert!(!void_in_job(&ends, 1));
    let inspected = ends.shop.run(["inspect", "1", "--json"]).json();
    assert_eq!(inspected["right"]["uncut"], Value::Null, "{inspected}");
    ends.assert_sound();
}

#[test]
fn each_fact_is_voided_after_the_job_was_filed() {
    let ends = opened();
    ends.run(&format!("job attach {} 1", ends.unfiled()));
    let inspected = ends.shop.run(["inspect", "1", "--json"]).json();
    assert_ne!(inspected["right"]["uncut"], Value::Null, "it is filed with its reading: {inspected}");
    for seq in [2, 3, 1] {
        voided(&ends, seq);
        assert!(void_in_job(&ends, seq));
    }
    let inspected = ends.shop.run(["inspect", "1", "--json"]).json();
    assert_eq!(inspected["right"]["uncut"], Value::Null, "{inspected}");
    assert_eq!(ends.all_unfiled(), [""; 0], "a job that is filed does not wait");
}

#[test]
fn a_job_whose_opening_is_voided_does_not_wait_to_be_filed() {
    let ends = opened();
    let own = ends.unfiled();
    voided(&ends, 1);
    assert_eq!(ends.all_unfiled(), [""; 0]);
    let filed = ends.shop.run(["job", "attach", &own, "1"]);
    assert_eq!(filed.status, Some(3), "{filed:?}");
    // What was logged of it can still be undone.
    voided(&ends, 2);
}

#[test]
fn the_console_undoes_what_the_keypad_says_is_undone_there_and_the_keypad_hears_of_it() {
    let mut ends = Ends::of(at_sizing(1));
    ends.until("job 1 (");
    ends.open_own();
    ends.read_and_spot();
    ends.keypad.until_synced();
    voided(&ends, 3);
    // The lens is not spotted any more: that is the next thing to do, also for who looks at the keypad.
    ends.choose(crate::ends::OTHER_JOB);
    ends.keypad.until_screen("which job?");
    ends.take(&["walk-in"]);
    let screen = ends.keypad.until_screen("spotted?");
    assert!(screen.starts_with("RIGHT "), "{screen}");
}
