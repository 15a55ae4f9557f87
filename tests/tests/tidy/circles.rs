//! No two files depend on each other, and no more of them in a circle.
//!
//! A file that only declares and re-exports is a door: who goes through it depends on the file behind.

use super::tree::Ties;
use super::{assert_none, rooms};
use std::collections::BTreeSet;

/// All files that `from` depends on, directly or through others.
fn reached<'a>(ties: &Ties<'a>, from: &'a str) -> BTreeSet<&'a str> {
    let (mut reached, mut open) = (BTreeSet::new(), vec![from]);
    while let Some(at) = open.pop() {
        open.extend(ties[at].keys().copied().filter(|to| reached.insert(*to)));
    }
    reached
}

#[test]
fn no_files_depend_on_each_other_in_a_circle() {
    let tree = rooms();
    let ties = tree.ties();
    let reached: Vec<(&str, BTreeSet<&str>)> =
        ties.keys().map(|from| (*from, reached(&ties, from))).collect();
    let mut circles = Vec::new();
    for (from, uses) in &ties {
        let comes_back: BTreeSet<&str> =
            reached.iter().filter(|(_, reached)| reached.contains(from)).map(|(to, _)| *to).collect();
        circles.extend(uses.iter().filter(|(to, _)| comes_back.contains(*to)).map(|(to, items)| {
            format!("{from} -> {to}: {}", items.iter().cloned().collect::<Vec<_>>().join(", "))
        }));
    }
    assert_none(&circles, "files that depend on each other");
}
