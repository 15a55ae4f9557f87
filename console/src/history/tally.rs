//! What many jobs add up to, in groups.

use super::done::{Done, Lost};
use crate::desk::Bearer;
use crate::work::{Job, Uncaused};
use bevelbook_core::record::Flow;
use jiff::{SignedDuration, civil::Date, tz::TimeZone};
use std::collections::BTreeMap;

/// What the history is grouped by.
#[derive(Clone, Copy, Debug, PartialEq, Eq, clap::ValueEnum)]
pub enum By {
    /// Each day on which something was done.
    Day,
    /// Each month.
    Month,
    /// Each model of frame.
    Frame,
    /// Each lens material.
    Material,
    /// Spoiled lenses by why they were spoiled.
    Cause,
    /// Everything together.
    Total,
}

impl By {
    /// Whether its groups follow each other in time.
    #[must_use]
    pub const fn is_in_time(self) -> bool {
        matches!(self, Self::Day | Self::Month)
    }
}

/// As it is typed and listed.
#[must_use]
pub fn typed(value: &impl clap::ValueEnum) -> String {
    value.to_possible_value().map_or(String::new(), |value| value.get_name().to_owned())
}

/// The days that are looked at, both ends among them; what is of no known day is in none that has an end.
#[derive(Clone, Copy, Debug, Default)]
pub struct Period {
    /// The first.
    pub since: Option<Date>,
    /// The last.
    pub until: Option<Date>,
}

impl Period {
    /// Whether every day is in it, one that is not known too.
    #[must_use]
    pub const fn is_all(self) -> bool {
        self.since.is_none() && self.until.is_none()
    }

    fn has(self, day: Option<Date>) -> bool {
        let within =
            |day| self.since.is_none_or(|since| since <= day) && self.until.is_none_or(|until| day <= until);
        day.map_or(self.is_all(), within)
    }
}

/// Who can bear a spoiled lens.
pub const BEARERS: [Bearer; 4] = [Bearer::Shop, Bearer::Supplier, Bearer::Prescriber, Bearer::Customer];

/// What the jobs of a group add up to.
#[derive(Clone, Debug, Default)]
pub struct Group {
    /// What is common to it, as it was written first; none where that is not known.
    pub name: Option<String>,
    /// Pairs that were finished.
    pub pairs: u64,
    /// How long each of them was in hand of which that is known.
    pub times: Vec<SignedDuration>,
    /// Lenses that came to fit.
    pub fitted: u64,
    /// Those of them that fitted at their first pass.
    pub first_try: u64,
    /// The passes that all of them took.
    pub passes: u64,
    /// Spoiled lenses by who bears them, in the order of [`BEARERS`].
    pub borne: [u64; BEARERS.len()],
    /// Spoiled lenses of which nobody told who bears them.
    pub unborne: u64,
}

impl Group {
    /// All lenses that were spoiled.
    #[must_use]
    pub fn spoiled(&self) -> u64 {
        self.borne.iter().sum::<u64>() + self.unborne
    }

    /// The median of the times that are known: of an even number of them the middle of the middle two.
    #[must_use]
    pub fn median(&self) -> Option<SignedDuration> {
        let mut times = self.times.clone();
        times.sort_unstable();
        let [low, high] = [times.len().checked_sub(1)? / 2, times.len() / 2].map(|at| times[at]);
        Some((low + high) / 2)
    }

    fn lose(&mut self, lost: &Lost) {
        match lost.bearer.and_then(|bearer| BEARERS.iter().position(|one| *one == bearer)) {
            Some(bearer) => self.borne[bearer] += 1,
            None => self.unborne += 1,
        }
    }
}

/// What stands in a group's place among the others: what is not known comes last.
type Place = (bool, String);

/// The sums, one job after the other.
#[derive(Clone, Debug)]
pub struct Tally {
    by: By,
    period: Period,
    flow: Flow,
    zone: TimeZone,
    groups: BTreeMap<Place, Group>,
    /// Everything.
    pub all: Group,
    /// The spoiled lenses of which no desk told why and who bears them.
    pub uncaused: Vec<Uncaused>,
    /// How many pairs and lenses were left out of a period since no day is known of them.
    pub undated: u64,
}

impl Tally {
    /// Nothing yet, in a shop that goes along the line like this.
    #[must_use]
    pub fn new(by: By, period: Period, flow: Flow, zone: TimeZone) -> Self {
        let (groups, all) = (BTreeMap::new(), Group::default());
        Self { by, period, flow, zone, groups, all, uncaused: Vec::new(), undated: 0 }
    }

    /// Adds what one job adds.
    pub fn add(&mut self, job: &Job) {
        let Done { pair, fitted, lost } = Done::of(job, self.flow, &self.zone);
        if let Some(pair) = pair {
            self.count(job, pair.day, None, |group| {
                group.pairs += 1;
                group.times.extend(pair.time);
            });
        }
        for lens in fitted {
            self.count(job, lens.day, None, |group| {
                group.fitted += 1;
                group.first_try += u64::from(lens.passes == 1);
                group.passes += u64::from(lens.passes);
            });
        }
        for lens in lost {
            self.count(job, lens.day, Some(&lens), |group| group.lose(&lens));
        }
    }

    /// The groups: by their names, what is not known last.
    #[must_use]
    pub fn groups(&self) -> Vec<&Group> {
        if self.by == By::Total { vec![&self.all] } else { self.groups.values().collect() }
    }

    /// Adds something of `job` and of a day to everything and to its group.
    fn count(&mut self, job: &Job, day: Option<Date>, lost: Option<&Lost>, add: impl Fn(&mut Group)) {
        if !self.period.has(day) {
            self.undated += u64::from(day.is_none());
            return;
        }
        self.uncaused.extend(lost.and_then(|lost| lost.ask));
        add(&mut self.all);
        let name = match (self.by, lost) {
            (By::Day, _) => day.map(|day| day.to_string()),
            (By::Month, _) => day.map(|day| day.strftime("%Y-%m").to_string()),
            (By::Frame, _) => Some(job.order.frame.model.trim().to_owned()),
            (By::Material, _) => Some(job.order.lens.material.clone()),
            (By::Cause, Some(lost)) => lost.cause.map(|cause| cause.name().to_owned()),
            (By::Cause, None) | (By::Total, _) => return,
        };
        let name = name.filter(|name| !name.is_empty());
        let place = (name.is_none(), name.as_deref().unwrap_or_default().to_lowercase());
        add(self.groups.entry(place).or_insert_with(|| Group { name, ..Group::default() }));
    }
}
