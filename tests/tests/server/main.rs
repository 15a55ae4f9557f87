//! A book on a real server that is killed, cut off, followed by a standby, full or somebody else's, while a whole shop works
//! on it: nothing acknowledged is lost, nothing is there twice, and nothing was made up.
#![cfg(unix)]
#![allow(clippy::unwrap_used, clippy::panic, reason = "all of this is called by tests alone")]

mod account;
mod console;
mod consoles;
mod cut;
mod full;
mod keypad;
mod killed;
mod many;
mod promoted;
mod refused;
mod shop;
mod teeth;
