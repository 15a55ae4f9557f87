//! What the book tells of one frame.

use super::Learned;
use super::learned::{ended, mm, on, steps};
use crate::belief::{Model, Offset, Pair, Rims, Steps, Way};
use crate::settings::Settings;
use crate::work::{Job, SizedJob, SizedLens, Stations, Work, WorkError};
use bevelbook_core::link::plain;
use bevelbook_core::prescription::Eye;
use bevelbook_core::record::StationId;
use bevelbook_core::sizing::{Advice, Basis, Dial, Ladder, RUNGS, Rung};
use bevelbook_core::units::Length;

/// What the book tells of one frame, and what it rests on.
#[derive(Clone, Debug, PartialEq)]
pub struct Telling {
    /// What the bench follows.
    pub advice: Advice,
    /// How many lenses of this model and size came to an end.
    pub lenses: usize,
    /// How many lenses of any model it rests on.
    pub of_any: usize,
    /// Of how many models and sizes those are.
    pub models: usize,
    /// How probable it is that a lens becomes loose on this way: of the eye that is sized first, and of the other.
    pub loose: [f64; 2],
    /// The chance that the shop takes of that, in the mean of all its lenses.
    pub limit: f64,
    /// The station's offset now, which its sizes take into account.
    pub offset: Offset,
    /// The station beside whose sizes that is, where it is another one.
    pub beside: Option<String>,
}

/// What the book holds of the frame of one job: asked as that job goes on.
#[derive(Debug)]
pub struct OfFrame<'l> {
    learned: &'l Learned,
    window: f64,
    model: Model<'l>,
    /// What it tells before one of its lenses fits.
    untouched: Telling,
}

/// Of a model that never came something is told from so many lenses of others on.
const OF_ANY: usize = 20;
/// Of one model so many of the newest jobs are looked at.
pub(super) const JOBS: usize = 60;

impl Learned {
    /// What the book tells of the frame of a job; nothing of a rim that does not close round the lens, or where too little was
    /// seen.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn tells(&self, work: &Work, job: &Job) -> Result<Option<Telling>, WorkError> {
        Ok(self.of_job(work, job)?.map(|frame| frame.tells(job)))
    }

    /// The same before it is asked how the job stands.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn of_job(&self, work: &Work, job: &Job) -> Result<Option<OfFrame<'_>>, WorkError> {
        Ok(self.of_frame(work.settings(), job, &work.sized_of(&job.order.frame)?))
    }

    /// What the jobs `alike` showed of the frame of a job, its own left out, by their lenses that came to an end.
    pub fn of_frame(&self, settings: &Settings, job: &Job, alike: &[SizedJob]) -> Option<OfFrame<'_>> {
        let window =
            settings.advice.window.of(job.order.frame.rim).map(mm).filter(|window| self.tells_in(*window))?;
        let alike: Vec<&SizedJob> =
            alike.iter().filter(|other| other.id != job.id && other.ended_at.is_some()).collect();
        let lenses: usize = alike.iter().map(|job| ended(&job.rims())).sum();
        if lenses == 0 && self.lenses < OF_ANY {
            return None;
        }
        let newest = alike.iter().skip(alike.len().saturating_sub(JOBS));
        let pairs: Vec<Pair> = newest
            .map(|job| {
                let off = |station| -self.offset_at(station, job.position);
                Pair { window, rims: job.ended() }.moved_at(off)
            })
            .collect();
        let model = self.model(&pairs);
        let fits = self.fitted(&alike);
        let (advice, loose) = self.both(&model, window);
        advice.first.first()?;
        let fitted = fits.iter().min().zip(fits.iter().max()).map(|(least, most)| [*least, *most]);
        let advice = Advice { lenses: u8::try_from(fits.len()).unwrap_or(u8::MAX), fitted, ..advice };
        let Self { lenses: of_any, models, .. } = *self;
        let (offset, beside) = (self.wheel().now, self.beside().map(|other| plain(other).collect()));
        let limit = self.taught.shop.limit;
        let untouched = Telling { advice, lenses, of_any, models, loose, limit, offset, beside };
        Some(OfFrame { learned: self, window, model, untouched })
    }

    /// At which sizes lenses of these jobs fitted at its station; where none was tried there, what those of the others are there.
    fn fitted(&self, alike: &[&SizedJob]) -> Vec<Length> {
        let here = alike.iter().flat_map(|job| job.fits_at(Some(self.station)));
        let here: Vec<Length> = here.map(|(_, size)| size.on(self.dial.basis)).collect();
        if !here.is_empty() {
            return here;
        }
        let now = self.wheel().now.mean;
        let moved = |job: &SizedJob, lens: &SizedLens| {
            let size = mm(lens.sizing.fits?.on(Basis::Diameter));
            let as_here = size - self.offset_at(lens.station.0, job.position) + now;
            Some(self.dial.up(on(as_here, self.dial.basis)))
        };
        let lenses = alike.iter().flat_map(|job| job.lenses.iter().flatten().map(move |lens| (job, lens)));
        lenses.filter_map(|(job, lens)| moved(job, lens)).collect()
    }

    /// Whether there is anything to tell: on so coarse a dial that rims fit between two of its sizes lenses become loose whatever
    /// is advised.
    pub(crate) fn tells_in(&self, window: f64) -> bool {
        self.step() <= window + 1e-9
    }

    /// The sizes of the dial, as a fresh station would have them.
    pub(super) fn steps(&self) -> Steps {
        let Steps { zero, step } = steps(&self.dial);
        Steps { zero: zero - self.wheel().now.mean, step }
    }

    /// The station beside whose sizes those of this one are known, where it is another one.
    #[must_use]
    pub fn beside(&self) -> Option<&str> {
        let first = self.taught.drift.first().filter(|first| *first != self.station.0)?;
        self.stations.told(StationId(first))
    }

    /// What is believed of a model of which these were sized, for its next frame at this station: how that lies beside the
    /// others is only known as well as its lenses told.
    pub(super) fn model(&self, pairs: &[Pair]) -> Model<'_> {
        let model = Model::of(&self.taught.shop, pairs);
        if self.wheel().beside.deviation > 0.0 { model.unsure(self.wheel().now.deviation) } else { model }
    }

    /// Of a frame that was not begun: what to follow, and how probable it is that either lens becomes loose.
    fn both(&self, model: &Model<'_>, window: f64) -> (Advice, [f64; 2]) {
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
        (advice, [eyes.first.loose, eyes.second.loose])
    }
}

