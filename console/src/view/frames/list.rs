//! Every model and size, a line each.

use super::{KeptView, at_station, mean, name};
use crate::advice::{Learned, SizedFrame};
use crate::belief::{Kept, Tried};
use crate::view::Figure;
use crate::view::listed::aligned;
use crate::work::FrameKey;
use bevelbook_core::sizing::{Basis, Rim};
use serde::Serialize;
use std::cmp::Reverse;
use std::fmt;

/// What comes first.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, clap::ValueEnum)]
pub(crate) enum Sort {
    /// The model of which the most lenses were cut.
    #[default]
    Use,
    /// Models by their letters.
    Model,
    /// The model that takes the most passes a lens lately.
    Passes,
    /// The model of which the most lenses went undersize.
    Spoiled,
}

/// So many are shown, unless all are asked for.
const ROWS: usize = 20;
/// The first lenses of a model, and the last.
const FIRST: usize = 3;
const LATELY: usize = 10;

/// Models and sizes.
#[derive(Serialize)]
#[serde(transparent)]
pub(crate) struct FramesView {
    rows: Vec<Row>,
    #[serde(skip)]
    more: usize,
    #[serde(skip)]
    kept: Kept,
    /// At which of several stations.
    #[serde(skip)]
    at: Option<String>,
}

view! {
    /// A model and size.
    Row of (frame: &SizedFrame, learned: Option<&Learned>, kept: Kept) with {
        let FrameKey { model, a, dbl, rim } = &frame.key;
        let basis = learned.map_or(Basis::Diameter, |learned| learned.dial.basis);
        let passes: Vec<usize> = frame.lenses().map(Tried::passes).collect();
        let first = &passes[..passes.len().min(FIRST)];
        let begins = learned.and_then(|learned| learned.begins(frame));
    } {
        model: String = model.trim().to_owned(),
        a_mm: Figure = (*a).into(),
        dbl_mm: Figure = (*dbl).into(),
        rim: Rim = *rim,
        lenses: usize = passes.len(),
        basis: Basis = basis,
        /// The least and the largest size at which one fitted: at the station that is here, where it is known which; else at any.
        fitted_mm: Option<[Figure; 2]> =
            frame.fitted(basis, learned.map(|learned| learned.station)).map(|sizes| sizes.map(|size| Figure::from(size).to(2, 3).signed())),
        passes_first_three: Option<Figure> = mean(first),
        /// Of its last ten lenses, the first three apart.
        passes_lately: Option<Figure> = mean(lately(&passes)),
        undersize: usize = frame.lenses().filter(|tried| tried.is_loose()).count(),
        /// What the book would cut first by now, and how many passes it expects.
        cut_first_mm: Option<Figure> = begins
            .as_ref()
            .and_then(|begins| begins.ladder.first())
            .map(|size| Figure::from(size).to(2, 3).signed()),
        expected_passes: Option<Figure> = begins.as_ref().map(|begins| Figure::tenths(begins.tenths.into())),
        replayed: KeptView = KeptView::of(kept),
        #[serde(skip)]
        name: String = name(&frame.key, NAME),
    }
}

impl FramesView {
    pub(crate) fn of(frames: &[SizedFrame], learned: Option<&Learned>, sort: Sort, all: bool) -> Self {
        let kept = |frame: &SizedFrame| learned.map_or(Kept::default(), |learned| learned.kept(frame));
        let mut sum = Kept::default();
        let mut kept: Vec<(&SizedFrame, Kept)> = frames.iter().map(|frame| (frame, kept(frame))).collect();
        kept.iter().for_each(|(_, of_one)| sum.join(*of_one));
        kept.sort_by_cached_key(|(frame, _)| place(frame, sort));
        let shown = if all { kept.len() } else { kept.len().min(ROWS) };
        let rows = kept[..shown].iter().map(|(frame, of_one)| Row::of(frame, learned, *of_one)).collect();
        Self { rows, more: kept.len() - shown, kept: sum, at: learned.and_then(at_station) }
    }

    pub(crate) const fn is_empty(&self) -> bool {
        self.rows.is_empty()
    }
}

/// Passes of the last lenses behind the first ones.
fn lately(passes: &[usize]) -> &[usize] {
    let later = &passes[passes.len().min(FIRST)..];
    &later[later.len().saturating_sub(LATELY)..]
}

/// Where a frame stands among the others.
fn place(frame: &SizedFrame, sort: Sort) -> (Reverse<usize>, String, i32) {
    let count = match sort {
        Sort::Use => frame.lenses().count(),
        Sort::Model => 0,
        Sort::Spoiled => frame.lenses().filter(|tried| tried.is_loose()).count(),
        Sort::Passes => {
            let passes: Vec<usize> = frame.lenses().map(Tried::passes).collect();
            let lately = lately(&passes);
            lately.iter().sum::<usize>() * 1000 / lately.len().max(1)
        }
    };
    (Reverse(count), frame.key.model.trim().to_lowercase(), frame.key.a.milli())
}

/// Room for the name of a row.
const NAME: usize = 22;

impl Row {
    fn cells(&self) -> [String; 7] {
        let shown = |figure: Option<Figure>| figure.map_or("-".to_owned(), |figure| figure.to_string());
        let fitted = match self.fitted_mm {
            Some([least, most]) if least == most => least.to_string(),
            Some([least, most]) => format!("{least} to {most}"),
            None => "-".to_owned(),
        };
        let undersize = if self.undersize == 0 { "-".into() } else { self.undersize.to_string() };
        let [first, lately] = [self.passes_first_three, self.passes_lately].map(shown);
        [
            self.name.clone(),
            self.lenses.to_string(),
            fitted,
            first,
            lately,
            undersize,
            shown(self.cut_first_mm),
        ]
    }
}

impl fmt::Display for FramesView {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Some(Row { basis, .. }) = self.rows.first() else { return Ok(()) };
        let mut rows = vec![
            ["model and size", "lenses", "fitted", "first 3", "lately", "loose", "cut at"].map(str::to_owned),
        ];
        rows.extend(self.rows.iter().map(Row::cells));
        let lines = aligned(&rows, [NAME, 6, 16, 7, 6, 5, 6]);
        writeln!(f, "{}", lines.join("\n"))?;
        if self.more > 0 {
            writeln!(f, "and {} more with less: --all", self.more)?;
        }
        let at = self.at.as_ref().map_or_else(String::new, |at| format!(", at {at}"));
        writeln!(f, "\nSizes on {basis}, + to the trace{at}.")?;
        writeln!(f, "first 3, lately: passes a lens, first three and last ten lenses, without those")?;
        write!(f, "that were stopped early; cut at: what the book would cut first now.")?;
        if self.kept.lenses > 0 {
            write!(f, "\n\n{}", KeptView::of(self.kept))?;
        }
        Ok(())
    }
}
