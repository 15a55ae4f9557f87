//! The console's side of the keypad, and a keypad made of software.
//!
//! - [`Bench`]: takes in what a keypad has and keeps the open jobs on it; [`Note`] says what happens.
//!   [`greet`] says hello on a line and takes nothing in.
//! - [`CardMaker`]: what a keypad is told of a job; `snapshot` and `ladder` are its parts.
//! - [`Line`]: the byte streams below: [`Port`] a serial port, [`pipe`] one in this process, `Pty` the near end of a
//!   port made of software.
//! - [`Software`]: the keypad itself over a file of pages ([`FilePages`]); [`Script`] presses its keys by lines of text.

mod bench;
mod card;
mod line;
mod pages;
mod port;
#[cfg(unix)]
mod pty;
mod script;
mod snapshot;
mod software;
mod turn;

pub use bench::{Bench, FOLLOW_MS, Note, Now};
pub use card::CardMaker;
pub use line::{Line, PipeEnd, gone, pipe};
pub use pages::{FilePages, LAYOUT, MemoryError, PAGES, open_memory};
pub use port::{BAUD, Port, PortError, Seen, seen};
#[cfg(unix)]
pub use pty::Pty;
pub use script::{Command, Script, Turn};
pub use software::Software;
pub use turn::{Clock, greet};
