//! Frame records from files: the shapes of both eyes, and what a person should know about them.
//!
//! The lines are read by the core (`frame::trace`, DCS/ISO 16284 style, no edition claimed). Here they are taken from
//! a file and put together: each eye's radii become an outline, and an eye without radii becomes the mirror of the
//! other. Sizes are always those of the points; what the record states beside them (HBOX, VBOX, CIRC …) is kept and
//! compared. What may need a second look is a [`Note`], never a refusal.
//!
//! - `gather`: from lines to the parts of a record.
//! - `girth`: which girth the record's CIRC is.
//! - `note`, `error`: what is said about a record, and why one is not read.

mod error;
mod gather;
mod girth;
mod note;

pub use error::TraceError;
pub use girth::{GirthBasis, StatedGirth};
pub use note::Note;

use bevelbook_core::frame::trace::{Field, Pair};
use bevelbook_core::frame::{Outline, OutlineError, Point};
use bevelbook_core::prescription::Eye;
use bevelbook_core::units::Length;
use std::fs::File;
use std::io::Read;
use std::path::Path;

/// The largest file that is read: 4 MiB, some ten times a pair of the most points with their depths.
pub const LARGEST_FILE: u64 = 4 << 20;

/// A record with a shape for each eye.
#[derive(Clone, Debug)]
pub struct Trace {
    shapes: [Shape; 2],
    dbl: Option<Length>,
    stated: Vec<(Field, Pair)>,
    kept: Vec<(String, String)>,
    notes: Vec<Note>,
}

/// The shape of one eye.
#[derive(Clone, Debug)]
pub struct Shape {
    /// Its points, anticlockwise from the viewer's right as one faces the wearer, from the origin of the trace.
    pub points: Vec<Point>,
    /// Depths toward the viewer at equal angles from 0°, with a count of their own, where the record has them so.
    pub depths: Option<Vec<Length>>,
    /// Whether it is the mirror of the other eye's, which alone was traced.
    pub mirrored: bool,
}

impl Shape {
    /// The outline through the points.
    ///
    /// # Errors
    /// As [`Outline::new`]; those of a [`Trace`] that was read have been tried.
    pub fn outline(&self) -> Result<Outline<'_>, OutlineError> {
        Outline::new(&self.points)
    }
}

impl Trace {
    /// Reads the record in a file. Bytes that are no UTF-8, which only texts under other labels may hold, are
    /// replaced.
    ///
    /// # Errors
    /// There is no such file, it cannot be read or is above [`LARGEST_FILE`], or as [`Trace::parse`].
    pub fn read(file: &Path) -> Result<Self, TraceError> {
        let failed = |source: std::io::Error| match source.kind() {
            std::io::ErrorKind::NotFound => TraceError::Missing { file: file.into() },
            _ => TraceError::Read { file: file.into(), source },
        };
        let mut bytes = Vec::new();
        let opened = File::open(file).map_err(failed)?;
        opened.take(LARGEST_FILE + 1).read_to_end(&mut bytes).map_err(failed)?;
        if bytes.len() as u64 > LARGEST_FILE {
            return Err(TraceError::Large { file: file.into() });
        }
        Self::parse(&String::from_utf8_lossy(&bytes), file)
    }

    /// Reads a record from its text; `file` is what errors call it.
    ///
    /// # Errors
    /// A line is wrong, a block is not whole, no eye has radii, or the radii of an eye make no outline.
    pub fn parse(text: &str, file: &Path) -> Result<Self, TraceError> {
        gather::record(text, file)
    }

    /// The shape of an eye.
    #[must_use]
    pub const fn shape(&self, eye: Eye) -> &Shape {
        &self.shapes[eye.index()]
    }

    /// The bridge that the record states.
    #[must_use]
    pub const fn dbl(&self) -> Option<Length> {
        self.dbl
    }

    /// What the record states for an eye beside its points.
    #[must_use]
    pub fn stated(&self, field: Field, eye: Eye) -> Option<Length> {
        self.stated.iter().rev().find(|(stated, _)| *stated == field).and_then(|(_, pair)| pair.of(eye))
    }

    /// Labels that are not used here with what stands behind them, as they came and in their order.
    #[must_use]
    pub fn kept(&self) -> &[(String, String)] {
        &self.kept
    }

    /// What a person should know about the record.
    #[must_use]
    pub fn notes(&self) -> &[Note] {
        &self.notes
    }
}

#[cfg(test)]
mod tests;
