//! Models and sizes: where their lenses fitted, in how many passes, and how good what is believed of them was.
//!
//! A size is over the traced shape, on the basis of the station's dial.

mod drawn;
mod lens;
mod list;
mod show;

use super::Figure;
use crate::advice::Learned;
use crate::belief::Kept;
use crate::view::listed::clipped;
use crate::work::FrameKey;
use bevelbook_core::link::plain;
use bevelbook_core::sizing::Rim;
pub(crate) use list::{FramesView, Sort};
pub(crate) use show::FrameView;
use std::fmt;

view! {
    /// Promised against happened.
    pub(crate) KeptView of (kept: Kept) {
        lenses: usize = kept.lenses,
        promised_undersize: Figure = Figure::estimate(kept.promised),
        undersize: usize = kept.happened,
        in_band_percent: Option<Figure> =
            (kept.lenses > 0).then(|| Figure::estimate(100.0 * kept.inside / kept.lenses as f64)),
        #[serde(skip)]
        kept: Kept = kept,
    }
}

impl fmt::Display for KeptView {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Kept { lenses, promised, happened, .. } = self.kept;
        let promised = match promised {
            none if none < 1e-6 => "no lens".to_owned(),
            some => format!("1 in {}", Figure::estimate((lenses as f64 / some).max(1.0)).to(0, 0)),
        };
        write!(f, "undersize: promised {promised}, happened {happened} of {lenses}")?;
        self.in_band_percent.map_or(Ok(()), |inside| {
            write!(f, "\nfitted in its 9-in-10 band: {} % of these lenses", inside.to(0, 0))
        })
    }
}

/// At which of several stations.
fn at_station(learned: &Learned) -> Option<String> {
    let name: String = plain(learned.stations.told(learned.station)?).collect();
    Some(clipped(&name, 20))
}

/// A mean of counts; none of none.
fn mean(counts: &[usize]) -> Option<Figure> {
    Figure::mean(counts.iter().sum::<usize>() as u64, counts.len() as u64)
}

/// A model, its size, and what holds its lens where that is no metal rim, in at most so many letters.
pub(crate) fn name(key: &FrameKey, most: usize) -> String {
    let rim = if key.rim == Rim::Metal { String::new() } else { format!(" {}", key.rim) };
    let size = format!(" {}{rim}", size(key));
    clipped(key.model.trim(), most.saturating_sub(size.chars().count())) + &size
}

/// A size as the trade writes it.
pub(crate) fn size(key: &FrameKey) -> String {
    let [a, dbl] = [key.a, key.dbl].map(|length| Figure::from(length).to(0, 1));
    format!("{a}□{dbl}")
}
