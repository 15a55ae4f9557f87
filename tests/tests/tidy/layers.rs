//! Rooms have doors: who may use whom.

use super::{assert_none, rooms, root};
use std::collections::{BTreeMap, BTreeSet};
use std::fs;

/// The folders of the crates in DEVELOPERS.md, and their names in code.
const CRATES: [(&str, &str); 3] =
    [("core/", "bevelbook_core"), ("console/", "bevelbook"), ("firmware-example/", "bevelbook_keypad")];

/// Who alone may name a room.
const ONLY: [(&str, &[&str]); 2] = [
    ("bevelbook::store", &["bevelbook::work"]),
    ("bevelbook::view", &["bevelbook::sheet", "bevelbook::cli"]),
];

/// Files and folders that may do what the rules forbid, and why. What is `still` there is to be mended.
const EXCEPT: [(&str, &str, &str); 3] = [
    ("console/src/cli/book/", "bevelbook::store", "looks after the book as a file, whole or damaged"),
    ("console/src/cli/report.rs", "bevelbook::store", "gives each error its exit code"),
    ("console/src/cli/shop.rs", "bevelbook::store", "says where a book is when nobody says so"),
];

/// The place of each room in the list of DEVELOPERS.md: `bevelbook_core::units` comes first.
fn order() -> BTreeMap<String, usize> {
    let text = fs::read_to_string(root().join("DEVELOPERS.md")).unwrap();
    let list = text.split("```").nth(1).unwrap();
    let (mut order, mut of) = (BTreeMap::new(), None);
    for line in list.lines() {
        if !line.starts_with(' ') {
            of = CRATES.iter().find(|(folder, _)| line.starts_with(folder)).map(|(_, name)| *name);
            continue;
        }
        let rooms = line.split_whitespace().take_while(|word| word.ends_with('/'));
        for room in rooms.filter(|_| of.is_some()) {
            let room = format!("{}::{}", of.unwrap(), room.trim_end_matches('/'));
            order.insert(room, order.len());
        }
    }
    order
}

/// The crate and the room that a module belongs to.
fn room(module: &[String]) -> String {
    module[..module.len().min(2)].join("::")
}

#[test]
fn nothing_depends_on_what_stands_below_it() {
    let (tree, order) = (rooms(), order());
    assert!(order.len() > 20, "the list in DEVELOPERS.md was not understood");
    let mut wrong = BTreeSet::new();
    for file in tree.files.values().filter(|file| file.module.len() > 1) {
        let from = room(&file.module);
        assert!(order.contains_key(&from), "{} is in no room of DEVELOPERS.md", file.path);
        for names in &file.paths {
            if let Some((other, item)) = tree.resolve(file, names) {
                let to = room(&other.module);
                let below = order.get(&to).is_none_or(|to| *to > order[&from]);
                if to != from && other.module[0] == file.module[0] && below {
                    wrong.insert((file.path.as_str(), to, item));
                }
            }
            // Who goes through another room's door does not name what is behind.
            let named = tree.absolute(file, names).map(|names| room(&names)).unwrap_or_default();
            let closed = ONLY.iter().any(|(room, only)| *room == named && !only.contains(&&*from));
            if named != from && closed {
                wrong.insert((file.path.as_str(), named, names.join("::")));
            }
        }
    }
    let excepted = |path: &str, room: &str| EXCEPT.iter().any(|(p, r, _)| path.starts_with(p) && *r == room);
    let idle: Vec<String> = EXCEPT
        .iter()
        .filter(|(path, room, _)| !wrong.iter().any(|(p, r, _)| p.starts_with(path) && r == room))
        .map(|(path, room, _)| format!("{path}: {room}"))
        .collect();
    assert_none(&idle, "an exception that nobody needs");
    let wrong: Vec<String> = wrong
        .iter()
        .filter(|(path, room, _)| !excepted(path, room))
        .map(|(path, room, item)| format!("{path}: {item}, {room}"))
        .collect();
    assert_none(&wrong, "a room that may not be used there");
}
