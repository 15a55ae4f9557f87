//! What the station's dial counts, and how far the station is off.

use super::chart::Chart;
use super::{Figure, minute};
use crate::advice::{Course, From, NINE_IN_TEN, Since};
use crate::belief::Offset;
use crate::work::{Stations, dial_words};
use bevelbook_core::link::plain;
use bevelbook_core::record::{StationEvent, StationId};
use bevelbook_core::sizing::{Basis, Counting, Dial, Size};
use jiff::Timestamp;
use serde::Serialize;
use std::fmt;

view! {
    /// What a figure of a dial counts.
    pub(crate) CountingView of (stated: Counting) with {
        let (name, from) = match stated {
            Counting::Absolute => ("absolute", None),
            Counting::TakeOff { from } => ("take-off", Some(from.into())),
        };
    } {
        counting: &'static str = name,
        take_off_from_mm: Option<Figure> = from,
    }
}

view! {
    /// A dial.
    pub(crate) DialView of (stated: Dial) {
        basis: Basis = stated.basis,
        #[serde(flatten)]
        counting: CountingView = CountingView::of(stated.counting),
        step_mm: Figure = stated.step.into(),
        #[serde(skip)]
        dial: Dial = stated,
    }
}

impl fmt::Display for DialView {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let step = Size { basis: self.basis, offset: self.dial.step };
        let [radius, diameter, girth] = Basis::ALL.map(|basis| step.on(basis));
        let words = dial_words(&self.dial);
        write!(
            f,
            "{words}\n  one step is {radius} mm of radius, {diameter} mm of diameter, {girth} mm of girth"
        )
    }
}

view! {
    /// Something that happened to the station.
    pub(crate) SinceView of (since: Since) {
        at: Option<Timestamp> = since.at,
        lenses_since: usize = since.lenses,
    }
}

impl fmt::Display for SinceView {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let day = self.at.map_or("undated".into(), |at| minute(at).chars().take(10).collect::<String>());
        write!(f, "{day}, {} in full rims since", many(self.lenses_since, "lens", "lenses"))
    }
}

view! {
    /// An offset, positive where lenses end smaller than on a fresh station, and within what it lies nine times in ten.
    pub(crate) OffsetView of (offset: Offset) {
        smaller_mm: Figure = Figure::about(offset.mean),
        within_mm: Figure = Figure::about(NINE_IN_TEN * offset.deviation).up(),
    }
}

view! {
    /// How the sizes of a station lie beside those of another one, apart from what its wheel wears.
    BesideView of (other: &str, offset: Offset) {
        station: String = other.to_owned(),
        #[serde(flatten)]
        offset: OffsetView = OffsetView::of(offset),
    }
}

impl fmt::Display for BesideView {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let OffsetView { smaller_mm, within_mm } = &self.offset;
        let (by, station) = (smaller_mm.abs(), plain(&self.station).collect::<String>());
        write!(f, "beside that {by} mm {} than at {station}; known to ±{within_mm}", way(smaller_mm))
    }
}

/// The station.
#[derive(Serialize)]
pub(crate) struct StationView {
    /// Which of several.
    #[serde(skip_serializing_if = "Option::is_none")]
    station: Option<String>,
    dial: DialView,
    wheel: Option<SinceView>,
    recalibrated: Option<SinceView>,
    /// None where too little is known.
    offset: Option<OffsetView>,
    offset_past_limit: bool,
    jobs_since: usize,
    /// What its sizes always had beside those of another one; none where it is the one beside which the others lie, or too
    /// little is known.
    #[serde(skip_serializing_if = "Option::is_none")]
    beside: Option<BesideView>,
    #[serde(skip)]
    course: Course,
}

impl StationView {
    pub(crate) fn of(dial: Dial, course: Course, stations: &Stations, station: StationId) -> Self {
        let beside = course.beside.map(|(other, offset)| BesideView::of(stations.name(other), offset));
        Self {
            station: stations.told(station).map(str::to_owned),
            beside,
            dial: DialView::of(dial),
            wheel: course.wheel.map(SinceView::of),
            recalibrated: course.recalibrated.map(SinceView::of),
            offset: course.now.map(OffsetView::of),
            offset_past_limit: course.is_past,
            jobs_since: course.jobs,
            course,
        }
    }

    /// How far it is off, in words.
    pub(crate) fn offset_words(&self) -> String {
        let than = match self.course.from {
            From::Fresh => "on a fresh station".to_owned(),
            From::Book => "when the book began".to_owned(),
            From::Jobs(many) => format!("{many} jobs ago"),
        };
        match &self.offset {
            // Nothing that shows is no way.
            Some(OffsetView { smaller_mm, within_mm }) if smaller_mm.abs().to_string() == "0.00" => {
                format!("lenses end as {than}; known to ±{within_mm}")
            }
            Some(OffsetView { smaller_mm, within_mm }) => format!(
                "lenses end {} mm {} on diameter than {than}; known to ±{within_mm}",
                smaller_mm.abs(),
                way(smaller_mm),
            ),
            None => format!(
                "too little is known: {} since then, and only models that come back tell of it",
                many(self.jobs_since, "job", "jobs")
            ),
        }
    }

