//! A day: what is due, what waits and for what, what was done, on one screen.

use super::listed::{aligned, clipped};
use super::{JobView, MissingNumbers, Names, StationView};
use crate::desk::Remake;
use crate::work::{LastBackup, Spoiled, job_code};
use bevelbook_core::prescription::Eye;
use jiff::Timestamp;
use jiff::civil::{Date, DateTime};
use jiff::tz::TimeZone;
use serde::Serialize;
use std::fmt;

/// Who makes the backups of a book that a server keeps.
pub(crate) const BY_SERVER: &str = "with its server, by whoever looks after that";

/// A day.
#[derive(Serialize)]
pub(crate) struct DayView {
    pub(crate) date: Date,
    #[serde(flatten)]
    pub(crate) open: OpenLists,
    /// Closed on this day.
    pub(crate) closed: Vec<JobView>,
    /// Opened at a keypad, and without an order yet.
    pub(crate) walk_ins: Vec<WalkIn>,
    /// Spoiled on this day.
    pub(crate) spoiled: Vec<SpoiledView>,
    pub(crate) keypads: Vec<KeypadSeen>,
    pub(crate) last_backup: LastBackup,
    /// Where it is off by more than the shop lets pass.
    pub(crate) station_off: Option<StationView>,
    /// Of several stations those that are off.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub(crate) stations_off: Vec<StationView>,
    /// For people alone.
    #[serde(skip)]
    pub(crate) names: Names,
}

/// The open jobs, each in one list, the soonest due first.
#[derive(Default, Serialize)]
pub(crate) struct OpenLists {
    /// Promised for an earlier day, and not signed off.
    overdue: Vec<JobView>,
    /// Promised for this day, and not signed off.
    due: Vec<JobView>,
    waiting: Vec<JobView>,
    /// At the bench, or done there and to be inspected.
    in_work: Vec<JobView>,
    /// Signed off, to be handed over.
    ready: Vec<JobView>,
}

impl OpenLists {
    pub(crate) fn of(date: Date, mut jobs: Vec<JobView>) -> Self {
        jobs.sort_by_key(JobView::urgency);
        let mut lists = Self::default();
        for job in jobs {
            let list = match (job.state, job.due) {
                ("signed-off", _) => &mut lists.ready,
                (_, Some(due)) if due < date => &mut lists.overdue,
                (_, Some(due)) if due == date => &mut lists.due,
                ("waiting", _) => &mut lists.waiting,
                _ => &mut lists.in_work,
            };
            list.push(job);
        }
        lists
    }

    /// Each with its name, the most urgent first.
    fn each(&self) -> [(&'static str, &[JobView]); 5] {
        [
            ("overdue", &self.overdue),
            ("due today", &self.due),
            ("waiting", &self.waiting),
            ("in work", &self.in_work),
            ("ready", &self.ready),
        ]
    }
}

/// A job that was opened at a keypad.
#[derive(Serialize)]
pub(crate) struct WalkIn {
    pub(crate) id: String,
    pub(crate) records: usize,
}

view! {
    /// A lens that was spoiled.
    pub(crate) SpoiledView of (number: u32, spoiled: Spoiled<'_>) {
        job: u32 = number,
        eye: Eye = spoiled.lens.eye,
        lens: u8 = spoiled.lens.number,
        /// Why, and who is charged; none as long as nobody told.
        told: Option<Remake> = spoiled.told.cloned(),
    }
}

/// What the book knows of a keypad: nothing of what waits on it.
#[derive(Serialize)]
pub(crate) struct KeypadSeen {
    pub(crate) keypad: String,
    /// At which of several it stands.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) station: Option<String>,
    /// When the last of its records that are here was logged.
    pub(crate) last_record: Option<Timestamp>,
    pub(crate) gaps: Vec<MissingNumbers>,
}

/// How many lines there are, the next prompt apart.
const SCREEN: usize = 23;

/// How many columns there are.
const WIDTH: usize = 80;

/// How wide the names of lists are.
const NAME: usize = 11;

impl DayView {
    fn heading(&self) -> String {
        let lists = self.open.each();
        let open: usize = lists.iter().map(|(_, jobs)| jobs.len()).sum();
        let out = lists.iter().flat_map(|(_, jobs)| *jobs).filter(|job| job.out).count();
        let out = if out > 0 { format!(", {out} OUT") } else { String::new() };
        let open = if open == 0 { "no job is open".into() } else { format!("{open} open{out}") };
        format!("{}: {open}", self.date.strftime("%A %-d %B %Y"))
    }

