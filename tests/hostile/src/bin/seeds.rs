//! Writes the bytes that a fuzzer begins from: `cargo run -p bevelbook-hostile --bin seeds -- FOLDER`.
#![allow(clippy::expect_used, reason = "a tool of the tests")]

use std::path::PathBuf;
use std::{env, fs};

fn main() {
    let folder = PathBuf::from(env::args().nth(1).expect("usage: seeds FOLDER"));
    for target in &bevelbook_hostile::TARGETS {
        let folder = folder.join(target.name);
        fs::create_dir_all(&folder).expect("a folder");
        for (number, seed) in (target.seeds)().iter().enumerate() {
            fs::write(folder.join(format!("seed-{number}")), seed).expect("a file");
        }
    }
}
