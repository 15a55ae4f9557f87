//! Girth of a shape, and of the parallel curve beside it.
//!
//! - An ellipse is measured in closed form (core's `Ellipse`), within 0.51 nm; inward beyond its smallest radius of
//!   curvature through 2000 of its points and as many rays, within 1.1 µm for the shapes of lenses.
//! - A trace is measured as the closed chords of its points. Its parallel curve has the girth of Steiner's formula as
//!   long as no bend of it is tight against the step; else it is the parallel curve of the chords, on as many rays as
//!   make a whole number to each point, [`RAYS`] or more: 3 µm short at the most where corners are round ends.
//! - On a curve the points lie on a sphere whose vertex is at the boxed centre.

use super::shape::{GivenShape, ShapeFlags, hints};
use crate::cli::{Failure, Report, answer, arguments};
use crate::trace::Trace;
use crate::view::Figure;
use bevelbook_core::frame::{Ellipse, Outline, Point};
use bevelbook_core::lens::girth_on_curve;
use bevelbook_core::prescription::Eye;
use bevelbook_core::units::{Length, Power};
use clap::{ArgGroup, Args};

/// Rays for the parallel curve of a trace, at least.
const RAYS: usize = 3600;

/// Points of an ellipse where it is not measured in closed form.
const POINTS: usize = 2000;

/// Give the girth of a shape in two dimensions, or of the curve a step outside or inside it.
///
/// Of a frame record it is the closed length of its chords; with --curve that of a rim which lies on a sphere is given beside
/// it, for a record without depths. Whether the CIRC of the record says the same is said too.
#[derive(Args)]
#[command(
    override_usage = "bevelbook calc girth --a MM --b MM [--offset MM | --curve D]\n       \
        bevelbook calc girth --trace FILE [--eye R|L] [--offset MM | --curve D]",
    after_help = "Example: bevelbook calc girth --a 52 --b 35 --offset -0.25\n\
        Example: bevelbook calc girth --trace frame.txt --eye R --curve 6",
    group(ArgGroup::new("given").required(true).args(["a", "trace"]))
)]
pub(crate) struct MeasureGirth {
    #[command(flatten)]
    shape: ShapeFlags,
    /// Step on the radius to a parallel curve: outward, or inward with a minus.
    #[arg(long, value_name = "MM", value_parser = arguments::length, default_value = "0")]
    offset: Length,
    /// A curve that the shape lies on, as the power of a sphere in 1.530: the girth in space is given beside that in two
    /// dimensions.
    #[arg(long, value_name = "D", value_parser = arguments::surface, conflicts_with = "offset")]
    curve: Option<Power>,
}

pub(super) fn girth(asked: &MeasureGirth) -> Result<Report, Failure> {
    match asked.shape.shape()? {
        Some(GivenShape::Traced(trace, eye)) => {
            let outline = trace.shape(eye).outline().map_err(Failure::fault)?;
            on_curve(of_trace(&trace, eye, asked.offset)?, asked.curve, &outline)
        }
        Some(GivenShape::Ellipse(ellipse)) => {
            let mut points = vec![Point::ORIGIN; POINTS];
            let outline = made(ellipse, &mut points)?;
            on_curve(of_ellipse(ellipse, asked.offset)?, asked.curve, &outline)
        }
        None => Err(Failure::wrong("no shape")),
    }
}

/// The girth in the plane with that in space behind it, where a curve is given.
fn on_curve(plane: Report, curve: Option<Power>, outline: &Outline<'_>) -> Result<Report, Failure> {
    let Some(curve) = curve else { return Ok(plane) };
    let girth = girth_on_curve(outline, curve, outline.boxed().centre);
    let girth = Figure::from(girth.map_err(|error| Failure::wrong(format!("--curve: {error}")))?);
    let text = format!(
        "{} in the plane\n{girth:#} in space, on a curve of {curve} D; never mix the two",
        plane.text
    );
    Ok(Report { text, ..plane }.with("on_curve_mm", girth))
}

fn made(ellipse: Ellipse, points: &mut [Point]) -> Result<Outline<'_>, Failure> {
    let [a, b] = ellipse.sides();
    Outline::made(a, b, None, points).map_err(Failure::wrong)
}

fn of_ellipse(ellipse: Ellipse, step: Length) -> Result<Report, Failure> {
    if let Some(nanometres) = ellipse.offset_girth_nanometres(step) {
        let girth = nanometres as f64 / 1e6;
        return Ok(answer!("{} mm", (girth * 1e3).round() / 1e3; girth_mm = girth));
    }
    let mut points = vec![Point::ORIGIN; POINTS];
    let girth = girth_beside(&made(ellipse, &mut points)?, step, POINTS)?;
    Ok(answer!("{girth_mm:#}"; girth_mm = Figure::from(girth)).hint(format!(
        "note: the step is beyond the smallest radius of curvature, {} mm: the ends close up to corners there",
        ellipse.tightest_bend()
    )))
}

fn of_trace(trace: &Trace, eye: Eye, step: Length) -> Result<Report, Failure> {
    let outline = trace.shape(eye).outline().map_err(Failure::fault)?;
    let points = outline.points().len();
    let girth = match outline.offset_girth(step) {
        Some(girth) => girth,
        None => girth_beside(&outline, step, RAYS.div_ceil(points) * points)?,
    };
    let stated = trace.stated_girth(eye).map_err(Failure::fault)?;
    let said = stated.map_or("the record states no CIRC".into(), |stated| stated.to_string());
    let beside = match step.is_zero() {
        true => String::new(),
        false => format!(", a step of {:+} mm from {} mm", step.fine(), outline.girth()),
    };
    let bend = outline.tightest_bend().filter(|bend| -step > bend.radius).map(|bend| {
        format!(
            "note: the step is beyond the tightest bend, about {} mm at {}°: corners close up there",
            bend.radius, bend.toward
        )
    });
    let report = answer!(
        "{girth_mm:#}, {eye} eye{beside}\n{said}";
        girth_mm = Figure::from(girth),
        eye = eye,
        circ_mm = stated.map(|stated| Figure::from(stated.circ)),
        in_space_mm = stated.and_then(|stated| stated.in_space).map(Figure::from),
    );
    Ok(report.hints(hints(trace, eye)).hints(bend))
}

/// The girth of the parallel curve, on so many rays.
fn girth_beside(outline: &Outline<'_>, step: Length, rays: usize) -> Result<Length, Failure> {
    let mut into = vec![Point::ORIGIN; rays];
    let curve = outline.offset(step, &mut into);
    curve.map(|curve| curve.girth()).map_err(|error| Failure::wrong(format!("--offset: {error}")))
}