    /// The open jobs in at most `room` lines. Every list is cut alike where they are too long, what is due half as soon.
    fn lines(&self, room: usize) -> Vec<String> {
        let most_of = |at: usize, most: usize| if at < 2 { 2 * most } else { most };
        let lists = self.open.each();
        let fits = |most: &usize| {
            let each = lists.iter().enumerate().map(|(at, (_, jobs))| jobs.len().min(most_of(at, *most)));
            each.sum::<usize>() <= room
        };
        let most = (1..=room).rev().find(fits).unwrap_or(1);
        let mut rows: Vec<[String; 5]> = Vec::new();
        let mut cut = Vec::new();
        for (at, (name, jobs)) in lists.into_iter().enumerate() {
            let most = most_of(at, most);
            let shown = if jobs.len() <= most { jobs.len() } else { most - 1 };
            rows.extend(jobs.iter().take(shown).map(|job| self.row(job)));
            cut.push((name, shown, jobs.len() - shown));
        }
        let columns = WIDTH - NAME - 1;
        let mut rows = aligned(&rows, [6, 6, 16, 6, WIDTH]).into_iter();
        let mut open = Vec::new();
        for (name, shown, more) in cut {
            let name = |first: bool| if first { name } else { "" };
            let jobs = rows.by_ref().take(shown).enumerate();
            open.extend(jobs.map(|(at, row)| format!("{:<NAME$} {}", name(at == 0), clipped(&row, columns))));
            if more > 0 {
                open.push(format!("{:<NAME$} and {more} more: bevelbook job list", name(shown == 0)));
            }
        }
        open
    }

    fn row(&self, job: &JobView) -> [String; 5] {
        let due = job.due.map_or(String::new(), |due| due.strftime("%-d %b").to_string());
        [job_code(job.job), tray(job), self.names.of(job), due, job.status.clone()]
    }

    /// What stands below the jobs, a line each.
    fn below(&self) -> Vec<String> {
        let several = |name: &str, said: Vec<String>| {
            let line = format!("{name:<NAME$} {}", said.join("; "));
            (!said.is_empty()).then(|| clipped(&line, WIDTH))
        };
        let closed = |job: &JobView| format!("{} {}: {}", job_code(job.job), self.names.of(job), job.status);
        let walk_in = |own: &WalkIn| {
            format!("{:.4}, {} records: bevelbook job attach {:.4} JOB", own.id, own.records, own.id)
        };
        let last = match self.last_backup {
            LastBackup::None => "none yet: bevelbook book backup".into(),
            LastBackup::At(at) => short(at),
            LastBackup::WithServer => BY_SERVER.into(),
        };
        let below = [
            several("closed", self.closed.iter().map(closed).collect()),
            several("walk-in", self.walk_ins.iter().map(walk_in).collect()),
            several("spoiled", self.spoiled.iter().map(SpoiledView::to_string).collect()),
            several(
                "station",
                self.station_off.iter().chain(&self.stations_off).filter_map(StationView::in_short).collect(),
            ),
            several("keypad", self.keypads.iter().map(KeypadSeen::to_string).collect()),
            several("backup", vec![last]),
        ];
        below.into_iter().flatten().collect()
    }
}

impl fmt::Display for DayView {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let below = self.below();
        // The heading, and an empty line behind it and behind the jobs.
        let open = self.lines(SCREEN.saturating_sub(below.len() + 3));
        writeln!(f, "{}", self.heading())?;
        open.iter().try_for_each(|line| write!(f, "\n{line}"))?;
        let gap = if open.is_empty() { "" } else { "\n" };
        write!(f, "{gap}\n{}", below.join("\n"))
    }
}

impl fmt::Display for SpoiledView {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {} lens {}: ", job_code(self.job), self.eye, self.lens)?;
        match &self.told {
            Some(remake) => write!(f, "{}, {}", remake.cause.words(), remake.bearer.words()),
            None => f.write_str("cause not told"),
        }
    }
}

impl fmt::Display for KeypadSeen {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let zoned = self.last_record.map(|at| at.to_zoned_datetime(TimeZone::system()).datetime());
        let last = zoned.map_or("no record yet".into(), |at| format!("last record {}", short(at)));
        let at = self.station.as_ref().map_or_else(String::new, |station| format!(" at {station}"));
        write!(f, "{}{at}: {last}", self.keypad)?;
        let missing = self.gaps.iter().map(|MissingNumbers { from, to }| to - from + 1).sum::<u32>();
        if missing > 0 { write!(f, ", {missing} records MISSING") } else { Ok(()) }
    }
}

/// The tray as the keypad writes it.
fn tray(job: &JobView) -> String {
    job.tray.as_ref().map_or(String::new(), |tray| format!("T{tray}"))
}

fn short(at: DateTime) -> String {
    at.strftime("%-d %b %H:%M").to_string()
}
