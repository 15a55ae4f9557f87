//! How far the station is off, as the lenses tell that were sized on it.

use super::learned::{Lately, ended, mm};
use crate::belief::{Drift, Offset};
use crate::work::{Epoch, Work, WorkError};
use bevelbook_core::record::StationEvent;
use jiff::Timestamp;

/// The course of the station.
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
    /// Whether that is more than the shop lets pass.
    pub is_past: bool,
    /// The offset before each of the newest jobs, oldest first, and at the end that of now, as far as it is known.
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
    /// Of the station of a book.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn of(work: &Work) -> Result<Self, WorkError> {
        let lately = Lately::of(work, None)?;
        let Drift { mut offsets, now, pairs, .. } = Drift::of(&lately.before, &lately.sized, &lately.fresh);
        let epochs = work.station_epochs()?;
        let since = |event: StationEvent| -> Result<Option<Since>, WorkError> {
            let Some(last) = epochs.iter().rfind(|epoch| epoch.event == event) else { return Ok(None) };
            let sized = work.sized_since(last.position)?;
            Ok(Some(Since { at: last.at, lenses: sized.iter().map(|pair| ended(&pair.rims)).sum() }))
        };
        let before = |epoch: &Epoch| lately.sized.partition_point(|sized| sized.at < epoch.position);
        // What came before the pairs that are looked at is not told by them.
        let fresh = epochs.iter().filter(|epoch| epoch.is_fresh()).map(|epoch| (epoch.event, before(epoch)));
        let fresh: Vec<_> = fresh.filter(|(_, before)| *before > 0 || !lately.is_cut()).collect();
        let limit = mm(work.settings().advice.drift);
        let is_known = pairs >= LEAST && NINE_IN_TEN * now.deviation <= limit;
        let looked_at = offsets.len();
        offsets.push(now);
        Ok(Self {
            wheel: since(StationEvent::NewWheel)?,
            recalibrated: since(StationEvent::Recalibrated)?,
            from: match fresh.last() {
                Some(_) => From::Fresh,
                None if lately.is_cut() => From::Jobs(looked_at),
                None => From::Book,
            },
            jobs: pairs,
            now: Some(now).filter(|_| is_known),
            is_past: is_known && now.mean.abs() > limit,
            offsets,
            fresh,
        })
    }
}
