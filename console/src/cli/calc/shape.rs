//! The shape of a lens as flags: the ellipse in a box, or one eye of a frame record.

use crate::cli::{Failure, arguments};
use crate::trace::{Note, Trace};
use bevelbook_core::frame::Ellipse;
use bevelbook_core::prescription::Eye;
use bevelbook_core::units::Length;
use clap::Args;
use std::path::PathBuf;

/// A shape, given one way or the other.
#[derive(Args)]
#[group(id = "shape", multiple = true)]
pub(super) struct ShapeFlags {
    /// Width of the boxed lens, A; with --b the shape is the ellipse in this box.
    #[arg(long, value_name = "MM", value_parser = arguments::size, requires = "b")]
    a: Option<Length>,
    /// Height of the boxed lens, B.
    #[arg(long, value_name = "MM", value_parser = arguments::size, requires = "a")]
    b: Option<Length>,
    /// File with a frame record, DCS/ISO 16284 style: the shape is as traced, box and centre are those of its points.
    #[arg(long, value_name = "FILE", conflicts_with_all = ["a", "b"])]
    trace: Option<PathBuf>,
    /// Which eye of the record; one that was not traced is mirrored from the other.
    #[arg(long, value_name = "R|L", value_parser = arguments::eye, requires = "trace", conflicts_with_all = ["a", "b"])]
    eye: Option<Eye>,
}

/// The shape that was given.
pub(super) enum GivenShape {
    /// The ellipse in a box.
    Ellipse(Ellipse),
    /// One eye of a frame record.
    Traced(Trace, Eye),
}

impl ShapeFlags {
    /// The shape, or `None` when nothing of one was given.
    pub(super) fn shape(&self) -> Result<Option<GivenShape>, Failure> {
        if let Some(file) = &self.trace {
            let trace = Trace::read(file)?;
            let eye = self.eye.unwrap_or_else(|| usual_eye(&trace));
            return Ok(Some(GivenShape::Traced(trace, eye)));
        }
        let ellipse = self.a.zip(self.b).map(|(a, b)| Ellipse::new(a, b)).transpose();
        Ok(ellipse.map_err(Failure::wrong)?.map(GivenShape::Ellipse))
    }
}

/// The eye meant when none is named: the right one, unless the left alone was traced.
fn usual_eye(trace: &Trace) -> Eye {
    let traced = |eye: &Eye| !trace.shape(*eye).mirrored;
    Eye::BOTH.into_iter().find(traced).unwrap_or(Eye::Right)
}

/// What to know about the shape of one eye of a record, one line each.
pub(super) fn hints(trace: &Trace, eye: Eye) -> impl Iterator<Item = String> {
    let concerns = move |note: &&Note| match note {
        Note::Mirrored { eye: of } => *of == eye,
        // What is said of a traced eye holds for its mirror.
        Note::LooksSwapped { eye: of, .. } | Note::BoxDiffers { eye: of, .. } => {
            *of == eye || trace.shape(eye).mirrored
        }
        Note::Kept { .. } => false,
    };
    trace.notes().iter().filter(concerns).map(|note| format!("note: {note}"))
}
