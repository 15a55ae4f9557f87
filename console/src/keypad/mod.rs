//! The console's side of the keypad, and a keypad made of software.
//!
//! - [`Bench`]: takes in what a keypad has and keeps the open jobs on it; [`Note`] says what happens.
//!   [`greet`] says hello on a line and takes nothing in.
//! - `card`: what a keypad is told of a job; `snapshot` is how much of its own records that includes, `by_book` what the
//!   book tells of its frame.
//! - [`Line`]: the byte streams below: [`Port`] a serial port, [`pipe`] one in this process, `Pty` the near end of a
//!   port made of software.
//! - [`Software`]: the keypad itself over a file of pages ([`FilePages`]); [`Script`] presses its keys by lines of text.

mod bench;
mod by_book;
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

pub use bench::{Bench, BenchBook, FOLLOW_MS, Gone, Link, Note, Now, OpenJobs, Opening, Shelf, since_words};
pub use line::{Line, PipeEnd, pipe};
pub use pages::{FilePages, LAYOUT, MemoryError, PAGES, open_memory};
#[cfg(unix)]
pub(crate) use port::ready;
pub use port::{ListedPort, Port, PortError, seen};
#[cfg(unix)]
pub use pty::Pty;
pub use script::{Script, Turn};
pub use snapshot::{Bearing, Showing, Snapshot};
pub use software::Software;
pub use turn::{Clock, greet};
