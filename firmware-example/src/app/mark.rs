//! Spotting a lens: what is lined up and where its dot goes, by what a focimeter is to show.

use super::job::OpenJob;
use super::screens::Told;
use super::words;
use crate::screen::{Body, Lens, Line, MarkedLens, Marks, Picture};
use bevelbook_core::prescription::{Eye, EyeOrder, SphereCylinder, Wanted};
use bevelbook_core::record::{CheckItem, Entered, Mark};
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

#[inline(never)] // Its stack is needed while it runs alone.
pub(super) fn body(job: &OpenJob, eye: Eye) -> Body {
    let EyeOrder { power, prism, wanted, .. } = job.to_be(eye);
    let lens = uncut(job, eye, false);
    let asked = match (lens.marks, wanted) {
        (_, Wanted::Balance { known: false }) => {
            let detail = "no axis to line up";
            return Body::question("three dots spotted?", "balance", detail, Picture::None);
        }
        // Its engravings are the line of 180, and its optical centre means nothing.
        (Marks::Cross, _) => {
            return Body::question("engravings on 180?", "cross", "not by the OC", Picture::Uncut(lens));
        }
        (Marks::Segment, _) => "dots, segment level?",
        (Marks::Dots, _) => "three dots spotted?",
    };
    let has_prism = !prism.is_none();
    let detail = match (job.card.prescribed[eye.index()].map(Lined), job.told_of(eye)) {
        (Some(rx), _) if has_prism => Line::new(format_args!("{}; Rx {rx}", Lined(power))),
        (Some(rx), _) => Line::new(format_args!("to verify; Rx {rx}")),
        (None, _) if has_prism => Line::new(Lined(power)),
        (None, told @ Told::Balance) => Line::new(told.unjudged()),
        (None, _) => Line::new("dot on OC"),
    };
    match lens.axis {
        axis if has_prism => Body::prism(asked, Lens { eye, prism, axis }, detail),
        Some(axis) => Body::question(asked, axis, detail, Picture::Uncut(lens)),
        None => Body::question(asked, "sphere", detail, Picture::Uncut(lens)),
    }
}

/// Whether the block stands where it was marked; on its fitting cross that of a progressive.
pub(super) fn block(job: &OpenJob, eye: Eye) -> Body {
    let (item, lens) = (CheckItem::Blocked, uncut(job, eye, true));
    let asked = if lens.marks == Marks::Cross { "block on cross, 180?" } else { words::looked_for(item) };
    Body::question(asked, item.short(), "", Picture::Uncut(lens))
}

/// The lens as it is lined up, or as its block then stands on it.
fn uncut(job: &OpenJob, eye: Eye, blocked: bool) -> MarkedLens {
    let EyeOrder { power, wanted, .. } = job.to_be(eye);
    let marks = match (job.design(), wanted) {
        (Design::Progressive, Wanted::Lens) => Marks::Cross,
        (Design::Multifocal, _) => Marks::Segment,
        _ => Marks::Dots,
    };
    // A block stands by the dots, whatever the axis.
    let axis = degrees(power).filter(|_| marks != Marks::Cross && !blocked);
    MarkedLens { eye, axis, marks, blocked }
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
