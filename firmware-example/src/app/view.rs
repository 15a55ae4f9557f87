//! What the application is asking, and how that looks.

use super::centres::CentresEntry;
use super::job::OpenJob;
use super::reading::ReadingEntry;
use super::screens::{Pair, answers, ask};
use super::sizing::SizingEntry;
use super::station::StationEntry;
use super::words::{self, Lines};
use crate::screen::{Answers, Body, COLUMNS, LIST_LINES, Line, Picture, Tone};
use bevelbook_core::link::CardHeading;
use bevelbook_core::prescription::Eye;
use bevelbook_core::record::{CheckItem, JobId};
use bevelbook_core::sizing::{Refusal, Rim};
use heapless::Vec;

/// How many jobs of the console can be chosen.
pub(super) const CARDS: usize = 12;

/// How many jobs that were opened here can be chosen.
pub(super) const OWN_JOBS: usize = 4;

/// The most jobs that can be chosen from.
pub(super) const JOBS: usize = CARDS + OWN_JOBS;

/// A job to choose.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct JobLine {
    pub(super) id: JobId,
    /// What its card says first; none for a job opened here.
    pub(super) heading: Option<CardHeading>,
}

impl JobLine {
    /// Where it stands among the console's jobs: by its number, then by its id.
    pub(super) fn place(&self) -> (u32, JobId) {
        (self.heading.as_ref().map_or(u32::MAX, |heading| heading.number), self.id)
    }

    fn shown(&self) -> Line {
        let Some(CardHeading { number, label, tray }) = &self.heading else {
            return Line::new(format_args!("own job {:04x}", self.id.0 >> 48));
        };
        let before = Line::new(format_args!("{number}{}{tray}", if tray.is_empty() { "" } else { " T" }));
        Line::new(format_args!("{before} {}", shortened(label, &before)))
    }
}

/// The entry that belongs to a step.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Entry {
    Reading(ReadingEntry),
    Mark(Eye),
    Sizing(SizingEntry),
    /// Sizing cannot begin before the station has stated its dial.
    NoDial(Eye),
    Remake(Eye),
    Centres(CentresEntry),
    CheckLens(Eye, CheckItem),
    CheckPair(CheckItem),
    Done,
}

impl Entry {
    /// Goes back one figure. Whether there is one before what is asked.
    pub(super) fn back(&mut self) -> bool {
        match self {
            Self::Reading(entry) => entry.go(false),
            Self::Centres(entry) => entry.go(false),
            Self::Sizing(entry) => entry.back(),
            _ => false,
        }
    }

    pub(super) const fn eye(&self) -> Option<Eye> {
        match self {
            Self::Reading(entry) => Some(entry.eye),
            Self::Sizing(entry) => Some(entry.eye),
            Self::Mark(eye) | Self::NoDial(eye) | Self::Remake(eye) | Self::CheckLens(eye, _) => Some(*eye),
            Self::Centres(_) | Self::CheckPair(_) | Self::Done => None,
        }
    }
}

/// What can be chosen with the centre held.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Choice {
    Skip,
    OtherJob,
    NewJob,
    NewLens(Eye),
    GrindAgain(Eye),
    StateDial,
    NewWheel,
    Recalibrated,
    Back,
}

impl Choice {
    /// What is chosen without looking comes first, and what passes something over last.
    pub(super) const ALL: [Self; 11] = [
        Self::Back,
        Self::OtherJob,
        Self::NewLens(Eye::Right),
        Self::NewLens(Eye::Left),
        Self::GrindAgain(Eye::Right),
        Self::GrindAgain(Eye::Left),
        Self::NewJob,
        Self::StateDial,
        Self::NewWheel,
        Self::Recalibrated,
        Self::Skip,
    ];

    const fn words(self) -> &'static str {
        match self {
            Self::Skip => "skip this step",
            Self::OtherJob => "other job",
            Self::NewJob => "new job here",
            Self::NewLens(Eye::Right) => "new lens, right",
            Self::NewLens(Eye::Left) => "new lens, left",
            Self::GrindAgain(Eye::Right) => "grind right again",
            Self::GrindAgain(Eye::Left) => "grind left again",
            Self::StateDial => "station: dial",
            Self::NewWheel => "station: new wheel",
            Self::Recalibrated => "dial recalibrated",
            Self::Back => "back",
        }
    }
}