impl OfFrame<'_> {
    /// What is told of it, by what the lenses of the job itself have shown so far.
    #[must_use]
    pub fn tells(&self, job: &Job) -> Telling {
        let mut told = self.untouched.clone();
        let Some((eye, way)) = self.beside(job) else { return told };
        let Learned { dial, .. } = self.learned;
        let ladder = ladder(&way, self.learned.steps(), dial, dial.zero());
        let second = job.state.known(eye).other_fits.is_some();
        if second {
            told.advice.second = ladder;
            told.advice.second_from_fit = false;
        } else {
            told.advice.first = ladder;
        }
        told.advice.tenths[usize::from(second)] = tenths(&way);
        told.loose[usize::from(second)] = way.loose;
        told
    }

    /// Of the eye in hand where lenses of this frame came to an end: what those showed is known.
    fn beside(&self, job: &Job) -> Option<(Eye, Way)> {
        let (eye, rims) = beside(job, &self.learned.stations)?;
        let taught = &self.learned.taught;
        let off = |station| -taught.drift.at(station).now.mean;
        let pair = Pair { window: self.window, rims }.moved_at(off);
        let fits = self.model.next_in(&pair, eye.index());
        Some((eye, taught.shop.way(&fits, self.window, self.learned.steps())))
    }
}

/// The eye in hand, where lenses of the same frame came to an end before its present one, and what those showed: the other eye's,
/// fitted or lost, and its own that were lost. It is the one whose other fits, else the first that is not done.
pub fn beside(job: &Job, stations: &Stations) -> Option<(Eye, Rims)> {
    let open = |eye: &Eye| job.state.lens(*eye).sizing.goes_on();
    let beside_fit = |eye: &Eye| job.state.known(*eye).other_fits.is_some();
    let eye = Eye::BOTH.into_iter().find(beside_fit).or_else(|| Eye::BOTH.into_iter().find(open))?;
    let mut rims = job.sized()?.at(stations).rims();
    rims[eye.index()].pop();
    rims.iter_mut().for_each(|rim| rim.retain(|tried| tried.end.is_some()));
    rims.iter().any(|rim| !rim.is_empty()).then_some((eye, rims))
}

pub(super) fn tenths(way: &Way) -> u8 {
    (way.passes * 10.0).round().clamp(0.0, 255.0) as u8
}

/// A way as the bench looks it up; `from` is the dial's size that stands at the zero of `steps`.
pub(super) fn ladder(way: &Way, steps: Steps, dial: &Dial, from: Length) -> Ladder {
    let on = |size: f64| {
        let count = ((size - steps.zero) / steps.step).round() as i32;
        from + Length::from_milli(count.saturating_mul(dial.step.milli()))
    };
    let rungs = way.rungs.iter().take(RUNGS);
    // What is so improbable that no way was worked out for it goes on by a step: after much too big that would be less than
    // after a touch.
    Ladder::new(rungs.map(|rung| {
        let just = on(rung.touch);
        Rung { at: on(rung.at), far: on(rung.much).min(just), just }
    }))
}
