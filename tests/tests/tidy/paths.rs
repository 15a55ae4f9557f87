//! Every file and folder that DEVELOPERS.md names is there.

use super::{assert_none, root};
use std::fs;

/// Where a path begins that is not told from the top.
const FROM: [&str; 6] = ["", "console/src", "firmware-example", "firmware-example/src", "tests", AN505];
/// What is said of `src/bare` is said of both boards for QEMU.
const AN505: &str = "firmware-example/boards/an505";

#[test]
fn what_is_said_to_stand_somewhere_does() {
    let text = fs::read_to_string(root().join("DEVELOPERS.md")).unwrap();
    // Behind the list of folders, whose fence is of backticks too.
    let prose = text.splitn(3, "```").nth(2).unwrap();
    let named = prose.split('`').skip(1).step_by(2);
    let paths: Vec<&str> = named
        .filter(|name| name.contains('/') && !name.contains(|c: char| c.is_whitespace() || c == '*'))
        .collect();
    assert!(paths.len() > 50, "{paths:?}");
    let is_there = |path: &str| {
        FROM.iter().any(|from| {
            let place = root().join(from).join(path);
            place.exists() || place.with_extension("rs").is_file()
        })
    };
    let missing: Vec<String> = paths.into_iter().filter(|path| !is_there(path)).map(str::to_owned).collect();
    assert_none(&missing, "named in DEVELOPERS.md, and not there");
}