/// What is being asked. One lives in the application, so the largest variant decides and nothing is gained by a heap.
#[derive(Clone, Debug, PartialEq, Eq)]
#[allow(clippy::large_enum_variant, reason = "there is no heap to put the larger ones on")]
pub(super) enum View {
    /// The next step of the job: the application's entry.
    Step,
    /// Which job.
    Jobs { jobs: Vec<JobLine, JOBS>, selected: usize },
    /// What else, by its place in [`Choice::ALL`].
    Menu(usize),
    /// What holds the lenses of a new job, by its place in [`Rim::ALL`].
    Rims(usize),
    /// What the dial counts.
    Station(StationEntry),
    /// Whether the eye really is to go on with a new lens.
    NewLens(Eye),
    /// Something was said; the centre goes on.
    Notice { title: Line, lines: Lines, tone: Tone },
    /// A quantity of a reading is out; the centre goes on. What, by how much, and how much it may be.
    Out { quantity: Line, by: Line, limit: Line, picture: Picture },
    /// The guard holds.
    Guard(Refusal),
}

impl View {
    /// What it says over `entry`.
    pub(super) fn body(&self, entry: &Entry, job: Option<&OpenJob>, skipped: usize) -> Body {
        match self {
            Self::Step => step_body(entry, job, skipped),
            Self::Jobs { jobs, .. } if jobs.is_empty() => Body::Message {
                title: Line::new("no job here"),
                lines: words::lines([&"the console sends", &"open ones; centre", &"held opens one here"]),
            },
            Self::Jobs { jobs, selected } => {
                list("which job?", *selected, jobs.len(), |at| jobs.get(at).map(JobLine::shown))
            }
            Self::Menu(selected) => list("what else?", *selected, Choice::ALL.len(), |at| {
                Choice::ALL.get(at).map(|choice| Line::new(choice.words()))
            }),
            Self::Rims(selected) => {
                list("what holds the lens?", *selected, Rim::ALL.len(), |at| Rim::ALL.get(at).map(Line::new))
            }
            Self::Station(entry) => entry.body(),
            Self::NewLens(eye) => {
                let number = job.map_or(1, |job| job.state().pair.lens(*eye).number);
                Body::Message {
                    title: Line::new(format_args!("new lens, {eye}?")),
                    lines: words::lines([
                        &format_args!("lens {number} counts as"),
                        &format_args!("spoiled. lens {} is", number.saturating_add(1)),
                        &"read, marked, sized",
                    ]),
                }
            }
            Self::Out { quantity, by, limit, picture } => Body::Question {
                question: quantity.clone(),
                figure: by.clone(),
                detail: limit.clone(),
                picture: *picture,
            },
            Self::Notice { title, lines, .. } => Body::Message { title: title.clone(), lines: lines.clone() },
            Self::Guard(refusal) => {
                Body::Message { title: Line::new("never past it"), lines: words::refusal(refusal) }
            }
        }
    }

    pub(super) fn answers(&self, entry: &Entry) -> Answers {
        match self {
            Self::Step => step_answers(entry),
            Self::Jobs { jobs, .. } if jobs.is_empty() => answers("", "", "", "", ""),
            Self::Jobs { .. } | Self::Menu(_) | Self::Rims(_) => answers("up", "down", "", "", "take"),
            Self::Station(entry) => entry.answers(),
            Self::NewLens(_) => answers("", "no", "", "", "yes"),
            Self::Notice { .. } | Self::Out { .. } | Self::Guard(_) => answers("", "", "", "", "on"),
        }
    }

    pub(super) const fn tone(&self, entry: &Entry) -> Tone {
        match (self, entry) {
            (Self::Notice { tone, .. }, _) => *tone,
            (Self::Guard(_), _) => Tone::Refusal,
            (Self::Out { .. } | Self::NewLens(_), _) => Tone::Warning,
            (Self::Step, Entry::Remake(_) | Entry::NoDial(_)) => Tone::Warning,
            _ => Tone::Plain,
        }
    }
}

