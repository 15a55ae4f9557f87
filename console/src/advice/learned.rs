//! What the shop's newest lenses taught.

use crate::belief::{Fresh, Pair, Rims, Shop, Sized, Steps, Taught, Wheel};
use crate::work::{FrameKey, SizedPair, Stations, Work, WorkError};
use bevelbook_core::record::{JobId, StationId};
use bevelbook_core::sizing::{Basis, Dial, Rim, Size};
use bevelbook_core::units::Length;
use std::collections::HashMap;

/// What a shop's lenses have in common, as its newest ones tell it; for one of its stations, by the dial that it has now.
#[derive(Clone, Debug)]
pub struct Learned {
    /// The station.
    pub station: StationId,
    /// Of which there are these.
    pub stations: Stations,
    /// Its dial.
    pub dial: Dial,
    /// What is believed of the shop's models and its stations.
    pub taught: Taught,
    /// How many lenses that came to an end it rests on.
    pub lenses: usize,
    /// How many models and sizes those were of.
    pub models: usize,
}

/// So many jobs are learned from, the newest.
const JOBS: u32 = 300;
/// A first cut is left so much larger than where models fit in the mean, before anything was seen: in millimetres of
/// diameter (common practice, no source).
const LEFT_OVER: f64 = 0.25;

impl Learned {
    /// What the book has taught by now, for the station that is here; nothing while that has not stated its dial, or it was not
    /// said which of several it is.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn of(work: &Work) -> Result<Option<Self>, WorkError> {
        work.here_if_said()?.map_or(Ok(None), |station| Self::at(work, station))
    }

    /// The same for any station.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn at(work: &Work, station: StationId) -> Result<Option<Self>, WorkError> {
        Self::without(work, station, None)
    }

    /// The same without what one job showed: it shall not move its own ladder while it is followed.
    pub(super) fn without(
        work: &Work,
        station: StationId,
        own: Option<JobId>,
    ) -> Result<Option<Self>, WorkError> {
        let Some(dial) = work.dial(station)? else { return Ok(None) };
        let stations = work.stations()?;
        let Lately { before, sized, fresh, models } = Lately::of(work, own)?;
        let mut taught = Taught::of(&before, &sized, &fresh);
        taught.shop = taught.shop.priced(&taught.drift.sized, steps(&dial));
        let lenses = sized.iter().map(|sized| ended(&sized.pair.rims)).sum();
        Ok(Some(Self { station, stations, dial, taught, lenses, models }))
    }

    /// What its station taught.
    #[must_use]
    pub fn wheel(&self) -> &Wheel {
        self.taught.drift.at(self.station.0)
    }

    /// A station's offset when what lies at this position was sized: that of now for what is newer than what it was learned
    /// from; of what is older none is known.
    pub(super) fn offset_at(&self, station: u64, position: i64) -> f64 {
        let (drift, wheel) = (&self.taught.drift, self.taught.drift.at(station));
        let at = drift.sized.partition_point(|sized| sized.at < position);
        wheel.offsets.get(at).unwrap_or(&wheel.now).mean
    }

    /// Whether it was learned from what lies at this position.
    #[must_use]
    pub fn looks_at(&self, position: i64) -> bool {
        self.taught.drift.sized.first().is_some_and(|first| first.at <= position)
    }
}

/// The newest pairs, and what was believed before any.
pub(super) struct Lately {
    pub(super) before: Shop,
    pub(super) sized: Vec<Sized>,
    /// Where a wheel was renewed or a station recalibrated, in the order of commits.
    pub(super) fresh: Vec<Fresh>,
    /// How many models and sizes.
    models: usize,
}

impl Lately {
    pub(super) fn of(work: &Work, own: Option<JobId>) -> Result<Self, WorkError> {
        let mut lately = work.sized_lately(JOBS)?;
        lately.reverse();
        let windows = &work.settings().advice.window;
        let mut keys = Keys::default();
        let sized: Vec<Sized> = lately
            .into_iter()
            .filter(|pair| own != Some(pair.id))
            .filter_map(|SizedPair { frame, rims, position, .. }| {
                let pair = Pair { window: mm(windows.of(frame.rim)?), rims };
                Some(Sized { model: keys.number(frame), at: position, pair })
            })
            .collect();
        let epochs = work.station_epochs()?;
        let fresh = epochs.iter().filter(|epoch| epoch.is_fresh());
        let fresh = fresh.map(|epoch| Fresh { station: epoch.station.0, at: epoch.position });
        let first = across(work.settings().sizing.first_size(Rim::Metal));
        let before = Shop::new(first - LEFT_OVER, work.settings().advice.undersize / 100.0);
        Ok(Self { before, sized, fresh: fresh.collect(), models: keys.count })
    }

    /// Whether older pairs were left out.
    pub(super) const fn is_cut(&self) -> bool {
        self.sized.len() >= JOBS as usize
    }
}

/// How many lenses came to an end.
pub(super) fn ended(rims: &Rims) -> usize {
    rims.iter().flatten().filter(|tried| tried.end.is_some()).count()
}

/// Numbers for models and sizes.
#[derive(Default)]
pub(super) struct Keys {
    by_model: HashMap<(String, Rim), Vec<(FrameKey, usize)>>,
    count: usize,
}

impl Keys {
    pub(super) fn number(&mut self, frame: FrameKey) -> usize {
        let named = self.by_model.entry((frame.model.to_lowercase(), frame.rim)).or_default();
        if let Some((_, number)) = named.iter().find(|(known, _)| known.is_alike(&frame)) {
            return *number;
        }
        let number = self.count;
        named.push((frame, number));
        self.count += 1;
        number
    }
}

/// In millimetres.
pub(super) fn mm(length: Length) -> f64 {
    f64::from(length.milli()) / 1000.0
}

/// A size on the diameter, as it counts on another basis.
#[must_use]
pub(crate) fn on(diameter: f64, basis: Basis) -> Length {
    let offset = Length::from_milli((diameter * 1000.0).round() as i32);
    Size { basis: Basis::Diameter, offset }.on(basis)
}

/// A size in millimetres of diameter.
pub(super) fn across(size: Size) -> f64 {
    // From the micrometre of its own basis: sizes of one dial stay whole steps apart.
    let one = Size { basis: size.basis, offset: Length::from_milli(1_000_000) }.on(Basis::Diameter);
    mm(size.offset) * mm(one) / 1000.0
}

/// The sizes that a dial can leave.
pub(super) fn steps(dial: &Dial) -> Steps {
    let on = |offset| across(Size { basis: dial.basis, offset });
    Steps { zero: on(dial.zero()), step: on(dial.step) }
}
