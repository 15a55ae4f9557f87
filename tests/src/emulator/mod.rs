//! The keypad as a whole device in QEMU: its image, its keys, its display, its line and its power.
//!
//! - [`image`] and [`image_an505`] build the firmware of the two boards and say where it is; [`Machine`] is a board.
//! - [`Emulator`] starts QEMU on an image and a file that stands for the EEPROM; dropping it cuts the power.
//! - [`Key`] are the five keys; [`Emulator::press`] and [`Emulator::hold`] move them.
//! - [`Picture`] is what the display shows.
//! - [`Debugger`] sends the processor where a test wants it.
//! - [`read_log`] and [`LogFile`] read what it logs.
//!
//! The line is a pseudo-terminal for a console in a process of its own. QEMU stands still while bytes are sent to a
//! line that nobody drains, so whoever opens it reads it.

mod debugger;
mod keys;
mod log;
mod machine;
mod picture;
mod qmp;
mod run;

pub use crate::build::{BuildError, image, image_an505};
pub use bevelbook_keypad::keys::Key;
pub use debugger::Debugger;
pub use keys::{HOLD, PRESS, REST};
pub use log::{Following, LogError, LogFile, LogLine, read_log};
pub use machine::Machine;
pub use picture::{HEIGHT, Picture, WIDTH};
pub use qmp::{Qmp, QmpError};
pub use run::{Emulator, LogTo, Options, PATIENCE, available, make_memory};
