//! Spotting a lens: what is lined up and where its dot goes, by what a focimeter is to show.

use super::job::OpenJob;
use super::screens::Told;
use crate::screen::{Body, Lens, Line, Picture};
use bevelbook_core::prescription::{Eye, EyeOrder, SphereCylinder, Wanted};
use bevelbook_core::record::{Entered, Mark};
use bevelbook_core::tolerance::Design;
use core::fmt;

/// The mark as it is asked for.
pub(super) fn of(job: &OpenJob, eye: Eye) -> Mark {
    let EyeOrder { power, prism, .. } = job.to_be(eye);
    Mark {
        entered: Entered::PRESET,
        lens: job.state().pair.lens(eye),
        axis: power.minus_cylinder().axis,
        prism,
    }
}

pub(super) fn body(job: &OpenJob, eye: Eye) -> Body {
    let EyeOrder { power, prism, wanted, .. } = job.to_be(eye);
    let asked = match (job.design(), wanted) {
        (_, Wanted::Balance { known: false }) => {
            let detail = "no axis to line up";
            return Body::question("three dots spotted?", "balance", detail, Picture::None);
        }
        // Its engravings are the line of 180, and its optical centre means nothing.
        (Design::Progressive, Wanted::Lens) => {
            let said = "engravings on 180?\nfitting cross marked?\nnot by the optical\ncentre";
            return Body::message("by the lens's marks", said);
        }
        (Design::Multifocal, _) => "dots, segment level?",
        _ => "three dots spotted?",
    };
    let (axis, has_prism) = (degrees(power), !prism.is_none());
    let detail = match (job.card.prescribed[eye.index()].map(Lined), job.told_of(eye)) {
        (Some(rx), _) if has_prism => Line::new(format_args!("{}; Rx {rx}", Lined(power))),
        (Some(rx), _) => Line::new(format_args!("to verify; Rx {rx}")),
        (None, _) if has_prism => Line::new(Lined(power)),
        (None, told @ Told::Balance) => Line::new(told.unjudged()),
        (None, _) => Line::new("dot = optical centre"),
    };
    match axis {
        _ if has_prism => Body::prism(asked, Lens { eye, prism, axis }, detail),
        Some(axis) => Body::question(asked, axis, detail, Picture::Axis(axis)),
        None => Body::question(asked, "sphere", detail, Picture::None),
    }
}

/// The axis to line up, in whole degrees; a sphere has none.
fn degrees(power: SphereCylinder) -> Option<u16> {
    let axis = power.minus_cylinder().axis.milli() / 1000;
    (!power.cylinder.is_zero()).then_some(axis as u16)
}

/// What is lined up of a lens of that power.
struct Lined(SphereCylinder);

impl fmt::Display for Lined {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match degrees(self.0) {
            Some(axis) => write!(f, "axis {axis}"),
            None => f.write_str("sphere"),
        }
    }
}
