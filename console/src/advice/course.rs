//! How far the station is off, as the lenses tell that were sized on it.

use super::learned::{Lately, mm};
use crate::belief::{Drift, Offset, Wheel};
use crate::work::{Epoch, Work, WorkError};
use bevelbook_core::record::{StationEvent, StationId};
use jiff::Timestamp;

/// The course of a station.
#[derive(Clone, Debug)]
pub struct Course {
    /// Its last new wheel.
    pub wheel: Option<Since>,
    /// When it was recalibrated last, or its wheel dressed.
    pub recalibrated: Option<Since>,
    /// What its offset counts from.
    pub from: From,
    /// How many jobs that are told of were sized since then.
    pub jobs: usize,
    /// Its offset now; none where too little is known.
    pub now: Option<Offset>,
    /// What its sizes always had beside those of another station, and of which; none where it is the one beside which the others
    /// lie, or too little is known.
    pub beside: Option<(StationId, Offset)>,
    /// Whether that is more than the shop lets pass.
    pub is_past: bool,
    /// The offset before each of its newest jobs, oldest first, and at the end that of now, as far as it is known.
    pub offsets: Vec<Offset>,
    /// What made it fresh, each with how many of those jobs came before it.
    pub fresh: Vec<(StationEvent, usize)>,
}

/// Something that happened to the station.
#[derive(Clone, Copy, Debug)]
pub struct Since {
    /// When, where that is known.
    pub at: Option<Timestamp>,
    /// How many lenses came to an end since, in rims that close round them.
    pub lenses: usize,
}

/// What an offset counts from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum From {
    /// A new wheel, or a station that was recalibrated.
    Fresh,
    /// The first lens of the book.
    Book,
    /// So many jobs ago: what was before is not looked at.
    Jobs(usize),
}

/// Of fewer jobs nothing is told.
const LEAST: usize = 5;

/// Half as wide as what holds nine times in ten is so many standard deviations (normal distribution).
pub const NINE_IN_TEN: f64 = 1.645;

impl Course {
    /// Of a station of a book.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn of(work: &Work, station: StationId) -> Result<Self, WorkError> {
        let lately = Lately::of(work, None)?;
        let drift = Drift::of(&lately.before, &lately.sized, &lately.fresh);
        let Wheel { worn, wore, beside, pairs, .. } = drift.at(station.0);
        let here: Vec<(i64, Offset)> = lately
            .sized
            .iter()
            .zip(wore)
            .filter_map(|(sized, wore)| {
                let stations = sized.pair.stations();
                (stations.is_empty() || stations.contains(&station.0)).then_some((sized.at, *wore))
            })
            .collect();
        let mut epochs = work.station_epochs()?;
        epochs.retain(|epoch| epoch.station == station);
        let since = |event: StationEvent| -> Result<Option<Since>, WorkError> {
            let Some(last) = epochs.iter().rfind(|epoch| epoch.event == event) else { return Ok(None) };
            let sized = work.sized_since(last.position)?;
            let lenses = sized.iter().flat_map(|pair| pair.rims.iter().flatten());
            let ended = lenses.filter(|tried| tried.end.is_some() && tried.station == station.0);
            Ok(Some(Since { at: last.at, lenses: ended.count() }))
        };
        let before = |epoch: &Epoch| here.partition_point(|(at, _)| *at < epoch.position);
        // What came before the pairs that are looked at is not told by them.
        let fresh = epochs.iter().filter(|epoch| epoch.is_fresh()).map(|epoch| (epoch.event, before(epoch)));
        let fresh: Vec<_> = fresh.filter(|(_, before)| *before > 0 || !lately.is_cut()).collect();
        let limit = mm(work.settings().advice.drift);
        let is_known = |of: &Offset| NINE_IN_TEN * of.deviation <= limit;
        let now = Some(*worn).filter(|worn| *pairs >= LEAST && is_known(worn));
        let first = drift.first().map(StationId).filter(|first| *first != station);
        Ok(Self {
            wheel: since(StationEvent::NewWheel)?,
            recalibrated: since(StationEvent::Recalibrated)?,
            from: match fresh.last() {
                Some(_) => From::Fresh,
                None if lately.is_cut() => From::Jobs(here.len()),
                None => From::Book,
            },
            jobs: *pairs,
            now,
            beside: first.zip(Some(*beside).filter(is_known)),
            is_past: now.is_some_and(|now| now.mean.abs() > limit),
            offsets: here.into_iter().map(|(_, wore)| wore).chain([*worn]).collect(),
            fresh,
        })
    }
}
