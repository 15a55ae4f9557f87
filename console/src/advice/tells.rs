//! What the book tells of one frame.

use super::Learned;
use super::learned::{mm, steps};
use crate::belief::{Model, Pair, Steps, Way};
use crate::work::{Job, SizedJob, Work, WorkError};
use bevelbook_core::prescription::Eye;
use bevelbook_core::sizing::{Advice, Dial, Ladder, RUNGS, Rung};
use bevelbook_core::units::Length;

/// What the book tells of one frame, and what it rests on.
#[derive(Clone, Debug, PartialEq)]
pub struct Told {
    /// What the bench follows.
    pub advice: Advice,
    /// How many lenses of this model and size came to an end.
    pub lenses: usize,
    /// How many lenses of any model it rests on.
    pub of_any: usize,
    /// How probable it is that a lens becomes loose on this way: of the eye that is sized first, and of the other.
    pub loose: [f64; 2],
}

/// Of a model that never came something is told from so many lenses of others on.
const OF_ANY: usize = 20;
/// Of one model so many of the newest jobs are looked at.
const JOBS: usize = 60;

impl Learned {
    /// What the book tells of the frame of a job; nothing of a rim that does not close round the lens, or where too little was
    /// seen.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn tells(&self, work: &Work, job: &Job) -> Result<Option<Told>, WorkError> {
        let frame = &job.order.frame;
        let Some(window) = work.settings().advice.window.of(frame.rim).map(mm) else { return Ok(None) };
        let mut alike = work.sized_of(frame)?;
        alike.retain(|other| other.id != job.id);
        let ended = |job: &SizedJob| job.rims().iter().flatten().filter(|tried| tried.end.is_some()).count();
        let lenses: usize = alike.iter().map(ended).sum();
        if lenses == 0 && self.lenses < OF_ANY {
            return Ok(None);
        }
        let newest = alike.iter().skip(alike.len().saturating_sub(JOBS));
        let pairs = newest.map(|job| Pair { window, rims: job.rims() }.moved(-self.offset_at(job.position)));
        let shop = &self.taught.shop;
        let pairs: Vec<Pair> = pairs.collect();
        let model = Model::of(shop, &pairs);
        let mut told = self.both(&model, window);
        if let Some(way) = self.beside(&model, window, job) {
            told.advice.second = ladder(&way, self.steps(), &self.dial, self.dial.zero());
            told.advice.second_from_fit = false;
            told.advice.tenths[1] = tenths(&way);
            told.loose[1] = way.loose;
        }
        let fits = alike.iter().flat_map(SizedJob::fits).map(|(_, size)| size.on(self.dial.basis));
        let fits: Vec<Length> = fits.collect();
        told.advice.fitted = fits.iter().min().zip(fits.iter().max()).map(|(least, most)| [*least, *most]);
        told.advice.lenses = u8::try_from(fits.len()).unwrap_or(u8::MAX);
        Ok(Some(Told { lenses, of_any: self.lenses, ..told }))
    }

    /// The sizes of the dial, as a fresh station would have them.
    fn steps(&self) -> Steps {
        let Steps { zero, step } = steps(&self.dial);
        Steps { zero: zero - self.taught.now.mean, step }
    }

    /// Of a frame that was not begun.
    fn both(&self, model: &Model<'_>, window: f64) -> Told {
        let eyes = self.taught.shop.eyes(model, window, self.steps());
        let (zero, from) = if eyes.from_fit {
            (Steps { zero: 0.0, ..self.steps() }, Length::ZERO)
        } else {
            (self.steps(), self.dial.zero())
        };
        let advice = Advice {
            basis: self.dial.basis,
            first: ladder(&eyes.first, self.steps(), &self.dial, self.dial.zero()),
            second: ladder(&eyes.second, zero, &self.dial, from),
            second_from_fit: eyes.from_fit,
            lenses: 0,
            fitted: None,
            tenths: [tenths(&eyes.first), tenths(&eyes.second)],
        };
        Told { advice, lenses: 0, of_any: 0, loose: [eyes.first.loose, eyes.second.loose] }
    }

    /// Of the eye that is not done where the other one fits: what that one showed is known.
    fn beside(&self, model: &Model<'_>, window: f64, job: &Job) -> Option<Way> {
        let eye = Eye::BOTH.into_iter().find(|eye| job.state.known(*eye).other_fits.is_some())?;
        let mut rims = job.sized()?.rims();
        rims[eye.index()].clear();
        let pair = Pair { window, rims }.moved(-self.taught.now.mean);
        let fits = model.next_in(&pair, eye.index());
        Some(self.taught.shop.way(&fits, window, self.steps()))
    }
}

fn tenths(way: &Way) -> u8 {
    (way.passes * 10.0).round().clamp(0.0, 255.0) as u8
}

/// A way as the bench looks it up; `from` is the dial's size that stands at the zero of `steps`.
fn ladder(way: &Way, steps: Steps, dial: &Dial, from: Length) -> Ladder {
    let on = |size: f64| {
        let count = ((size - steps.zero) / steps.step).round() as i32;
        from + Length::from_milli(count.saturating_mul(dial.step.milli()))
    };
    let rungs = way.rungs.iter().take(RUNGS);
    Ladder::new(rungs.map(|rung| Rung { at: on(rung.at), far: on(rung.much), just: on(rung.touch) }))
}
