//! What is handed to builders: the same bytes wherever they are built, with their sums.

use crate::image::{built, built_2};
use bevelbook_tests::build::{root, run, target};
use std::fs;
use std::path::Path;
use std::process::Command;
use tempfile::TempDir;

/// Copies a folder but for what is built in it or fetched into it.
fn copy(from: &Path, to: &Path) {
    fs::create_dir_all(to).unwrap();
    for entry in fs::read_dir(from).unwrap().map(Result::unwrap) {
        let (name, path) = (entry.file_name(), entry.path());
        if ["target", "node_modules", ".git"].iter().any(|left_out| *left_out == name) {
            continue;
        }
        match entry.file_type().unwrap().is_dir() {
            true => copy(&path, &to.join(name)),
            false => drop(fs::copy(&path, to.join(name)).unwrap()),
        }
    }
}

#[test]
fn the_image_is_the_same_to_the_byte_wherever_it_is_built() {
    let folder = TempDir::new().unwrap();
    // Shorter or longer than the project's own path, and with a blank.
    let elsewhere = folder.path().join("some where else");
    copy(&root(), &elsewhere);
    let mut command = Command::new(elsewhere.join("firmware-example/boards/pico/build"));
    // A folder of its own that stays, or all that it is made of would be built each time.
    let said = run("Pico's image", command.env("CARGO_TARGET_DIR", target("elsewhere").unwrap())).unwrap();
    let paths: Vec<&str> = said.lines().rev().take(2).collect();
    for (path, here) in paths.iter().zip([&built().file, &built().image]) {
        let same = fs::read(path).unwrap() == fs::read(here).unwrap();
        assert!(same, "{path} is not {}", here.display());
    }
    let image = fs::read(&built().image).unwrap();
    let home = std::env::var("HOME").unwrap();
    for path in [root().to_str().unwrap(), &home] {
        let held = path.len() > 5 && image.windows(path.len()).any(|window| window == path.as_bytes());
        assert!(!held, "the image tells of {path}");
    }
}

#[test]
fn a_release_is_four_files_with_their_version_and_their_sums() {
    // Built, so that what follows only copies.
    let (pico, pico2) = (built(), built_2());
    let folder = TempDir::new().unwrap();
    let mut command = Command::new(root().join("firmware-example/release"));
    let made = folder.path().join("of today");
    run("release", command.arg(&made).env("CARGO_TARGET_DIR", target("boards").unwrap())).unwrap();
    let version = env!("CARGO_PKG_VERSION");
    for (board, built) in [("pico", pico), ("pico2", pico2)] {
        for (kind, from) in [("elf", &built.image), ("uf2", &built.file)] {
            let file = made.join(format!("bevelbook-{board}-{version}.{kind}"));
            assert!(fs::read(&file).unwrap() == fs::read(from).unwrap(), "{}", file.display());
        }
    }
    assert_eq!(fs::read_dir(&made).unwrap().count(), 5);
    run("sums", Command::new("sha256sum").args(["--check", "SHA256SUMS"]).current_dir(&made)).unwrap();
    assert_eq!(fs::read_to_string(made.join("SHA256SUMS")).unwrap().lines().count(), 4);
}
