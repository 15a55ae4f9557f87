//! What hostile bytes are fed to: every door through which bytes come that this program did not write itself.
//!
//! A target is a function of bytes that asserts what has to hold whatever they are. `tests/fuzz` lets a fuzzer look for
//! bytes that break one; `tests/smoke.rs` feeds each some thousands, changed at random from good ones, with the stable
//! toolchain and the same in every run. What either finds becomes a test where it is mended.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a target says what it expects by failing"
)]

mod book;
mod host_end;
mod image;
mod input;
mod keypad_end;
mod link;
mod memory;
mod seeds;
mod text;
mod transfer;

pub use input::{Chance, changed};

/// A door: its name, what is fed to it, and good bytes to begin from.
pub struct Target {
    /// As `tests/fuzz/fuzz_targets` calls it.
    pub name: &'static str,
    /// Panics when something does not hold.
    pub feed: fn(&[u8]),
    /// Bytes that get far.
    pub seeds: fn() -> Vec<Vec<u8>>,
    /// How many changed inputs the smoke run feeds it: fewer where each takes a file.
    pub runs: u64,
}

/// Every door.
pub const TARGETS: [Target; 13] = [
    Target { name: "frames", feed: link::frames, seeds: seeds::frames, runs: 20_000 },
    Target { name: "messages", feed: link::messages, seeds: seeds::messages, runs: 20_000 },
    Target { name: "host_session", feed: host_end::feed, seeds: seeds::scripts, runs: 10_000 },
    Target { name: "keypad_session", feed: keypad_end::feed, seeds: seeds::scripts, runs: 3_000 },
    Target { name: "memory_image", feed: image::feed, seeds: seeds::images, runs: 1_000 },
    Target { name: "memory_cuts", feed: memory::cuts, seeds: seeds::scripts, runs: 1_000 },
    Target { name: "facts", feed: book::facts, seeds: seeds::records, runs: 10_000 },
    Target { name: "intake", feed: book::intake, seeds: seeds::records, runs: 100 },
    Target { name: "book_file", feed: book::file, seeds: seeds::books, runs: 150 },
    Target { name: "import", feed: transfer::import, seeds: seeds::exports, runs: 100 },
    Target { name: "prescription", feed: text::prescription, seeds: seeds::prescriptions, runs: 20_000 },
    Target { name: "trace", feed: text::trace, seeds: seeds::traces, runs: 3_000 },
    Target { name: "settings", feed: text::settings, seeds: seeds::settings, runs: 300 },
];

/// Feeds bytes to the target of that name.
pub fn feed(name: &str, bytes: &[u8]) {
    let target = TARGETS.iter().find(|target| target.name == name).expect("a target of this name");
    (target.feed)(bytes);
}
