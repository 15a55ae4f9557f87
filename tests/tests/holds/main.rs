//! What holds after voids, filings, strain, new lenses and statements of the station, and that both ends agree on it: the
//! console's program, and a keypad made of software beside it, each in a process of its own.
//!
//! Each file takes one thing that was once told wrongly. `model` compares all of it with a naive model, at random.
//! Common practice, no source, unless a check names one.
#![cfg(unix)]
#![allow(clippy::unwrap_used, clippy::panic, reason = "all of this is called by tests alone")]

#[path = "../keypad/rig.rs"]
#[allow(dead_code, reason = "what the other tests need of it")]
mod rig;
#[path = "../keypad/shop.rs"]
#[allow(dead_code, reason = "what the other tests need of it")]
mod shop;

mod adoption;
mod dial;
mod ends;
mod filing;
mod finish;
mod looked;
mod model;
mod nothing_off;
mod opened;
mod remake;
mod standard;
mod strain;
