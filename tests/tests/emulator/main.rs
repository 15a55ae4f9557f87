//! The keypad as a whole device: the firmware's image in QEMU, its keys pressed, its display read, its power cut, and the
//! console at the other end of its line. It needs `qemu-system-arm`; one QEMU runs at a time.
#![cfg(unix)]
#![allow(clippy::unwrap_used, clippy::panic, reason = "all of this is called by tests alone")]

#[path = "../keypad/rig.rs"]
#[allow(dead_code, reason = "the keypad made of software is not used here")]
mod rig;
#[path = "../keypad/shop.rs"]
#[allow(dead_code, reason = "what the other tests need of it")]
mod shop;

mod board;
mod budgets;
mod dated;
mod day;
mod defects;
mod full;
mod log;
mod pair;
mod pictures;
mod power;
mod stack;
mod whole;
