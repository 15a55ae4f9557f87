//! How much code there is: lines without tests, documentation, comments and blanks.
//!
//! `cargo test -p bevelbook-tests --test tidy lines -- --nocapture` prints it.

use super::code;
use super::{files, rooms, root};
use std::fs;

#[test]
fn lines_of_code_by_crate() {
    let tree = rooms();
    let mut all = 0;
    for folder in ["core", "console", "firmware-example"] {
        let inside = tree.files.values().filter(|file| file.path.starts_with(&format!("{folder}/")));
        let lines: usize = inside.map(|file| code::lines(&file.words)).sum();
        assert!(lines > 0, "nothing in {folder}");
        println!("{folder:28} {lines:6}");
        all += lines;
    }
    println!("{:28} {all:6}", "these three");
    for folder in ["firmware-example/boards", "firmware-example/uf2"] {
        let sources = files(&root().join(folder), &[".rs"]);
        let lines: usize =
            sources.iter().map(|path| code::lines(&code::words(&fs::read_to_string(path).unwrap()))).sum();
        println!("{folder:28} {lines:6}");
    }
}
