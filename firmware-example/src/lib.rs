//! The keypad of bevelbook as a `no_std` library: keys to screens to records to memory to link to display.
//!
//! It has no board in it. A board (or the console, which runs the same library as a software keypad) gives it presses,
//! bytes, the time and pages of memory, and shows its screens.
//!
//! - [`keys`]: five contacts, debounced, with long presses.
//! - [`app`]: the line of steps; presses in, records and screens out.
//! - [`screen`]: a screen as data, and its two renderers.
//! - [`device`]: all of it together, as a board runs it.
//! - [`clock`]: a chip that knows the time, where there is one.
//! - [`memory`]: the only copy of a day's facts until a console has them.
//! - [`defect`]: what a board keeps of a defect across the restart that it asks for.
//!
//! With the feature `defmt` it logs what happens to it.
#![no_std]

#[cfg(test)]
extern crate std;

pub mod app;
pub mod clock;
pub mod defect;
pub mod device;
pub mod keys;
mod log;
pub mod memory;
pub mod screen;
