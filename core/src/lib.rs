//! Fixed-point ophthalmic optics, edge-size accounting and bench records.
//!
//! This crate is what the keypad and the console agree on. It has no `std`, no heap, no floating point, no
//! input or output, and no clock: bytes and times are arguments, results are values.
//!
//! Read it bottom up; everything depends on [`units`] and nothing below depends on anything above it.
//!
//! - [`units`]: power, length, axis and prism as decimal-scaled integers, and their text in trade notation.
//! - [`maths`]: rounding, square root and trigonometry on integers, each with a stated, tested bound.
//! - [`prescription`]: sphere, cylinder and axis, and what is calculated from them: other forms, sums, residuals,
//!   vertex change, prism at a point, magnification, tilt, readings.
//! - [`frame`]: boxed sizes, outlines and trace records, decentration, offset, blank, segment position.
//! - [`lens`]: curves, sagittae, thickness, bevel and groove, materials, weight.
//! - [`tolerance`]: limits as cited data, and the verdict on a lens and on a pair.
//! - [`sizing`]: what a size means, what a pass did, and the guard that keeps a lens from going undersize.
//! - [`record`]: the facts of the bench and the one fold from records to the state of a job.
//! - [`link`]: what console and keypad say to each other, from frames on a line to the state machine of either end.
//!
//! Numbers are decimal-scaled (power and prism in 1/1000, length in micrometres, angles in 1/1000 degree), so
//! that 0.125 D, 0.25 mm and 0.1 mm are exact and sums of steps never drift.
#![no_std]
#![deny(clippy::float_arithmetic)]

#[cfg(test)]
extern crate std;

pub mod frame;
pub mod lens;
pub mod link;
pub mod maths;
pub mod prescription;
pub mod record;
pub mod sizing;
pub mod tolerance;
pub mod units;
