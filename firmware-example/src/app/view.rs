//! What the application is asking, and how that looks.

use super::entry::Entry;
use super::finding::{self, Again};
use super::job::OpenJob;
use super::station::StationEntry;
use super::words;
use crate::screen::{Answers, Body, LIST_COLUMNS, LIST_LINES, Line, Screen, Tone};
use bevelbook_core::link::{CardHeading, FILED, LABEL_BYTES, TRAY_BYTES};
use bevelbook_core::prescription::{Eye, Wanted};
use bevelbook_core::record::{Cause, JobId};
use bevelbook_core::sizing::{Refusal, Rim};
use heapless::{String, Vec};

/// How many jobs of the console can be chosen.
pub(super) const CARDS: usize = 12;

/// How many jobs that were opened here can be chosen.
pub(super) const OWN_JOBS: usize = 4;

/// The most jobs that can be chosen from.
pub(super) const JOBS: usize = CARDS + OWN_JOBS;

/// Behind every day on which a job is due.
const NO_DUE: u16 = BEHIND - 1;
/// What is done comes behind what is not.
const BEHIND: u16 = 1 << 15;

/// A job to choose, in as few bytes as it takes: there are many.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct JobLine {
    pub(super) id: JobId,
    /// Its number for people; 0 where it has no order.
    number: u32,
    label: String<LABEL_BYTES, u8>,
    tray: String<TRAY_BYTES, u8>,
    /// By when: days from 2000-01-01, [`NO_DUE`] where nobody says; [`BEHIND`] those where nothing is left to do.
    due: u16,
    /// Jobs that are filed under it; itself where there are fewer.
    filed: [JobId; FILED],
}

impl JobLine {
    /// A job opened here, of which no card tells.
    pub(super) const fn own(id: JobId) -> Self {
        Self { id, number: 0, label: String::new(), tray: String::new(), due: NO_DUE, filed: [id; FILED] }
    }

    /// A job as its card says first.
    pub(super) fn new(id: JobId, heading: &CardHeading, done: bool) -> Self {
        let due = heading.due.map_or(NO_DUE, |days| days.min(NO_DUE));
        let behind = if done { BEHIND } else { 0 };
        let mut line = Self { number: heading.number, due: due | behind, ..Self::own(id) };
        // They are as long as they may be on the card.
        let _ = line.label.push_str(&heading.label);
        let _ = line.tray.push_str(&heading.tray);
        line.filed.iter_mut().zip(&heading.filed).for_each(|(place, filed)| *place = *filed);
        line
    }

    /// Whether it is that job, or that job is filed under it.
    pub(super) fn stands_for(&self, id: JobId) -> bool {
        self.id == id || self.filed.contains(&id)
    }

    /// Where it stands among the console's jobs: what is done behind, by its due date, by its number, then by its id.
    pub(super) const fn place(&self) -> (u16, u32, JobId) {
        (self.due, if self.number > 0 { self.number } else { u32::MAX }, self.id)
    }

    fn shown(&self) -> Line {
        let Self { number, label, tray, .. } = self;
        if *number == 0 {
            return Line::new(format_args!("walk-in {:04x}", self.id.0 >> 48));
        }
        let done = if self.due < BEHIND { "" } else { " done" };
        let before =
            Line::new(format_args!("{number}{}{tray}{done}", if tray.is_empty() { "" } else { " T" }));
        Line::new(format_args!("{before} {}", shortened(label, &before)))
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
    Read(Eye),
    Order,
    Keys,
    Back,
}

impl Choice {
    /// What is chosen without looking comes first, and what passes something over last.
    const ALL: [Self; 15] = [
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
        Self::Read(Eye::Right),
        Self::Read(Eye::Left),
        Self::Order,
        Self::Keys,
        Self::Skip,
    ];