    /// How far it is off, in a line of the day.
    pub(crate) fn in_short(&self) -> Option<String> {
        let OffsetView { smaller_mm, .. } = self.offset.as_ref()?;
        let (at, which) = match &self.station {
            Some(station) => (format!("{} ", plain(station).collect::<String>()), " --all"),
            None => (String::new(), ""),
        };
        let words = format!("{at}off by {} mm, lenses end {}", smaller_mm.abs(), way(smaller_mm));
        Some(format!("{words}: bevelbook station{which}"))
    }

    /// What can be done about it, once it is past the shop's limit.
    pub(crate) fn remark(&self) -> Option<&'static str> {
        self.offset_past_limit.then_some(
            "the station is off: dress or renew the wheel, or recalibrate, and log it with\n\
             bevelbook station new-wheel, or recalibrated",
        )
    }
}

fn way(smaller: &Figure) -> &'static str {
    if smaller.signum() < 0 { "larger" } else { "smaller" }
}

fn many(many: usize, one: &str, more: &str) -> String {
    format!("{many} {}", if many == 1 { one } else { more })
}

impl fmt::Display for StationView {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let since = |since: &Option<SinceView>, command: &str| {
            since
                .as_ref()
                .map_or(format!("not logged yet: bevelbook station {command}"), SinceView::to_string)
        };
        if let Some(station) = &self.station {
            writeln!(f, "station {}", plain(station).collect::<String>())?;
        }
        writeln!(f, "{}", self.dial)?;
        writeln!(f, "new wheel     {}", since(&self.wheel, "new-wheel"))?;
        writeln!(f, "recalibrated  {}", since(&self.recalibrated, "recalibrated"))?;
        write!(f, "{}", self.offset_words())?;
        self.beside.iter().try_for_each(|beside| write!(f, "\n{beside}"))?;
        if self.offset.is_some() {
            write!(f, "\n\n{}", drawn(&self.course).join("\n"))?;
        }
        self.remark().map_or(Ok(()), |remark| write!(f, "\n\n{remark}"))
    }
}

/// One of several stations in a list; what is known of it once its dial is stated.
#[derive(Serialize)]
pub(crate) struct StationRow {
    pub(crate) station: String,
    pub(crate) known: Option<StationView>,
}

impl fmt::Display for StationRow {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        writeln!(f, "station {}", plain(&self.station).collect::<String>())?;
        let Some(known) = &self.known else { return write!(f, "its dial is not stated yet") };
        let since = |what: &str, since: &Option<SinceView>| {
            since.as_ref().map_or_else(String::new, |since| format!("\n{what} {since}"))
        };
        let (wheel, again) = (since("new wheel", &known.wheel), since("recalibrated", &known.recalibrated));
        write!(f, "{}{wheel}{again}\n{}", dial_words(&known.dial.dial), known.offset_words())?;
        known.beside.iter().try_for_each(|beside| write!(f, "\n{beside}"))
    }
}

/// The most columns of a course.
const COLUMNS: usize = 60;

/// The course in letters, at most so many jobs to a column.
fn drawn(course: &Course) -> Vec<String> {
    let last = course.offsets.len() - 1;
    let columns = course.offsets.len().min(COLUMNS);
    let column = |job: usize| job * (columns - 1) / last.max(1);
    let band = |offset: &Offset| [-1.0, 1.0].map(|way| offset.mean + way * NINE_IN_TEN * offset.deviation);
    let mut chart = Chart::over(course.offsets.iter().flat_map(band), 0.01, columns);
    for (job, offset) in course.offsets.iter().enumerate() {
        let [low, high] = band(offset);
        chart.clear(column(job));
        chart.fill(column(job), low, high, ':');
        chart.put(column(job), offset.mean, '*');
    }
    for (event, before) in &course.fresh {
        let letter = if *event == StationEvent::NewWheel { 'W' } else { 'R' };
        chart.mark(column((*before).min(last)), letter);
    }
    let mut lines = vec!["mm smaller on diameter (* offset, : within, 9 times in 10)".to_owned()];
    lines.extend(chart.lines());
    lines.push(format!("       {} ago to now; W new wheel, R recalibrated", many(last, "job", "jobs")));
    lines
}

#[cfg(test)]
mod tests {
    use super::*;
    use bevelbook_core::units::Length;

    #[test]
    fn one_step_is_shown_on_every_basis() {
        let dial =
            Dial { basis: Basis::Diameter, counting: Counting::Absolute, step: Length::from_milli(100) };
        let text = DialView::of(dial).to_string();
        assert!(text.ends_with("0.05 mm of radius, 0.1 mm of diameter, 0.314 mm of girth"), "{text}");
    }
}
