//! Girth of a shape, and of the parallel curve beside it.
//!
//! - An ellipse is measured in closed form (core's `Ellipse`), within 0.51 nm; inward beyond its smallest radius of
//!   curvature through 2000 of its points and as many rays, within 1.1 µm for the shapes of lenses.
//! - A trace is measured as the closed chords of its points. Its parallel curve has the girth of Steiner's formula as
//!   long as no bend of it is tight against the step; else it is the parallel curve of the chords, on as many rays as
//!   make a whole number to each point, [`RAYS`] or more: 3 µm short at the most where corners are round ends.

use super::shape::{GivenShape, ShapeFlags, hints, usual_eye};
use crate::cli::figures::millimetres;
use crate::cli::{Failure, Report, arguments};
use crate::trace::Trace;
use bevelbook_core::frame::{Ellipse, Outline, Point};
use bevelbook_core::prescription::Eye;
use bevelbook_core::units::Length;
use clap::Args;
use serde_json::json;

/// Rays for the parallel curve of a trace, at least.
const RAYS: usize = 3600;

/// Points of an ellipse where it is not measured in closed form.
const POINTS: usize = 2000;

/// Give the girth of a shape in two dimensions, or of the curve a step outside or inside it.
///
/// Of a frame record it is the closed length of its chords; whether the CIRC of the record says the same is said too.
#[derive(Args)]
#[command(
    override_usage = "bevelbook calc girth --a MM --b MM [--offset MM]\n       \
        bevelbook calc girth --trace FILE [--eye R|L] [--offset MM]",
    after_help = "Example: bevelbook calc girth --a 52 --b 35 --offset -0.25\n\
        Example: bevelbook calc girth --trace frame.txt --eye R"
)]
pub(crate) struct Girth {
    #[command(flatten)]
    shape: ShapeFlags,
    /// Step on the radius to a parallel curve: outward, or inward with a minus.
    #[arg(long, value_name = "MM", value_parser = arguments::length, default_value = "0")]
    offset: Length,
}

impl Girth {
    pub(super) fn answer(&self) -> Result<Report, Failure> {
        match self.shape.shape()? {
            Some(GivenShape::Ellipse(ellipse)) => self.of_ellipse(ellipse),
            Some(GivenShape::Traced(trace, eye)) => {
                let eye = eye.unwrap_or_else(|| usual_eye(&trace));
                self.of_trace(&trace, eye)
            }
            None => Err(Failure::Use(
                "no shape: give --a and --b, for example --a 52 --b 35, or a frame record, --trace frame.txt"
                    .to_owned(),
            )),
        }
    }

    fn of_ellipse(&self, ellipse: Ellipse) -> Result<Report, Failure> {
        if let Some(nanometres) = ellipse.offset_girth_nanometres(self.offset) {
            let girth = nanometres as f64 / 1e6;
            let rounded = (girth * 1e3).round() / 1e3;
            return Ok(Report::new(format!("{rounded} mm"), json!({ "girth_mm": girth })));
        }
        let [a, b] = ellipse.sides();
        let mut points = vec![Point::ORIGIN; POINTS];
        let outline =
            Outline::made(a, b, None, &mut points).map_err(|error| Failure::Use(error.to_string()))?;
        let girth = girth_beside(&outline, self.offset, POINTS)?;
        let report = Report::new(format!("{girth} mm"), json!({ "girth_mm": millimetres(girth) }));
        Ok(report.hint(format!(
            "note: the step is beyond the smallest radius of curvature, {} mm: the ends close up to corners there",
            ellipse.tightest_bend()
        )))
    }

    fn of_trace(&self, trace: &Trace, eye: Eye) -> Result<Report, Failure> {
        let fault = |error: bevelbook_core::frame::OutlineError| Failure::Fault(error.to_string());
        let outline = trace.shape(eye).outline().map_err(fault)?;
        let points = outline.points().len();
        let girth = match outline.offset_girth(self.offset) {
            Some(girth) => girth,
            None => girth_beside(&outline, self.offset, RAYS.div_ceil(points) * points)?,
        };
        let stated = trace.stated_girth(eye).map_err(fault)?;
        let said = match &stated {
            Some(stated) => stated.to_string(),
            None => "the record states no CIRC".to_owned(),
        };
        let beside = match self.offset.is_zero() {
            true => String::new(),
            false => format!(", a step of {:+} mm from {} mm", self.offset.fine(), outline.girth()),
        };
        let json = json!({
            "girth_mm": millimetres(girth),
            "eye": eye,
            "circ_mm": stated.map(|stated| millimetres(stated.circ)),
            "in_space_mm": stated.and_then(|stated| stated.in_space).map(millimetres),
        });
        let mut hints = hints(trace, eye);
        if let Some(bend) = outline.tightest_bend().filter(|bend| -self.offset > bend.radius) {
            hints.push(format!(
                "note: the step is beyond the tightest bend, about {} mm at {}°: corners close up there",
                bend.radius, bend.toward
            ));
        }
        Ok(Report { hints, ..Report::new(format!("{girth} mm, {eye} eye{beside}\n{said}"), json) })
    }
}

/// The girth of the parallel curve, on so many rays.
fn girth_beside(outline: &Outline<'_>, step: Length, rays: usize) -> Result<Length, Failure> {
    let mut into = vec![Point::ORIGIN; rays];
    let curve =
        outline.offset(step, &mut into).map_err(|error| Failure::Use(format!("--offset: {error}")))?;
    Ok(curve.girth())
}
