//! The keypad and the console together: in one process with time as an argument, and in two over a pseudo-terminal,
//! where either is killed, cut off, unplugged and started again. What was saved is in the book, once and in order.
#![allow(clippy::unwrap_used, clippy::panic, reason = "all of this is called by tests alone")]

mod adoption;
mod by_book;
#[cfg(unix)]
mod cuts;
mod designs;
#[cfg(unix)]
mod killed;
mod loopback;
#[cfg(unix)]
mod others;
#[cfg(unix)]
mod rig;
mod shop;
#[cfg(unix)]
mod undated;
mod wear;
mod worn;
