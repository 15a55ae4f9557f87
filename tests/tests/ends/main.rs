//! How commands end: by a signal, a closed terminal, the end of the input, a reader of the output that is gone or reads
//! no more. Each is gone within a second, burned no processor, and left book and memory whole and unlocked.
#![cfg(target_os = "linux")]
#![allow(clippy::unwrap_used, clippy::panic, reason = "all of this is called by tests alone")]

mod order;
mod pipes;
mod process;
#[path = "../keypad/shop.rs"]
mod shop;
mod terminals;