    /// What can be chosen in `job`: no work on an eye that has no lens, and readings of lenses that the line does not ask for.
    #[inline(never)]
    pub(super) fn offered(job: Option<&OpenJob>) -> Vec<Self, 15> {
        let wanted = |eye: Eye| job.map_or(Wanted::Lens, |job| job.ordered(eye).wanted);
        let offers = |choice: &Self| match *choice {
            Self::NewLens(eye) | Self::GrindAgain(eye) => wanted(eye).is_made(),
            Self::Read(eye) => {
                let lens = job.map(|job| job.state().lens(eye));
                matches!(wanted(eye), Wanted::Balance { .. } | Wanted::Nothing { known: true })
                    || lens.is_some_and(|lens| lens.uncut.is_some() || lens.mounted.is_some())
            }
            Self::Order => job.is_some_and(|job| job.told),
            _ => true,
        };
        Self::ALL.into_iter().filter(offers).collect()
    }

    /// The menu at the first lens that can be made again.
    pub(super) fn remake_in_menu(job: &OpenJob) -> View {
        let remakes = |choice: &Self| matches!(choice, Self::NewLens(_));
        View::Menu(Self::offered(Some(job)).iter().position(remakes).unwrap_or(0))
    }

    const fn words(self) -> &'static str {
        match self {
            Self::Skip => "skip this step",
            Self::OtherJob => "other job",
            Self::NewJob => "walk-in, no order",
            Self::NewLens(Eye::Right) => "remake right",
            Self::NewLens(Eye::Left) => "remake left",
            Self::GrindAgain(Eye::Right) => "recut right",
            Self::GrindAgain(Eye::Left) => "recut left",
            Self::StateDial => "size reads as",
            Self::NewWheel => "new wheel, dressed",
            Self::Recalibrated => "recalibrated",
            Self::Read(Eye::Right) => "read right",
            Self::Read(Eye::Left) => "read left",
            Self::Order => "what is ordered",
            Self::Keys => "what keys do",
            Self::Back => "back",
        }
    }
}

/// How many answers there are to why a lens is made again: that it is not, and each cause.
pub(super) const WHYS: usize = Cause::ALL.len() + 1;

/// What is being asked. One lives in the application, so the largest variant decides and nothing is gained by a heap.
#[derive(Clone, Debug, PartialEq, Eq)]
#[allow(clippy::large_enum_variant, reason = "there is no heap to put the larger ones on")]
pub(super) enum View {
    /// The next step of the job: the application's entry.
    Step,
    /// Which job.
    Jobs { jobs: Vec<JobLine, JOBS>, selected: usize },
    /// What else, by its place in [`Choice::offered`].
    Menu(usize),
    /// What holds the lenses of a new job, by its place in [`Rim::ALL`].
    Rims(usize),
    /// What the dial counts.
    Station(StationEntry),
    /// Whether the eye really is to go on with a new lens, and why.
    Remake { eye: Eye, selected: usize },
    /// Something was said; the centre goes on.
    Notice(Body, Tone),
    /// What was measured is not as it should be: measure it again, or make its lens again.
    Off { said: Body, again: Again },
    /// The guard holds.
    Guard(Refusal),
    /// A page of the memory does not answer, and whether the last record is saved may rest on it.
    Silent { unsettled: bool },
}

impl View {
    /// Asks whether the lens of an eye is to be made again, and why; first it is not.
    pub(super) const fn remake(eye: Eye) -> Self {
        Self::Remake { eye, selected: 0 }
    }

    /// Which eye it is about, over `entry`.
    pub(super) const fn eye(&self, entry: &Entry) -> Option<Eye> {
        match self {
            Self::Step | Self::Guard(_) => entry.eye(),
            Self::Remake { eye, .. } => Some(*eye),
            Self::Off { again: Again { eye, .. }, .. } => *eye,
            _ => None,
        }
    }

