//! The style that a test can keep.
#![allow(clippy::unwrap_used, reason = "a test says what it expects by unwrapping it")]

mod circles;
mod code;
mod layers;
mod lines;
mod names;
mod paths;
mod threats;
mod tree;

use std::fs;
use std::path::{Path, PathBuf};

/// Room for a header and for the tests at the foot; a longer file has more than one subject.
const LINES: usize = 330;

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).parent().unwrap().to_path_buf()
}

/// The crates whose rooms have doors.
fn rooms() -> tree::Tree {
    let crates = [
        ("bevelbook_core", "core/src"),
        ("bevelbook", "console/src"),
        ("bevelbook_keypad", "firmware-example/src"),
    ];
    tree::Tree::read(&root(), &crates)
}

/// Every file below `folder` with one of `endings`, build folders left out.
fn files(folder: &Path, endings: &[&str]) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).unwrap().map(Result::unwrap) {
        let (path, name) = (entry.path(), entry.file_name().into_string().unwrap());
        if path.is_dir() {
            if !["target", "node_modules"].contains(&&*name) && !name.starts_with('.') {
                found.extend(files(&path, endings));
            }
        } else if endings.iter().any(|ending| name.ends_with(ending)) {
            found.push(path);
        }
    }
    found
}

fn sources() -> Vec<(PathBuf, String)> {
    let files = files(&root(), &[".rs"]);
    assert!(files.len() > 50, "looked in the wrong place");
    files.into_iter().map(|path| (path.clone(), fs::read_to_string(path).unwrap())).collect()
}

fn assert_none(found: &[String], why: &str) {
    assert!(found.is_empty(), "{why}:\n{}", found.join("\n"));
}

#[test]
fn the_top_level_holds_only_what_is_agreed() {
    let agreed = ["Cargo.toml", "Cargo.lock", "README.md", "DEVELOPERS.md", "LICENSE", "core", "console"];
    let agreed: Vec<&str> = agreed.into_iter().chain(["firmware-example", "tests", "target"]).collect();
    let names = fs::read_dir(root()).unwrap().map(|entry| entry.unwrap().file_name().into_string().unwrap());
    let other: Vec<String> =
        names.filter(|name| !name.starts_with('.') && !agreed.contains(&name.as_str())).collect();
    assert_none(&other, "not agreed at the top level");
}

#[test]
fn a_file_has_one_subject() {
    let long: Vec<String> = sources()
        .iter()
        .filter(|(_, text)| text.lines().count() > LINES)
        .map(|(path, text)| format!("{}: {} lines", path.display(), text.lines().count()))
        .collect();
    assert_none(&long, "too long");
}

#[test]
fn every_source_file_says_what_it_is() {
    let mute: Vec<String> = sources()
        .iter()
        .filter(|(_, text)| !text.starts_with("//!"))
        .map(|(path, _)| path.display().to_string())
        .collect();
    assert_none(&mute, "no header");
}

#[test]
fn core_and_keypad_have_no_float_and_no_std() {
    let mut found = Vec::new();
    for file in rooms().files.values() {
        let inside = |part: &str| file.path.starts_with(part);
        for names in &file.paths {
            let float = inside("core/") && names.iter().any(|name| ["f32", "f64"].contains(&&**name));
            let std = !inside("console/") && names[0] == "std";
            if float || std {
                found.push(format!("{}: {}", file.path, names.join("::")));
            }
        }
    }
    assert_none(&found, "float or std where neither belongs");
}

#[test]
fn every_dependency_has_its_reason() {
    let mut bare = Vec::new();
    for path in files(&root(), &["Cargo.toml"]) {
        let text = fs::read_to_string(&path).unwrap();
        let mut in_dependencies = false;
        let mut before = "";
        for line in text.lines() {
            if line.starts_with('[') {
                in_dependencies = line.contains("dependencies]");
            } else if in_dependencies
                && line.contains('=')
                && !line.starts_with('#')
                && !before.starts_with('#')
            {
                bare.push(format!("{}: {line}", path.display()));
            }
            before = line;
        }
    }
    assert_none(&bare, "a dependency without a line of reason above it");
}

#[test]
fn nothing_is_left_open_and_no_machine_is_named() {
    // Put together here, so that this file does not find itself.
    let marks = [
        ["TO", "DO"],
        ["FIX", "ME"],
        ["todo", "!("],
        ["unimplemented", "!("],
        ["/ro", "ot/"],
        ["/wo", "rk/"],
    ];
    let mut found = Vec::new();
    for path in files(&root(), &[".rs", ".md", ".toml", ".sql", ".css", "run"]) {
        let text = fs::read_to_string(&path).unwrap();
        for (number, line) in text.lines().enumerate() {
            let found_in = |mark: String| {
                // A path of one machine begins at its root.
                line.match_indices(&mark).any(|(at, _)| {
                    !mark.starts_with('/') || !line[..at].ends_with(|before: char| before.is_alphanumeric())
                })
            };
            if marks.iter().any(|[one, other]| found_in(format!("{one}{other}"))) {
                found.push(format!("{}:{}: {line}", path.display(), number + 1));
            }
        }
    }
    assert_none(&found, "left open, or a path of one machine");
}
