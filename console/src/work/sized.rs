//! What the book holds of sizing: what the lenses of a job showed of their rims.
//!
//! The ledger says which passes hold, in what order, and what a lens is by each of them. A fit that was strained is a touch
//! too big. A pass whose size is not known exactly, after one that was stopped early, shows nothing here, nor does one of a
//! lens that is loose already. Only rims that close round the lens tell: a grooved or drilled lens is cut to a shape.

use super::frames::{FrameKey, jobs_of_model};
use super::stations::Stations;
use super::{Fact, Job, Line, Work, WorkError};
use crate::belief::{End, Rims, TooBig, Tried};
use crate::desk::{Cause, Desk, Frame};
use bevelbook_core::prescription::Eye;
use bevelbook_core::record::{Bench, CheckItem, JobId, LensId, LensState, RecordId, StationId};
use bevelbook_core::sizing::{Basis, Dialled, Outcome, Size, Sizing, Span};
use bevelbook_core::units::Length;
use jiff::Timestamp;

/// One pass, at a size that is known exactly.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SizedPass {
    /// The size that it left, on the diameter over the traced shape.
    pub size: Length,
    /// What the hand felt; of a fit that was strained, a touch too big.
    pub felt: Outcome,
    /// The size that what was advised would have left, where that was recorded and is known exactly.
    pub advised: Option<Length>,
    /// Whether the guard was insisted past.
    pub past: bool,
}

/// A lens, and what was tried of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SizedLens {
    /// Which.
    pub lens: LensId,
    /// The account of its size, with the passes that are left out here.
    pub sizing: Sizing,
    /// Its passes, in their order.
    pub passes: Vec<SizedPass>,
    /// The size at which it is as long round as its rim, on the diameter over the traced shape, where both were measured.
    pub by_girth: Option<Length>,
    /// Whether it was spoiled, and why, if anybody told.
    pub spoiled: Option<Option<Cause>>,
    /// Its last pass, which says at which station it was tried.
    pub last: Option<RecordId>,
    /// That station; the first one before somebody said which there are ([`SizedJob::at`]).
    pub station: StationId,
}

/// A job of which lenses were ground.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SizedJob {
    /// Its identity.
    pub id: JobId,
    /// Its number.
    pub number: u32,
    /// Its frame.
    pub frame: FrameKey,
    /// Every lens that each eye has had, the present one last; right, left.
    pub lenses: [Vec<SizedLens>; 2],
    /// The place of its last pass in the order of commits: its own in the order of the station.
    pub position: i64,
    /// When that was, where it is known.
    pub at: Option<Timestamp>,
    /// The place of the newest record that bears on the sizes at which its lenses came to an end; none before one has.
    pub ended_at: Option<i64>,
}

impl SizedJob {
    /// With the stations at which its lenses were tried.
    #[must_use]
    pub fn at(mut self, stations: &Stations) -> Self {
        for lens in self.lenses.iter_mut().flatten() {
            lens.station = lens.last.map_or(StationId::FIRST, |last| stations.of_record(last));
        }
        self
    }

    /// What its passes showed, in numbers alone.
    #[must_use]
    pub fn rims(&self) -> Rims {
        [0, 1].map(|eye| self.lenses[eye].iter().map(SizedLens::tried).collect())
    }

    /// The same up to the lens of each rim that came to an end last: it changes with ends ([`Self::ended_at`]), not with each
    /// pass.
    #[must_use]
    pub fn ended(&self) -> Rims {
        let mut rims = self.rims();
        for lenses in &mut rims {
            let last = lenses.iter().rposition(|tried| tried.end.is_some());
            lenses.truncate(last.map_or(0, |last| last + 1));
        }
        rims
    }

    /// The lenses that fitted, and where.
    pub fn fits(&self) -> impl Iterator<Item = (LensId, Size)> {
        self.fits_at(None)
    }

    /// The same: those of any station, or of one.
    pub fn fits_at(&self, station: Option<StationId>) -> impl Iterator<Item = (LensId, Size)> {
        let there = move |lens: &&SizedLens| station.is_none_or(|station| lens.station == station);
        self.lenses.iter().flatten().filter(there).filter_map(|lens| Some((lens.lens, lens.sizing.fits?)))
    }
}

impl SizedLens {
    /// What its passes showed, in numbers alone. A lens that is too big after all has not ended.
    #[must_use]
    pub fn tried(&self) -> Tried {
        let (by_girth, station) = (self.by_girth.map(mm), self.station.0);
        let mut tried = Tried { by_girth, station, ..Tried::default() };
        for pass in &self.passes {
            let at = mm(pass.size);
            tried.end = match pass.felt {
                Outcome::Fits => Some(End::Fits(at)),
                Outcome::Loose => Some(End::Loose(at)),
                felt => {
                    tried.too_big.push(TooBig { at, much: felt == Outcome::FarTooBig });
                    None
                }
            };
        }
        tried
    }
}

fn mm(length: Length) -> f64 {
    f64::from(length.milli()) / 1000.0
}