fn step_body(entry: &Entry, job: Option<&OpenJob>, skipped: usize) -> Body {
    match entry {
        Entry::Reading(entry) => entry.body(),
        Entry::Sizing(entry) => match job {
            Some(job) => entry.body(job),
            None => ask("no job", "", "", Picture::None),
        },
        Entry::Centres(entry) => entry.body(),
        Entry::Mark(eye) => {
            let order = job.map(|job| job.ordered(*eye));
            let axis = order.map_or(180, |order| order.power.minus_cylinder().axis.milli() / 1000);
            let sphere = order.is_none_or(|order| order.power.cylinder.is_zero());
            let (figure, picture) =
                if sphere { (0, Picture::None) } else { (axis, Picture::Axis(axis as u16)) };
            let off = order.is_some_and(|order| !order.prism.is_none());
            let detail = if off { "dot where prism shows" } else { "dot = optical centre" };
            match figure {
                0 => ask("three dots spotted?", "sphere", detail, picture),
                axis => ask("three dots spotted?", axis, detail, picture),
            }
        }
        Entry::NoDial(_) => Body::Message {
            title: Line::new("what does dial count?"),
            lines: words::lines([&"state it once:", &"hold the centre,", &"then station: dial"]),
        },
        Entry::Remake(eye) => Body::Message {
            title: Line::new(Pair(eye, "lens is loose")),
            lines: words::lines([&"undersize is scrap.", &"centre: a new lens", &"hold left: undo"]),
        },
        Entry::CheckLens(_, item) | Entry::CheckPair(item) => {
            ask(words::looked_for(*item), words::item(*item), "", Picture::None)
        }
        Entry::Done if skipped > 0 => Body::Message {
            title: Line::new("nothing else to do"),
            lines: words::lines([
                &format_args!("{skipped} steps skipped"),
                &"inspect tells which",
                &"centre: next job",
            ]),
        },
        Entry::Done => Body::Message {
            title: Line::new("pair is done"),
            lines: words::lines([&"inspect and sign off", &"at the console", &"centre: next job"]),
        },
    }
}

const fn step_answers(entry: &Entry) -> Answers {
    match entry {
        Entry::Reading(entry) => entry.answers(),
        Entry::Sizing(entry) => entry.answers(),
        Entry::Centres(entry) => entry.answers(),
        Entry::Mark(_) => answers("", "", "", "", "done"),
        Entry::NoDial(_) => answers("", "", "", "", ""),
        Entry::Remake(_) => answers("", "", "", "", "new"),
        Entry::CheckLens(..) | Entry::CheckPair(_) => answers("", "bad", "", "", "good"),
        Entry::Done => answers("", "", "", "", "next"),
    }
}

/// The part of a list around the chosen item.
fn list(title: &str, selected: usize, count: usize, item: impl Fn(usize) -> Option<Line>) -> Body {
    let first = selected.saturating_sub(LIST_LINES - 1);
    let items: Vec<Line, LIST_LINES> = (first..count).take(LIST_LINES).filter_map(item).collect();
    let more = (first > 0, first + LIST_LINES < count);
    Body::List { title: Line::new(title), items, selected: selected - first, more }
}

/// A frame's label in what room there is behind `before`: the model is cut, and marked as cut, before the size is.
fn shortened(label: &str, before: &Line) -> Line {
    let room = COLUMNS.saturating_sub(before.as_str().chars().count() + 1);
    let (model, size) = label.rsplit_once(' ').unwrap_or((label, ""));
    let left = room.saturating_sub(size.chars().count() + 2);
    if label.chars().count() <= room || size.is_empty() {
        return Line::new(label);
    }
    Line::new(format_args!("{model:.left$}~ {size}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_size_of_a_frame_is_never_cut() {
        let before = Line::new("12 T1");
        assert_eq!(shortened("Fell 51-19", &before).as_str(), "Fell 51-19");
        assert_eq!(shortened("Lindgren 7 50-18", &before).as_str(), "Lindgren~ 50-18");
        assert_eq!(shortened("Lindgren 7 50-18", &Line::new("4100 T112")).as_str(), "Lind~ 50-18");
    }
}
