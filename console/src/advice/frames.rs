//! What was sized of each model and size, and how good what is believed of it was.

use super::Learned;
use super::learned::{Keys, across, mm, on};
use super::tells::{JOBS, ladder, tenths};
use crate::belief::{End, Foreseen, Kept, Model, Pair, Tried};
use crate::work::{FrameKey, SizedPair, Work, WorkError};
use bevelbook_core::record::StationId;
use bevelbook_core::sizing::{Basis, Ladder, Size};
use bevelbook_core::units::Length;

/// A model and size of which lenses were cut.
#[derive(Clone, Debug)]
pub struct SizedFrame {
    /// Which, as its first job wrote it.
    pub key: FrameKey,
    /// How far below its largest fit a lens is still firm in its rims, in millimetres of diameter.
    pub window: f64,
    /// What the lenses of each job showed, in the order of the station.
    pub pairs: Vec<SizedPair>,
}

/// What the book tells of the next frame of a model.
#[derive(Clone, Debug)]
pub struct Begins {
    /// The sizes of the eye that is sized first.
    pub ladder: Ladder,
    /// How many passes it takes in the mean, in tenths.
    pub tenths: u8,
    /// How probable it is that the lens becomes loose.
    pub loose: f64,
}

impl SizedFrame {
    /// Every one of a book, those that were cut last at the end.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn all(work: &Work) -> Result<Vec<Self>, WorkError> {
        let (mut keys, mut frames) = (Keys::default(), Vec::<Self>::new());
        for pair in work.sized_since(0)? {
            let Some(window) = work.settings().advice.window.of(pair.frame.rim).map(mm) else { continue };
            let number = keys.number(pair.frame.clone());
            if number == frames.len() {
                frames.push(Self { key: pair.frame.clone(), window, pairs: vec![pair] });
            } else {
                frames[number].pairs.push(pair);
            }
        }
        frames.retain(|frame| frame.lenses().next().is_some());
        Ok(frames)
    }

    /// Its lenses of which a pass tells.
    pub fn lenses(&self) -> impl Iterator<Item = &Tried> {
        self.pairs.iter().flat_map(|pair| pair.rims.iter().flatten()).filter(|tried| tried.is_cut())
    }

    /// The least and the largest size at which lenses fitted, on a basis: at any station, or at one.
    #[must_use]
    pub fn fitted(&self, basis: Basis, station: Option<StationId>) -> Option<[Length; 2]> {
        let there = |tried: &&Tried| station.is_none_or(|station| tried.station == station.0);
        let fits = self.lenses().filter(there).filter_map(|tried| match tried.end? {
            End::Fits(at) => Some(on(at, basis)),
            End::Loose(_) => None,
        });
        fits.fold(None, |all, at| Some(all.map_or([at, at], |[least, most]| [least.min(at), most.max(at)])))
    }
}

impl Learned {
    /// How it would begin with the next frame of a model by now; nothing where none of its lenses came to an end.
    #[must_use]
    pub fn begins(&self, frame: &SizedFrame) -> Option<Begins> {
        frame.lenses().find(|tried| tried.end.is_some()).filter(|_| self.tells_in(frame.window))?;
        let newest = frame.pairs.iter().skip(frame.pairs.len().saturating_sub(JOBS));
        let pairs: Vec<Pair> = newest.map(|pair| self.as_fresh(pair, frame.window)).collect();
        let model = self.model(&pairs);
        let way = self.taught.shop.way(&model.next(), frame.window, self.steps());
        way.first()?;
        let ladder = ladder(&way, self.steps(), &self.dial, self.dial.zero());
        Some(Begins { ladder, tenths: tenths(&way), loose: way.loose })
    }

    /// What was believed of each lens of a frame before it was cut, in sizes that the station left then: by what the shop has
    /// taught by now, and what the model had by then. One for each of its pairs.
    #[must_use]
    pub fn foreseen(&self, frame: &SizedFrame) -> Vec<[Vec<Option<Foreseen>>; 2]> {
        self.foreseen_from(frame, 0)
    }

    /// The same of its pairs from the one at `first` on; what those before it showed was known.
    fn foreseen_from(&self, frame: &SizedFrame, first: usize) -> Vec<[Vec<Option<Foreseen>>; 2]> {
        let mut model = Model::unknown(&self.taught.shop);
        let (older, pairs) = frame.pairs.split_at(first);
        for pair in older {
            model.learn(&self.as_fresh(pair, frame.window));
        }
        let of = |pair: &SizedPair| {
            let position = pair.position;
            let pair = self.as_fresh(pair, frame.window);
            let mut foreseen = model.foreseen(&pair);
            let lenses = foreseen.iter_mut().flatten().zip(pair.rims.iter().flatten());
            for (lens, tried) in lenses.filter_map(|(lens, tried)| Some((lens.as_mut()?, tried))) {
                let offset = self.offset_at(tried.station, position);
                lens.mean += offset;
                lens.band.iter_mut().for_each(|size| *size += offset);
            }
            model.learn(&pair);
            foreseen
        };
        pairs.iter().map(of).collect()
    }

    /// Promised against happened, over those of its jobs that the shop is learned from.
    #[must_use]
    pub fn kept(&self, frame: &SizedFrame) -> Kept {
        let mut kept = Kept::default();
        // In the order of the station: behind the first that is looked at, all are. Of most frames of a grown book none is.
        let first = frame.pairs.partition_point(|pair| !self.looks_at(pair.position));
        if first == frame.pairs.len() {
            return kept;
        }
        for (pair, foreseen) in frame.pairs[first..].iter().zip(self.foreseen_from(frame, first)) {
            for (foreseen, tried) in foreseen.iter().flatten().zip(pair.rims.iter().flatten()) {
                foreseen.iter().for_each(|foreseen| kept.count(foreseen, tried));
            }
        }
        kept
    }

    /// A pair as a fresh station would have shown it.
    fn as_fresh(&self, SizedPair { rims, position, .. }: &SizedPair, window: f64) -> Pair {
        Pair { window, rims: rims.clone() }.moved_at(|station| -self.offset_at(station, *position))
    }

    /// The least step of the dial, in millimetres of diameter.
    #[must_use]
    pub fn step(&self) -> f64 {
        across(Size { basis: self.dial.basis, offset: self.dial.step })
    }
}
