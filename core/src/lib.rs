//! Fixed-point ophthalmic optics, edge-size accounting and bench records.
//!
#![doc = include_str!("../README.md")]
//!
//! # Modules
//!
//! Read them in this order: everything depends on [`units`], and nothing on what stands below it.
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
#![no_std]
#![deny(clippy::float_arithmetic)]

#[cfg(test)]
extern crate std;

mod bytes;
pub mod frame;
#[cfg(test)]
mod frozen;
pub mod lens;
pub mod link;
pub mod maths;
pub mod prescription;
pub mod record;
pub mod sizing;
pub mod tolerance;
pub mod units;
