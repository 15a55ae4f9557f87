//! What the keypad's emulated boards share: a Cortex-M with a tick, two serial lines, five contacts, a memory on an I2C bus
//! and a display. A board wires its registers to this and calls [`begin`], then [`work`]:
//!
//! - [`clock`]: the tick's interrupt calls [`clock::tick`] with the contacts that are closed.
//! - [`console`]: the line's interrupt calls [`console::came`] with what came.
//! - [`memory`]: the library's own driver, on a bus that the board implements.
//! - [`meter`]: what all of it costs, where the tests of the emulator read it.
//! - [`shades`]: a picture in the bytes of a display that has shades.
//! - [`registers`], [`vectors`]: how a board reads and writes its devices, and is interrupted by them.
//! - `fault`: what happens after a defect. `log`: the log's frames. `keys`: contacts between tick and loop.
#![no_std]

pub mod clock;
pub mod console;
#[allow(unsafe_code)]
mod fault;
mod keys;
#[allow(unsafe_code)]
mod log;
pub mod memory;
pub mod meter;
#[allow(unsafe_code)]
pub mod registers;
pub mod shades;
mod turn;
#[allow(unsafe_code)]
pub mod vectors;

pub use turn::{begin, work};
