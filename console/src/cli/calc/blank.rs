//! The least round blank for a lens: exact from a shape, an upper bound from ED and decentration.

use super::shape::{GivenShape, ShapeFlags, hints};
use super::way::WayFlags;
use crate::cli::{Failure, Report, answer, arguments};
use crate::view::Figure;
use bevelbook_core::frame::{Decentration, least_blank};
use bevelbook_core::units::Length;
use clap::{ArgGroup, Args};

/// Give the smallest round blank that covers a lens, its optical centre in the middle of the blank.
///
/// From a shape it is exact: twice the way from the optical centre to the farthest point of the outline, and the
/// allowance. From --ed and --decentration it is ED + 2 x decentration + allowance, which no real shape exceeds.
#[derive(Args)]
#[command(
    override_usage = "bevelbook calc blank --ed MM --decentration MM [--allowance MM]\n       \
        bevelbook calc blank --trace FILE --eye R|L [--in MM] [--up MM] [--allowance MM]\n       \
        bevelbook calc blank --a MM --b MM [--in MM] [--up MM] [--allowance MM]",
    after_help = "Example: bevelbook calc blank --ed 44 --decentration 2 --allowance 2\n\
        Example: bevelbook calc blank --a 52 --b 35 --in 2.5 --down 1\n\
        Example: bevelbook calc blank --trace frame.txt --eye R --in 2.5 --up 1 --allowance 2",
    group(ArgGroup::new("given").required(true).args(["ed", "a", "trace"])),
    // In and out are opposite for the two eyes.
    group(ArgGroup::new("traced").arg("trace").requires("eye"))
)]
pub(crate) struct Blank {
    /// Effective diameter: twice the longest radius from the boxed centre.
    #[arg(long, value_name = "MM", value_parser = arguments::size, requires = "decentration", conflicts_with = "shape")]
    ed: Option<Length>,
    /// Distance from the boxed centre to the optical centre of one eye, in either direction.
    #[arg(long, value_name = "MM", value_parser = arguments::length, requires = "ed", conflicts_with_all = ["shape", "way"])]
    decentration: Option<Length>,
    #[command(flatten)]
    shape: ShapeFlags,
    /// Added for the rim of the blank; 0 gives the theoretical size.
    #[arg(long, value_name = "MM", value_parser = arguments::extra, default_value = "0")]
    allowance: Length,
    #[command(flatten, next_help_heading = "Optical centre of a shape, from its boxed centre")]
    centre: WayFlags,
}

pub(super) fn blank(asked: &Blank) -> Result<Report, Failure> {
    let way = asked.centre.decentration();
    let answer = |diameter| answer!("{diameter_mm:#} at least"; diameter_mm = Figure::from(diameter));
    Ok(match asked.shape.shape()? {
        None => {
            let inward = asked.decentration.unwrap_or_default();
            let way = Decentration { inward, up: Length::ZERO };
            answer(least_blank(asked.ed.unwrap_or_default(), &way, asked.allowance))
        }
        Some(GivenShape::Ellipse(ellipse)) => answer(ellipse.least_blank(&way, asked.allowance)),
        Some(GivenShape::Traced(trace, eye)) => {
            let outline = trace.shape(eye).outline().map_err(Failure::fault)?;
            let centre = outline.optical_centre(eye, &way);
            answer(outline.least_blank(centre, asked.allowance)).hints(hints(&trace, eye))
        }
    })
}
