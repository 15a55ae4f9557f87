//! Frame records from files: the shapes of both eyes, and what a person should know about them.
//!
//! The lines are read by the core (`frame::trace`, DCS/ISO 16284 style, no edition claimed). Here they are taken from
//! a file and put together: each eye's radii become an outline, and an eye without radii becomes the mirror of the
//! other. Sizes are always those of the points; what the record states beside them (HBOX, VBOX, CIRC …) is kept and
//! compared. What may need a second look is a [`Note`], never a refusal.
//!
//! - `gather`: from lines to the parts of a record; `shape` is what it gives an eye.
//! - `girth`: which girth the record's CIRC is.
//! - `note`, `error`: what is said about a record, and why one is not read.

mod error;
mod gather;
mod girth;
mod note;
mod shape;

pub use error::{LARGEST_FILE, TraceError};
pub use girth::{GirthBasis, StatedGirth};
pub use note::Note;
pub use shape::Shape;

use bevelbook_core::frame::trace::Field;
use bevelbook_core::prescription::Eye;
use bevelbook_core::units::Length;
use gather::Said;
use note::notes;
use std::io::Read;
use std::path::Path;

/// A record with a shape for each eye.
#[derive(Clone, Debug)]
pub struct Trace {
    said: Said,
    notes: Vec<Note>,
}

impl Trace {
    /// Reads the record in a file. Bytes that are no UTF-8, which only texts under other labels may hold, are
    /// replaced.
    ///
    /// # Errors
    /// There is no such file, it cannot be read or is above [`LARGEST_FILE`], or as [`Trace::parse`].
    pub fn read(file: &Path) -> Result<Self, TraceError> {
        Self::parse(&text_of(file)?, file)
    }

    /// Reads a record from its text; `file` is what errors call it.
    ///
    /// # Errors
    /// A line is wrong, a block is not whole, no eye has radii, or the radii of an eye make no outline.
    pub fn parse(text: &str, file: &Path) -> Result<Self, TraceError> {
        let said = gather::record(text, file)?;
        let notes = notes(&said);
        Ok(Self { said, notes })
    }

    /// The shape of an eye.
    pub const fn shape(&self, eye: Eye) -> &Shape {
        &self.said.shapes[eye.index()]
    }

    /// The bridge that the record states.
    pub const fn dbl(&self) -> Option<Length> {
        self.said.dbl
    }

    /// What the record states for an eye beside its points.
    pub fn stated(&self, field: Field, eye: Eye) -> Option<Length> {
        self.said.stated(field, eye)
    }

    /// Labels that are not used here with what stands behind them, as they came and in their order.
    pub fn kept(&self) -> &[(String, String)] {
        &self.said.kept
    }

    /// What a person should know about the record.
    pub fn notes(&self) -> &[Note] {
        &self.notes
    }
}

/// The text of a record in a file, as [`Trace::read`] takes it.
///
/// # Errors
/// There is no such file, it cannot be read or is above [`LARGEST_FILE`].
pub fn text_of(file: &Path) -> Result<String, TraceError> {
    let failed = |source: std::io::Error| match source.kind() {
        std::io::ErrorKind::NotFound => TraceError::Missing(file.into()),
        _ => TraceError::Read { file: file.into(), source },
    };
    let mut bytes = Vec::new();
    let opened = crate::file::open(file).map_err(failed)?;
    opened.take(LARGEST_FILE + 1).read_to_end(&mut bytes).map_err(failed)?;
    if bytes.len() as u64 > LARGEST_FILE {
        return Err(TraceError::Large(file.into()));
    }
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}

#[cfg(test)]
mod tests;
