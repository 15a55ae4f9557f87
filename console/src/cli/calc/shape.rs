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
pub(super) struct ShapeFlags {
    /// Width of the boxed lens, A; with --b the shape is the ellipse in this box.
    #[arg(long, value_name = "MM", value_parser = arguments::size)]
    a: Option<Length>,
    /// Height of the boxed lens, B.
    #[arg(long, value_name = "MM", value_parser = arguments::size)]
    b: Option<Length>,
    /// File with a frame record, DCS/ISO 16284 style: the shape is as traced, box and centre are those of its points.
    #[arg(long, value_name = "FILE")]
    trace: Option<PathBuf>,
    /// Which eye of the record; one that was not traced is mirrored from the other.
    #[arg(long, value_name = "R|L", value_parser = arguments::eye)]
    eye: Option<Eye>,
}

/// The shape that was given.
pub(super) enum GivenShape {
    /// The ellipse in a box.
    Ellipse(Ellipse),
    /// A frame record, and the eye if one was named.
    Traced(Trace, Option<Eye>),
}

impl ShapeFlags {
    /// The shape, or `None` when nothing of one was given.
    pub(super) fn shape(&self) -> Result<Option<GivenShape>, Failure> {
        let wrong = |text: &str| Err(Failure::Use(text.to_owned()));
        match (self.a, self.b, &self.trace) {
            (None, None, None) if self.eye.is_some() => wrong(
                "--eye says which eye of a frame record; give the record too, for example --trace frame.txt --eye R",
            ),
            (None, None, None) => Ok(None),
            (None, None, Some(file)) => Ok(Some(GivenShape::Traced(Trace::read(file)?, self.eye))),
            (_, _, Some(_)) => wrong(
                "--trace and --a --b are two ways to give one shape; give one of them: --trace frame.txt --eye R, or \
                 --a 52 --b 35",
            ),
            (Some(_), Some(_), None) if self.eye.is_some() => wrong(
                "--eye belongs to --trace; the ellipse in a box is the same for both eyes, leave --eye out",
            ),
            (Some(a), Some(b), None) => {
                let ellipse = Ellipse::new(a, b).map_err(|error| Failure::Use(error.to_string()))?;
                Ok(Some(GivenShape::Ellipse(ellipse)))
            }
            (Some(_), None, None) => wrong("--a without --b: a box has two sides, for example --a 52 --b 35"),
            (None, Some(_), None) => wrong("--b without --a: a box has two sides, for example --a 52 --b 35"),
        }
    }
}

/// What to know about the shape of one eye of a record, one line each.
pub(super) fn hints(trace: &Trace, eye: Eye) -> Vec<String> {
    let concerns = |note: &&Note| match note {
        Note::Mirrored { eye: of } => *of == eye,
        // What is said of a traced eye holds for its mirror.
        Note::LooksSwapped { eye: of, .. } | Note::BoxDiffers { eye: of, .. } => {
            *of == eye || trace.shape(eye).mirrored
        }
        Note::Kept { .. } => false,
    };
    trace.notes().iter().filter(concerns).map(|note| format!("note: {note}")).collect()
}

/// The eye meant when none is named: the right one, unless the left alone was traced.
pub(super) fn usual_eye(trace: &Trace) -> Eye {
    let traced = |eye: &Eye| !trace.shape(*eye).mirrored;
    Eye::BOTH.into_iter().find(traced).unwrap_or(Eye::Right)
}
