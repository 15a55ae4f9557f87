//! Every test that DEVELOPERS.md names for something that can go wrong is there.

use super::{assert_none, root, sources};
use std::collections::BTreeSet;
use std::fs;

/// What stands between backticks in the last column of the table.
fn named() -> BTreeSet<String> {
    let text = fs::read_to_string(root().join("DEVELOPERS.md")).unwrap();
    let section = text.split("## What can go wrong").nth(1).unwrap();
    let rows = section.split("\n## ").next().unwrap().lines().filter(|line| line.starts_with('|'));
    let last = rows.filter_map(|row| row.trim_end_matches(['|', ' ']).rsplit('|').next());
    last.flat_map(|tests| tests.split('`').skip(1).step_by(2)).map(str::to_owned).collect()
}

#[test]
fn what_is_said_to_be_tested_is() {
    let named = named();
    assert!(named.len() > 40, "{named:?}");
    let sources = sources();
    // A door that hostile bytes are fed to is a test of the same name, made by a macro.
    let doors = fs::read_to_string(root().join("tests/hostile/tests/smoke.rs")).unwrap();
    let doors: BTreeSet<&str> = doors.split("each! {").nth(1).unwrap().split_whitespace().collect();
    let is_there = |name: &str| {
        let function = format!("fn {name}(");
        doors.contains(name) || sources.iter().any(|(_, text)| text.contains(&function))
    };
    let missing: Vec<String> = named.into_iter().filter(|name| !is_there(name)).collect();
    assert_none(&missing, "named in DEVELOPERS.md, and not there");
}
