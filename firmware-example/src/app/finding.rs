//! What is off, said large, with "again" and "remake" at hand; and what a pair comes to at the end of its work.

use super::job::OpenJob;
use crate::screen::{Answers, Body, Line, Screen, Tone};
use bevelbook_core::prescription::{Eye, Wanted};
use bevelbook_core::record::Stage;
use bevelbook_core::tolerance::{Finding, Look, Quantity, Subject};
use bevelbook_core::units::{Length, Power};
use core::fmt;

/// What can be measured again, and whose lens can be made again.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Again {
    /// The lens that is off; none where it is the pair.
    pub(super) eye: Option<Eye>,
    /// The reading; none where it is the centres.
    pub(super) reading: Option<(Eye, Stage)>,
}

impl Again {
    /// The same for what was found.
    pub(super) fn of(self, found: &Finding<()>) -> Self {
        let eye = match found.subject {
            Subject::Eye(eye) => Some(eye),
            Subject::Pair => None,
        };
        Self { eye, ..self }
    }
}

/// What the pair comes to by what was logged of it, when nothing is left to do.
fn at_the_end(job: &OpenJob) -> Look {
    let limits = job.card.limits.as_ref();
    limits.map_or(Look::NotCovered, |limits| limits.pair(&job.card.order(), &job.state().measured()))
}

/// Whether a pair of which nothing is left to log is done, as the console has it.
pub(super) fn is_good(job: &OpenJob) -> bool {
    matches!(at_the_end(job), Look::Within | Look::NotCovered)
}

/// What can be measured again of what is off at the end.
pub(super) fn again_at_the_end(job: &OpenJob) -> Option<Again> {
    let (Look::Out(found) | Look::Unusual(found)) = at_the_end(job) else { return None };
    let centres = matches!(found.quantity, Quantity::Pd | Quantity::SegmentHeight);
    let again = Again { eye: None, reading: None }.of(&found);
    let reading = (!centres).then_some((again.eye.unwrap_or(Eye::Right), Stage::Mounted));
    Some(Again { reading, ..again })
}

/// Shows that nothing is left to log, so many steps being skipped. It reads as done only where all was judged and is within.
#[inline(never)]
pub(super) fn show_done(screen: &mut Screen, job: &OpenJob, skipped: usize) {
    let unclear = |title, said| Body::large(Line::new(title), UNCLEAR, said);
    let look = at_the_end(job);
    (screen.answers, screen.tone) = (Answers::centre("next"), Tone::Warning);
    screen.body = match look {
        Look::Out(_) | Look::Unusual(_) => {
            screen.answers = Answers { centre: "next", ..OFFERED };
            off(&look).map_or_else(see_console, |(_, said)| said)
        }
        _ if skipped > 0 => unclear(
            "not all is done",
            format_args!("{skipped} steps skipped\ninspect at the\nconsole: which"),
        ),
        _ if !job.told => {
            unclear("all is logged", format_args!("not judged:\nno order. attach\none at the console"))
        }
        Look::Within => {
            screen.tone = Tone::Plain;
            let both = job.wanted().into_iter().all(Wanted::is_made);
            let title = Line::new(if both { "pair is done" } else { "lens is done" });
            Body::large(title, "OK", format_args!("within limits.\ninspect and\nsign off at the\nconsole"))
        }
        Look::SeeConsole | Look::NotCovered => see_console(),
    };
}

/// What the keys answer where something is off.
pub(super) const OFFERED: Answers = Answers::new("", "", "again", "remake", "OK");

/// The large word where nothing can be told.
const UNCLEAR: &str = "?";

/// It is not judged here.
pub(super) fn see_console() -> Body {
    Body::large(Line::new("not judged here"), UNCLEAR, format_args!("see the console:\ninspect"))
}

/// What a look found out, or off by more than is usual, and how that is said: what it was, what was wanted, how far it is off,
/// and its limit.
pub(super) fn off(look: &Look) -> Option<(Finding<()>, Body)> {
    let (found, word) = match look {
        Look::Out(found) => (found, "OUT"),
        Look::Unusual(found) => (found, "off"),
        Look::Within | Look::SeeConsole | Look::NotCovered => return None,
    };
    Some((*found, body(found, word)))
}

fn body(found: &Finding<()>, word: &'static str) -> Body {
    let quantity = match found.quantity {
        Quantity::Power | Quantity::PowerAcross => "power",
        Quantity::Cylinder => "cylinder",
        Quantity::Axis => "axis",
        Quantity::Add => "addition",
        Quantity::PrismAtReference => "prism",
        Quantity::Vertical | Quantity::VerticalOfEye => "vert. prism",
        Quantity::Horizontal | Quantity::HorizontalOfEye => "horiz. prism",
        Quantity::ReferencePlace => "dot place",
        Quantity::Pd => "PD",
        Quantity::SegmentHeight => "height",
        Quantity::SegmentPlace => "segments",
        Quantity::SegmentTilt => "tilt",
        Quantity::Thickness => "thickness",
    };
    let [read, ordered, by] =
        [found.measured, found.ordered, found.deviation].map(|milli| Figure(found, milli));
    let said = format_args!("read {read}\nwant {ordered}\noff {by:+}\nlimit {}", found.limit);
    Body::large(Line::new(format_args!("{quantity}, {}", found.subject)), word, said)
}

/// A value of a finding, in its unit; a prism with its base.
struct Figure<'f>(&'f Finding<()>, i32);

impl fmt::Display for Figure<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self(found, milli) = *self;
        let base = match (found.quantity, milli.signum()) {
            (Quantity::Horizontal | Quantity::HorizontalOfEye, 1) => "BI",
            (Quantity::Horizontal | Quantity::HorizontalOfEye, -1) => "BO",
            (Quantity::VerticalOfEye, 1) => "BU",
            (Quantity::VerticalOfEye, -1) => "BD",
            // Of the right lens against the left one.
            (Quantity::Vertical, 1) => "BU R",
            (Quantity::Vertical, -1) => "BD R",
            _ => "",
        };
        let length = Length::from_milli(if base.is_empty() { milli } else { milli.abs() });
        match found.quantity {
            _ if !base.is_empty() => write!(f, "{} {base}", length.fine()),
            Quantity::Power | Quantity::PowerAcross => Power::from_milli(milli).fmt(f),
            _ => length.fmt(f),
        }
    }
}
