//! The least round blank for a lens: exact from a shape, an upper bound from ED and decentration.

use super::point::one_of;
use super::shape::{GivenShape, ShapeFlags, hints};
use crate::cli::figures::millimetres;
use crate::cli::{Failure, Report, arguments};
use bevelbook_core::frame::{Decentration, least_blank};
use bevelbook_core::units::Length;
use clap::Args;
use serde_json::json;

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
        Example: bevelbook calc blank --trace frame.txt --eye R --in 2.5 --up 1 --allowance 2"
)]
pub(crate) struct Blank {
    /// Effective diameter: twice the longest radius from the boxed centre.
    #[arg(long, value_name = "MM", value_parser = arguments::size)]
    ed: Option<Length>,
    /// Distance from the boxed centre to the optical centre of one eye, in either direction.
    #[arg(long, value_name = "MM", value_parser = arguments::length)]
    decentration: Option<Length>,
    #[command(flatten)]
    shape: ShapeFlags,
    #[command(flatten)]
    centre: CentreFlags,
    /// Added for the rim of the blank; 0 gives the theoretical size.
    #[arg(long, value_name = "MM", value_parser = arguments::extra, default_value = "0")]
    allowance: Length,
}

/// The optical centre from the boxed centre, each of two opposite flags leaving out the other.
#[derive(Args)]
struct CentreFlags {
    /// Optical centre from the boxed centre toward the nose; negative is out.
    #[arg(long = "in", value_name = "MM", value_parser = arguments::length)]
    inward: Option<Length>,
    /// Optical centre from the boxed centre away from the nose.
    #[arg(long = "out", value_name = "MM", value_parser = arguments::extra)]
    outward: Option<Length>,
    /// Optical centre above the boxed centre; negative is down.
    #[arg(long, value_name = "MM", value_parser = arguments::length)]
    up: Option<Length>,
    /// Optical centre below the boxed centre.
    #[arg(long, value_name = "MM", value_parser = arguments::extra)]
    down: Option<Length>,
}

impl CentreFlags {
    fn given(&self) -> bool {
        [self.inward, self.outward, self.up, self.down].iter().any(Option::is_some)
    }

    fn way(&self) -> Result<Decentration, Failure> {
        Ok(Decentration {
            inward: one_of(["--in", "--out"], self.inward, self.outward)?.unwrap_or_default(),
            up: one_of(["--up", "--down"], self.up, self.down)?.unwrap_or_default(),
        })
    }
}

const BY_ED: &str = "--ed 44 --decentration 2";

impl Blank {
    pub(super) fn answer(&self) -> Result<Report, Failure> {
        let wrong = |text: String| Err(Failure::Use(text));
        let way = self.centre.way()?;
        let Some(shape) = self.shape.shape()? else {
            return match (self.ed, self.decentration) {
                (Some(ed), Some(decentration)) if !self.centre.given() => {
                    let way = Decentration { inward: decentration, up: Length::ZERO };
                    Ok(self.report(least_blank(ed, &way, self.allowance), Vec::new()))
                }
                (Some(_), _) if self.centre.given() => wrong(format!(
                    "--in, --out, --up and --down belong to a shape (--trace, or --a and --b); with --ed give the whole way in \
                     one figure: {BY_ED}"
                )),
                (Some(_), None) => wrong(format!("--ed without --decentration, for example {BY_ED}")),
                (None, Some(_)) => wrong(format!("--decentration without --ed, for example {BY_ED}")),
                _ => wrong(format!(
                    "no shape: give {BY_ED}, or --a 52 --b 35 --in 2.5 --up 1, or --trace frame.txt --eye R --in 2.5 --up 1"
                )),
            };
        };
        if self.ed.is_some() || self.decentration.is_some() {
            return wrong(format!(
                "a shape knows its own ED, and --in and --up say where the optical centre is; leave --ed and --decentration \
                 out, or give them alone: {BY_ED}"
            ));
        }
        match shape {
            GivenShape::Ellipse(ellipse) => {
                Ok(self.report(ellipse.least_blank(&way, self.allowance), Vec::new()))
            }
            GivenShape::Traced(_, None) => wrong(
                "--trace without --eye: in and out are opposite for the two eyes, give --eye R or --eye L"
                    .to_owned(),
            ),
            GivenShape::Traced(trace, Some(eye)) => {
                let outline =
                    trace.shape(eye).outline().map_err(|error| Failure::Fault(error.to_string()))?;
                let centre = outline.optical_centre(eye, &way);
                Ok(self.report(outline.least_blank(centre, self.allowance), hints(&trace, eye)))
            }
        }
    }

    fn report(&self, diameter: Length, hints: Vec<String>) -> Report {
        let json = json!({ "diameter_mm": millimetres(diameter) });
        Report { hints, ..Report::new(format!("{diameter} mm at least"), json) }
    }
}
