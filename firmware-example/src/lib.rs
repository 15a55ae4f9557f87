//! The keypad of bevelbook as a `no_std` library: keys to screens to records to memory to link to display.
//!
//! A skeleton: what is here so far is the layout of the five keys. The application comes with the keypad's own issue.
#![no_std]

#[cfg(test)]
extern crate std;

pub mod app;
pub mod keys;
pub mod memory;
pub mod screen;
