//! What is measured and not as it should be: said large, with "again" and "remake" at hand; and what a pair comes to at
//! the end of its work. It is saved all the same; what is measured again counts instead.

use super::App;
use super::centres::CentresEntry;
use super::entry::Entry;
use super::job::{Answered, OpenJob};
use super::reading::ReadingEntry;
use super::view::{Choice, View};
use super::words;
use crate::keys::Key;
use crate::memory::Pages;
use crate::screen::{Answers, Body, Line, Tone};
use bevelbook_core::prescription::{Eye, Wanted};
use bevelbook_core::record::{Bench, CentreDistance, Reading, Stage};
use bevelbook_core::tolerance::{Finding, Limits, Look, Quantity, Subject};
use bevelbook_core::units::{Length, Power};
use core::fmt;

/// What can be measured again, and whose lens can be made again.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Again {
    /// The lens that is off; none where it is the pair.
    pub(super) eye: Option<Eye>,
    /// The reading; none where it is the centres.
    reading: Option<(Eye, Stage)>,
}

impl<P: Pages> App<P> {
    #[inline(never)]
    pub(super) fn save_reading(&mut self, reading: Reading, now_ms: u64) -> Answered {
        let slip = self.slip(&reading);
        if !self.record(&Bench::Reading(reading), now_ms)? {
            return Ok(());
        }
        let eye = reading.lens.eye;
        let again = Again { eye: Some(eye), reading: Some((eye, reading.stage)) };
        match slip {
            Some(said) => self.view = View::Off { said, again },
            None => self.say_look(self.look_at_reading(&reading), again),
        }
        Ok(())
    }

    /// The likely mistake behind a reading. It is saved all the same; a held left key undoes it.
    fn slip(&self, reading: &Reading) -> Option<Body> {
        let (job, limits) = self.limits()?;
        let eye = reading.lens.eye;
        let slips = limits.slips(eye, &job.card.eyes, reading.read.power());
        slips.first().map(|slip| words::slip(*slip, eye))
    }

    /// What a reading that is saved comes to by the limits of its job.
    #[inline(never)]
    fn look_at_reading(&self, reading: &Reading) -> Look {
        let Some((job, limits)) = self.limits() else { return Look::NotCovered };
        let eye = reading.lens.eye;
        let ordered = job.ordered(eye);
        let read = match reading.stage {
            Stage::Uncut => job.card.order().thinned(job.state().uncut())[eye.index()],
            Stage::Mounted => reading.read(),
        };
        let of_lens = match ordered.wanted.is_judged() {
            true => limits.eye(reading.stage, eye, ordered, &read),
            false => Look::NotCovered,
        };
        // The prism counts for the pair, once all are read that count.
        let measured = job.state().measured();
        let mut eyes = job.wanted().into_iter().zip(&measured.eyes);
        let both = eyes.all(|(wanted, eye)| !wanted.is_paired() || eye.prism.is_some());
        match of_lens {
            Look::Within | Look::NotCovered if reading.stage == Stage::Mounted && both => {
                limits.prism(&job.card.order(), &measured)
            }
            of_lens => of_lens,
        }
    }

    #[inline(never)]
    pub(super) fn save_centres(&mut self, distance: CentreDistance, now_ms: u64) -> Answered {
        if self.record(&Bench::CentreDistance(distance), now_ms)?
            && let Some((job, limits)) = self.limits()
        {
            let look = limits.centres(&job.card.order(), &job.state().measured());
            self.say_look(look, Again { eye: None, reading: None });
        }
        Ok(())
    }

    /// The job in hand and what it is judged by; none where nothing is ordered.
    fn limits(&self) -> Option<(&OpenJob, &Limits)> {
        let job = self.job.as_ref()?;
        Some((job, job.card.limits.as_ref()?))
    }

