//! One model and size: its lenses over time, what was believed of each before it was cut, and what became of it.

use super::lens::LensRow;
use super::{KeptView, at_station, mean, name};
use crate::advice::{Begins, Learned, SizedFrame};
use crate::belief::{Foreseen, Kept};
use crate::view::cells::csv;
use crate::view::chart::Chart;
use crate::view::plan::{COARSE, RungView, chance, expect};
use crate::view::{Figure, listed::clipped};
use crate::work::{FrameKey, SizedJob};
use bevelbook_core::link::plain;
use bevelbook_core::sizing::{Basis, Rim};
use serde::Serialize;
use std::fmt;

/// A model and size.
#[derive(Serialize)]
pub(crate) struct FrameView {
    model: String,
    a_mm: Figure,
    dbl_mm: Figure,
    rim: Rim,
    pub(super) basis: Basis,
    /// The step of the dial.
    pub(super) step_mm: Figure,
    pub(super) lenses: Vec<LensRow>,
    passes_a_lens: Option<Figure>,
    replayed: KeptView,
    /// What the book says now; none where too little is known.
    now: Option<NowView>,
    #[serde(skip)]
    pub(super) name: String,
    /// At which of several stations the book would begin so.
    #[serde(skip)]
    at: Option<String>,
    /// Whether a rim fits between two sizes of the dial.
    #[serde(skip)]
    is_coarse: bool,
}

view! {
    /// How the book would begin with the next frame.
    NowView of (begins: &Begins) {
        first: Vec<RungView> = begins.ladder.rungs().map(RungView::of).collect(),
        passes: Figure = Figure::tenths(begins.tenths.into()),
        undersize_percent: Figure = Figure::share(begins.loose),
        #[serde(skip)]
        expects: String = format!("{}; ends loose: {}", expect(begins.tenths), chance(begins.loose)),
    }
}

impl FrameView {
    pub(crate) fn of(frame: &SizedFrame, jobs: &[SizedJob], learned: &Learned) -> Self {
        let FrameKey { model, a, dbl, rim } = &frame.key;
        let basis = learned.dial.basis;
        let (mut kept, mut lenses) = (Kept::default(), Vec::new());
        for (job, foreseen) in jobs.iter().zip(learned.foreseen(frame)) {
            let counts = learned.looks_at(job.position);
            let foreseen: Vec<Option<Foreseen>> = foreseen.into_iter().flatten().collect();
            for (lens, foreseen) in job.lenses.iter().flatten().zip(foreseen) {
                let tried = lens.tried();
                foreseen.iter().filter(|_| counts).for_each(|foreseen| kept.count(foreseen, &tried));
                lenses.extend(tried.is_cut().then(|| LensRow::of(job, lens, foreseen, learned)));
            }
        }
        let passes: Vec<usize> = lenses.iter().map(|lens| lens.passes).collect();
        Self {
            model: model.trim().to_owned(),
            a_mm: (*a).into(),
            dbl_mm: (*dbl).into(),
            rim: *rim,
            basis,
            step_mm: learned.dial.step.into(),
            passes_a_lens: mean(&passes),
            replayed: KeptView::of(kept),
            now: learned.begins(frame).as_ref().map(NowView::of),
            name: name(&frame.key, 60),
            at: at_station(learned),
            is_coarse: !learned.tells_in(frame.window),
            lenses,
        }
    }

    /// Its lenses as a table for spreadsheets.
    pub(crate) fn csv(&self) -> String {
        let heading = self.lenses.first().map(LensRow::cells).map_or(Vec::new(), |cells| cells.0);
        let heading: Vec<&str> = heading.into_iter().map(|(name, _)| name).collect();
        csv(&heading, self.lenses.iter().map(LensRow::cells))
    }

    /// What was advised and followed, promised and happened.
    pub(super) fn advice_words(&self) -> Vec<String> {
        let sum = |of: fn(&LensRow) -> usize| self.lenses.iter().map(of).sum::<usize>();
        let (advised, followed) = (sum(|lens| lens.advised), sum(|lens| lens.followed));
        let advice = match advised {
            0 => "advice: none recorded beside these passes".to_owned(),
            _ => format!("advice: followed in {followed} of {advised} passes that have it recorded"),
        };
        std::iter::once(advice).chain(self.replayed.to_string().lines().map(str::to_owned)).collect()
    }

    /// What the book says now.
    pub(super) fn now_words(&self) -> String {
        let now = self.at.as_ref().map_or_else(|| "now".to_owned(), |at| format!("now at {at}"));
        let Some(NowView { first, expects, .. }) = &self.now else {
            let why = if self.is_coarse { &format!("{COARSE};\n    ") } else { "too little is known;" };
            return format!("{now}: {why} the shop's first size is cut");
        };
        let Some(RungView { size_mm, much_mm, touch_mm }) = first.first() else {
            return format!("{now}: nothing to advise");
        };
        format!("{now}: cut at {size_mm}; if much too big {much_mm}, if a touch {touch_mm}\n     {expects}")
    }
}