impl Job {
    /// What its lenses showed of their rims; nothing where none was ground, or the rim does not close round the lens.
    #[must_use]
    pub fn sized(&self) -> Option<SizedJob> {
        let (id, number, frame) = (self.id, self.order.number, FrameKey::of(&self.order.frame));
        let ground = self.lenses.iter().flatten().any(|lens| lens.sizing.passes > 0);
        if !frame.rim.closes_round_lens() || !ground {
            return None;
        }
        let mut last: Option<&Line> = None;
        let lenses = Eye::BOTH.map(|eye| {
            let lenses = &self.lenses[eye.index()];
            // The rim stays.
            let rim = lenses.iter().rev().find_map(|lens| lens.rim_girth);
            let sized = |state: &LensState| {
                let (lens, pass) =
                    self.sized_lens(LensId { number: state.number, ..self.pair().lens(eye) }, rim);
                last = last.into_iter().chain(pass).max_by_key(|line| line.position);
                lens
            };
            lenses.iter().map(sized).collect()
        });
        let Line { position, at, .. } = *last?;
        Some(SizedJob { id, number, frame, lenses, position, at, ended_at: self.ended_at() })
    }

    /// The place of the newest record that bears on where its lenses ended. What is tried of a lens bears once it ended.
    #[must_use]
    pub fn ended_at(&self) -> Option<i64> {
        let mut ended: Vec<LensId> = Vec::new();
        let mut bears = |line: &&Line| match &line.fact {
            Fact::Bench(Bench::Pass(pass)) => {
                let ends = matches!(pass.outcome, Outcome::Fits | Outcome::Loose);
                ended.extend(ends.then_some(pass.lens));
                ends || ended.contains(&pass.lens)
            }
            Fact::Bench(Bench::Check(check)) => check.item == CheckItem::Strain && !ended.is_empty(),
            Fact::Bench(Bench::Void(_) | Bench::Girth(_)) => !ended.is_empty(),
            Fact::Desk(Desk::Amendment(amendment)) => {
                amendment.changes.get("frame").is_some() && !ended.is_empty()
            }
            Fact::Desk(Desk::Filing(_)) => !ended.is_empty(),
            _ => false,
        };
        self.lines.iter().filter(&mut bears).map(|line| line.position).max()
    }

    /// A lens whose rim is so long round, and its last pass.
    fn sized_lens(&self, lens: LensId, rim: Option<Length>) -> (SizedLens, Option<&Line>) {
        let (mut sizing, mut passes, mut measured, mut last) = (Sizing::new(), Vec::new(), None, None);
        for (id, state) in self.course(lens) {
            let known = state.sizing.size.and_then(|(basis, span)| exactly(basis, span));
            let line = self.lines.iter().find(|line| line.id == id);
            if let Some(Line { fact: Fact::Bench(Bench::Pass(pass)), .. }) = line {
                last = line;
                let counts = !sizing.is_scrap() && pass.outcome != Outcome::Abandoned;
                let advised = pass.advised.and_then(|amount| {
                    let dialled = Dialled { amount, ..pass.dialled };
                    exactly(dialled.basis, sizing.after(&dialled, false))
                });
                let tried = |size| SizedPass { size, felt: pass.outcome, advised, past: pass.past };
                passes.extend(known.filter(|_| counts).map(tried));
            }
            sizing = state.sizing;
            // Whatever fitted is strained.
            for pass in passes.iter_mut().filter(|pass| pass.felt == Outcome::Fits && sizing.fits.is_none()) {
                pass.felt = Outcome::JustTooBig;
            }
            measured = known.zip(state.girth).or(measured);
        }
        let over = |girth, rim| Size { basis: Basis::Girth, offset: girth - rim }.on(Basis::Diameter);
        let by_girth = measured.zip(rim).map(|((size, girth), rim)| size - over(girth, rim));
        let spoiled = self.spoiled().find(|spoiled| spoiled.lens == lens).map(|spoiled| spoiled.cause());
        let (station, by) = (StationId::FIRST, last.map(|line| line.id));
        (SizedLens { lens, sizing, passes, by_girth, spoiled, last: by, station }, last)
    }
}

/// A size on the diameter, where it is known exactly.
fn exactly(basis: Basis, size: Span) -> Option<Length> {
    Some(Size { basis, offset: size.exact()? }.on(Basis::Diameter))
}

impl Work {
    /// What the book holds of sizing for frames like this one ([`FrameKey::is_alike`]), in the order of the station: that of
    /// their last passes.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn sized_of(&self, frame: &Frame) -> Result<Vec<SizedJob>, WorkError> {
        self.sized_jobs(&FrameKey::of(frame))
    }

    /// The same by what those frames share.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn sized_jobs(&self, key: &FrameKey) -> Result<Vec<SizedJob>, WorkError> {
        if !key.rim.closes_round_lens() {
            return Ok(Vec::new());
        }
        self.book.at_one_moment(|| {
            let (mut sized, stations) = (Vec::new(), self.stations()?);
            for job in jobs_of_model(&self.book, &key.model)? {
                let alike = Some(job?).filter(|job| key.is_alike(&FrameKey::of(&job.order.frame)));
                sized.extend(alike.and_then(|job| Some(job.sized()?.at(&stations))));
            }
            sized.sort_by_key(|job: &SizedJob| job.position);
            Ok(sized)
        })
    }
}

#[cfg(test)]
mod tests;