    /// Says what is to be said of a look, if anything: nothing of what is within, or of what has no figure.
    #[inline(never)]
    fn say_look(&mut self, look: Look, again: Again) {
        match look {
            Look::Out(found) => {
                self.view = View::Off { said: of_finding(&found, OUT), again: again.of(&found) }
            }
            Look::Unusual(found) => {
                self.view = View::Off { said: of_finding(&found, OFF), again: again.of(&found) }
            }
            Look::SeeConsole => self.view = View::Notice(see_console(), Tone::Warning),
            Look::Within | Look::NotCovered => {}
        }
    }

    /// A short press while something is off.
    #[inline(never)]
    pub(super) fn press_off(&mut self, key: Key, again: Again) -> Answered {
        let Some(job) = &self.job else { return self.back() };
        match key {
            Key::Centre => return self.enter(),
            Key::Left => {
                self.entry = match again.reading {
                    Some((eye, stage)) => Entry::Reading(ReadingEntry::new(job, eye, stage, self.flow())),
                    None => Entry::Centres(CentresEntry::new(job)),
                };
                return self.back();
            }
            Key::Right => {
                // A pair does not say which of its lenses it is.
                let made = again.eye.filter(|eye| job.ordered(*eye).wanted.is_made());
                self.view = made.map_or_else(|| Choice::remake_in_menu(job), View::remake);
            }
            Key::Up | Key::Down => {}
        }
        Ok(())
    }
}

impl Again {
    /// The same for what was found.
    fn of(self, found: &Finding<()>) -> Self {
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

/// What can be measured again of what is off at the end.
pub(super) fn again_at_the_end(job: &OpenJob) -> Option<Again> {
    let (Look::Out(found) | Look::Unusual(found)) = at_the_end(job) else { return None };
    let centres = matches!(found.quantity, Quantity::Pd | Quantity::SegmentHeight);
    let again = Again { eye: None, reading: None }.of(&found);
    let reading = (!centres).then_some((again.eye.unwrap_or(Eye::Right), Stage::Mounted));
    Some(Again { reading, ..again })
}

/// Nothing is left to log, so many steps being skipped. It reads as done only where all was judged and is within.
pub(super) fn done(job: &OpenJob, skipped: usize) -> (Body, Answers, Tone) {
    let next = Answers::centre("next");
    let unclear = |title, said| Body::large(Line::new(title), UNCLEAR, said);
    let said = match at_the_end(job) {
        Look::Out(found) => {
            return (of_finding(&found, OUT), Answers { centre: "next", ..OFFERED }, Tone::Warning);
        }
        Look::Unusual(found) => {
            return (of_finding(&found, OFF), Answers { centre: "next", ..OFFERED }, Tone::Warning);
        }
        _ if skipped > 0 => unclear(
            "not all is done",
            format_args!("{skipped} steps skipped\ninspect at the\nconsole: which"),
        ),
        _ if !job.told => {
            unclear("all is logged", format_args!("not judged:\nno order. attach\none at the console"))
        }
        Look::SeeConsole | Look::NotCovered => see_console(),
        Look::Within => {
            let both = job.wanted().into_iter().all(Wanted::is_made);
            let title = Line::new(if both { "pair is done" } else { "lens is done" });
            let said = format_args!("within limits.\ninspect and\nsign off at the\nconsole");
            return (Body::large(title, "OK", said), next, Tone::Plain);
        }
    };
    (said, next, Tone::Warning)
}

/// What the keys answer where something is off.
pub(super) const OFFERED: Answers = Answers::new("", "", "again", "remake", "OK");

/// The large words.
const OUT: &str = "OUT";
const OFF: &str = "off";
const UNCLEAR: &str = "?";

fn see_console() -> Body {
    Body::large(Line::new("not judged here"), UNCLEAR, format_args!("see the console:\ninspect"))
}

/// A quantity that is out, or off by more than is usual: what it was, what was wanted, how far it is off, and its limit.
fn of_finding(found: &Finding<()>, word: &'static str) -> Body {
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
