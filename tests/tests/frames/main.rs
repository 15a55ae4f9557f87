//! `frames` and `station`, run as a person runs them, over lenses that were cut at a bench of truth: rims of known size, a
//! wheel that wears, and a hand that feels what is so.
//!
//! How far a lens stays firm below its largest fit, and from which size on it is much too big, are the settings' and the
//! program's own choice: common practice, no source.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test that cannot go on fails")]

mod bench;
mod list;
mod show;
mod station;
