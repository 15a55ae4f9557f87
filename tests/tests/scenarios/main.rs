//! Scenario files for the keypad: press, wait, expect, in virtual time. A new scenario is a new file and needs no code.
//!
//! Each file in `tests/scenarios` is played on the real application over a memory in RAM. Lines:
//!
//! | line | what |
//! |---|---|
//! | `# …` | a remark |
//! | `card NAME=VALUE …` | the console gave this card: `number`, `tray`, `label`, `right`, `left` (an eye's order: `none`, `bal` and a prism too), `ordered-right`, `ordered-left` (beside a power to verify), `due` (days from 2000-01-01), `done=yes`, `thinning`, `thinning-assumed`, `pd`, `heights`, `rim`, `design`, and what the book tells on diameter, each size with the next one when much and when a touch too big: `first=0.25/0.05/0.15,…`, `second=…` from the shape or `second-from-fit=…`, `lenses`, `fitted=0.05/0.15` |
//! | `station NAME=VALUE …` | the console stated this station: `dial=BASIS/absolute/STEP` or `BASIS/FROM/STEP` or `none`, `revision`, `includes`, `first`, `far`, `just`, `left-first=yes`, `hundredths=yes`, `checks=bevel,firm,strain,surfaces,alignment` |
//! | `press up\|down\|left\|right\|centre` | a short press, 100 ms after what was before |
//! | `hold …` | a long press |
//! | `wait MS` | time passes (after a record presses are ignored for a while) |
//! | `beat LEFT\|RIGHT` | right now that eye is all that shows; every line below looks when that is over |
//! | `expect TEXT` | some row of the text screen contains it |
//! | `absent TEXT` | no row does |
//! | `\| row` | the whole screen, row by row, empty rows at the end left out |
//! | `record TEXT` | what the newest record says begins with this |
//! | `records N` | so many records are in the journal |
//! | `presses N` | so many presses were made so far |
//! | `memory silent\|answers` | from here on no page answers that is read, or each does |
//! | `restart` | power off and on |
//! | `taken` | the console took every record in, and power off and on |
//! | `show` | prints the screen, for whoever writes a scenario (`cargo test … -- --nocapture`) |
#![allow(clippy::unwrap_used, reason = "a test says what it expects by unwrapping it")]

mod card;
mod play;

use std::path::Path;

#[test]
fn every_scenario_goes_as_it_is_written() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios");
    let mut files: Vec<_> = std::fs::read_dir(&folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    files.sort();
    let mut failures = Vec::new();
    for file in &files {
        let text = std::fs::read_to_string(file).unwrap();
        if let Err(failure) = play::play(&text) {
            failures.push(format!("{}:{failure}", file.file_name().unwrap().to_string_lossy()));
        }
    }
    assert!(failures.is_empty(), "\n{}", failures.join("\n\n"));
    assert!(files.len() >= 10, "scenarios are missing in {}", folder.display());
}

/// The runner itself can fail: each kind of expectation, once wrong.
#[test]
fn a_wrong_expectation_is_noticed() {
    let card = "card right=\"-1.25 -0.75 x 15\" left=\"pl\"\npress centre\n";
    for wrong in
        ["expect nowhere", "absent line", "| job 2", "record left", "records 7", "presses 9", "jump up"]
    {
        assert!(play::play(&format!("{card}{wrong}\n")).is_err(), "{wrong}");
    }
    play::play(card).unwrap();
}