    /// Shows it on `screen` over `entry`, of a job of which so many steps are skipped.
    #[inline(never)]
    pub(super) fn show(&self, screen: &mut Screen, entry: &Entry, job: Option<&OpenJob>, skipped: usize) {
        const CHOOSE: Answers = Answers::new("up", "down", "", "", "choose");
        if let (Self::Step, Some(job)) = (self, job) {
            return entry.show(screen, job, skipped);
        }
        (screen.answers, screen.tone) = match self {
            Self::Step => (Answers::default(), Tone::Plain),
            Self::Jobs { jobs, .. } if jobs.is_empty() => (Answers::default(), Tone::Plain),
            Self::Jobs { .. } | Self::Menu(_) | Self::Rims(_) => (CHOOSE, Tone::Plain),
            Self::Station(_) => (StationEntry::ANSWERS, Tone::Plain),
            Self::Remake { .. } => (CHOOSE, Tone::Warning),
            Self::Off { .. } => (finding::OFFERED, Tone::Warning),
            Self::Notice(_, tone) => (Answers::centre("OK"), *tone),
            Self::Silent { .. } => (Answers::centre("again"), Tone::Warning),
            Self::Guard(_) => (Answers::centre("OK"), Tone::Refusal),
        };
        screen.body = match self {
            Self::Step => no_job(),
            Self::Jobs { jobs, .. } if jobs.is_empty() => no_job(),
            Self::Jobs { jobs, selected } => {
                list("which job?", *selected, jobs.len(), &|at| jobs.get(at).map(JobLine::shown))
            }
            Self::Menu(selected) => {
                let offered = Choice::offered(job);
                let item = |at: usize| offered.get(at).map(|choice| Line::new(choice.words()));
                list("what else?", *selected, offered.len(), &item)
            }
            Self::Rims(selected) => {
                let item = |at: usize| Rim::ALL.get(at).map(Line::new);
                list("what holds the lens?", *selected, Rim::ALL.len(), &item)
            }
            Self::Station(entry) => entry.body(),
            Self::Remake { eye, selected } => {
                let title = Line::new(format_args!("remake {eye}, why?"));
                list(title.as_str(), *selected, WHYS, &|at| words::why(at).map(Line::new))
            }
            Self::Off { said: body, .. } | Self::Notice(body, _) => body.clone(),
            Self::Silent { unsettled } => words::silence(*unsettled),
            Self::Guard(refusal) => words::refusal(refusal),
        };
    }
}

fn no_job() -> Body {
    Body::message("no job here", "the console sends\nopen ones; centre\nheld opens one here")
}

/// The part of a list around the chosen item. Once for all lists.
fn list(title: &str, selected: usize, count: usize, item: &dyn Fn(usize) -> Option<Line>) -> Body {
    let first = selected.saturating_sub(LIST_LINES - 1);
    let items: Vec<Line, LIST_LINES> = (first..count).take(LIST_LINES).filter_map(item).collect();
    let more = (first > 0, first + LIST_LINES < count);
    Body::List { title: Line::new(title), items, selected: selected - first, more }
}

/// A frame's label in what room there is behind `before`: the model is cut, and marked as cut, before the size is; where
/// not even the size has room, it is left off.
fn shortened(label: &str, before: &Line) -> Line {
    let room = LIST_COLUMNS.saturating_sub(before.as_str().chars().count() + 1);
    let (model, size) = label.rsplit_once(' ').unwrap_or((label, ""));
    let left = room.saturating_sub(size.chars().count() + 2);
    if label.chars().count() <= room || size.is_empty() {
        return Line::new(label);
    }
    if size.chars().count() + 2 > room {
        return Line::default();
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
        assert_eq!(shortened("Lindgren 7 50-18", &before).as_str(), "Lindg~ 50-18");
        assert_eq!(shortened("Lindgren 7 50-18", &Line::new("4100 T112")).as_str(), "L~ 50-18");
        assert_eq!(shortened("Lindgren 7 50-18", &Line::new("99999 T112 done")).as_str(), "");
    }
}