/// The most columns of a plot, and the most of one lens.
const COLUMNS: usize = 60;
const WIDEST: usize = 3;

impl FrameView {
    /// The newest lenses in letters, with their passes below.
    fn drawn(&self) -> Vec<String> {
        let over = self.lenses.len().saturating_sub(COLUMNS);
        let lenses = &self.lenses[over..];
        let wide = (COLUMNS / lenses.len().max(1)).clamp(1, WIDEST);
        let mut chart =
            Chart::over(lenses.iter().flat_map(LensRow::sizes), self.step_mm.number(), wide * lenses.len());
        for (at, lens) in lenses.iter().enumerate() {
            put(&mut chart, at * wide, wide, lens);
        }
        let below = |name: &str, letter: &dyn Fn(&LensRow) -> char| {
            let cells: String = lenses.iter().map(|lens| format!("{:^wide$}", letter(lens))).collect();
            format!("{name:>6}  {}", cells.trim_end())
        };
        let passes = |lens: &LensRow| char::from_digit(lens.passes as u32, 10).unwrap_or('+');
        let spoiled = |lens: &LensRow| if lens.spoiled { 'X' } else { ' ' };
        let mut lines = chart.lines();
        lines.push(below("passes", &passes));
        lines.extend(lenses.iter().any(|lens| lens.spoiled).then(|| below("lost", &spoiled)));
        lines.extend(of_stations(lenses, below));
        lines.push("v too big, | between, o fits, X LOOSE; : largest fit expected, 9 in 10, = mean".into());
        if over > 0 {
            lines.push(format!(
                "the newest {} of {}: --csv and --json have all",
                lenses.len(),
                self.lenses.len()
            ));
        }
        lines
    }
}

/// Where lenses were cut at several stations: which at which, and what those are called.
fn of_stations(lenses: &[LensRow], below: impl Fn(&str, &dyn Fn(&LensRow) -> char) -> String) -> Vec<String> {
    let mut names: Vec<&str> = lenses.iter().filter_map(|lens| lens.station.as_deref()).collect();
    names.sort_unstable();
    names.dedup();
    if names.len() < 2 {
        return Vec::new();
    }
    let number = |lens: &LensRow| {
        let at = names.iter().position(|name| lens.station.as_deref() == Some(*name));
        at.and_then(|at| char::from_digit(at as u32 + 1, 36)).unwrap_or('+')
    };
    let called =
        (1..).zip(&names).map(|(number, name)| format!("{number} {}", plain(name).collect::<String>()));
    let called = called.collect::<Vec<_>>().join(", ");
    vec![below("at", &number), clipped(&format!("at: {called}"), 80)]
}

/// One lens, before what was believed of it.
fn put(chart: &mut Chart, left: usize, wide: usize, lens: &LensRow) {
    let middle = left + wide / 2;
    for column in left..left + wide {
        if let Some([low, high]) = lens.band {
            chart.fill(column, low.number(), high.number(), ':');
        }
        lens.mean.iter().for_each(|mean| chart.put(column, mean.number(), '='));
    }
    let [top, fits, loose] = [lens.too_big, lens.fits, lens.loose].map(|size| size.map(Figure::number));
    if let Some((low, top)) = fits.or(loose).zip(top) {
        chart.fill(middle, low, top, '|');
    }
    for (size, letter) in [(top, 'v'), (fits, 'o'), (loose, 'X')] {
        size.iter().for_each(|size| chart.put(middle, *size, letter));
    }
}

/// So many spoiled lenses are told one by one.
const SPOILED: usize = 5;

impl fmt::Display for FrameView {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let many = self.lenses.len();
        let [first, last] =
            [self.lenses.first(), self.lenses.last()].map(|lens| lens.map_or("", LensRow::day));
        let lenses = if many == 1 { "lens" } else { "lenses" };
        writeln!(f, "{}: {many} {lenses}, {first} to {last}", self.name)?;
        writeln!(f, "sizes on {}, + to the trace, mm\n\n{}\n", self.basis, self.drawn().join("\n"))?;
        let spoiled: Vec<String> = self.lenses.iter().filter_map(LensRow::spoiled_words).collect();
        for lens in spoiled.iter().rev().take(SPOILED).rev() {
            writeln!(f, "{}", clipped(&format!("spoiled: {lens}"), 80))?;
        }
        if spoiled.len() > SPOILED {
            writeln!(f, "and {} earlier ones: --csv has them", spoiled.len() - SPOILED)?;
        }
        write!(f, "{}\n{}", self.advice_words().join("\n"), self.now_words())
    }
}
