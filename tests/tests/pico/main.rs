//! The keypad for a Raspberry Pi Pico: its image, the image running in an emulated RP2040 with the console at the other end
//! of its line, and the wiring in the builder's guide.
//!
//! Running it needs Node.js 18 or newer, and `npm ci` done in `tests/rp2040js`. What that emulator does not carry stands
//! in `tests/rp2040js/README.md`.
#![cfg(unix)]
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::expect_used,
    reason = "all of this is called by tests alone"
)]

#[path = "../keypad/rig.rs"]
#[allow(dead_code, reason = "the keypad made of software is not used here")]
mod rig;
#[path = "../keypad/shop.rs"]
#[allow(dead_code, reason = "what the other tests need of it")]
mod shop;

mod board;
mod budget;
mod drawing;
mod fault;
mod image;
mod log;
mod release;
mod stack;
mod whole;
mod wires;
mod wiring;
