//! What becomes of orders.

use super::append::append_desk;
use super::change::{job_then, write_of};
use super::orders::{accepted, tray_in_use};
use super::{Job, Work, WorkError, job_of};
use crate::desk::{Amendment, Arrival, Bearer, Cause, Desk, Making, Note, Order, Remake, Remark};
use crate::desk::{Segments, Severity};
use crate::store::{Reader, Tx};
use bevelbook_core::prescription::Eye;
use bevelbook_core::record::{JobId, LensState, RecordId};
use bevelbook_core::tolerance::Design;
use bevelbook_core::units::Length;

/// A lens that is made again.
#[derive(Clone, Debug)]
pub struct Remade {
    /// The job at its new lens.
    pub job: Job,
    /// The number of the lens that was spoiled.
    pub spoiled: u8,
    /// Whether the next one begins here; else it was begun before, and why is told afterwards.
    pub begun: bool,
}

impl Work {
    /// Changes the order of an open job. Returns the job as amended and what is unusual in it.
    ///
    /// # Errors
    /// Nothing changes, the amended order cannot be right, or the job is closed.
    pub fn amend(
        &mut self,
        id: JobId,
        why: &str,
        name: Option<&str>,
        mut change: impl FnMut(&mut Order),
    ) -> Result<(Job, Vec<Remark>), WorkError> {
        let Self { settings, book, .. } = self;
        write_of(book, settings, id, |tx| {
            let job = open(tx, id)?;
            let mut order = job.order.clone();
            change(&mut order);
            let mut unusual = accepted(&mut order, settings)?;
            unusual.extend(Eye::BOTH.into_iter().filter_map(|eye| leaves_work(&job, &order, eye)));
            if order.tray != job.order.tray {
                unusual.extend(tray_in_use(tx, &order, Some(id))?);
            }
            let renamed = match name {
                Some(name) => {
                    tx.set_person(&order.customer, name)?;
                    true
                }
                None => false,
            };
            match Amendment::between(&job.order, &order, why) {
                Ok(amendment) => {
                    append_desk(tx, id, &Desk::Amendment(amendment))?;
                }
                Err(_) if renamed => {}
                Err(nothing) => return Err(nothing.into()),
            }
            Ok((job_then(tx, id)?, unusual))
        })
    }

    /// Makes a lens of one eye again: where it is the present one, its eye goes on with a new lens number, and a closed job
    /// is opened by it. Where the bench has begun the next one already, why is told afterwards, and nothing else changes.
    /// `spoiled` is the number of the lens; where it is not said, which one is meant has to be clear.
    ///
    /// # Errors
    /// No lens is made for that eye, it has no such lens, it is not clear which is meant, the eye has run out of lens
    /// numbers, or the book refuses.
    pub fn remake(
        &mut self,
        id: JobId,
        eye: Eye,
        spoiled: Option<u8>,
        cause: Cause,
        bearer: Bearer,
        story: &str,
    ) -> Result<Remade, WorkError> {
        self.change_of(id, |tx| {
            let job = job_of(tx, id)?;
            let spoiled = job.spoiled_by_now(eye, spoiled)?;
            let begun = spoiled == job.lens_number(eye);
            let lens = spoiled.checked_add(1).ok_or(WorkError::TooManyLenses { eye })?;
            let remake = Remake { eye, lens, cause, bearer, story: story.into() };
            append_desk(tx, id, &Desk::Remake(remake))?;
            Ok(Remade { job: job_then(tx, id)?, spoiled, begun })
        })
    }

    /// A lens came in.
    ///
    /// # Errors
    /// The job is closed, or no lens is made for that eye.
    pub fn arrive(
        &mut self,
        id: JobId,
        eye: Eye,
        blank: Option<Length>,
        what: &str,
    ) -> Result<RecordId, WorkError> {
        self.change_of(id, |tx| {
            let lens = open(tx, id)?.made(eye)?.number;
            append_desk(tx, id, &Desk::Arrival(Arrival { eye, lens, blank, what: what.into() }))
        })
    }

    /// A remark; a closed job takes it too.
    ///
    /// # Errors
    /// There is no such job.
    pub fn note(&mut self, id: JobId, text: &str) -> Result<RecordId, WorkError> {
        self.change_of(id, |tx| {
            job_of(tx, id)?;
            append_desk(tx, id, &Desk::Note(Note { text: text.into() }))
        })
    }

    /// How a lens is made was measured: `measured` is given the number of the lens.
    ///
    /// # Errors
    /// The job is closed, or no lens is made for that eye.
    pub fn log_making(
        &mut self,
        id: JobId,
        eye: Eye,
        measured: impl Fn(u8) -> Making,
    ) -> Result<(RecordId, Making), WorkError> {
        self.change_of(id, |tx| {
            let making = measured(open(tx, id)?.made(eye)?.number);
            Ok((append_desk(tx, id, &Desk::Making(making))?, making))
        })
    }

    /// The distance between the segments of the present pair was measured.
    ///
    /// # Errors
    /// The job is closed, or its lenses are no multifocals.
    pub fn log_segments(&mut self, id: JobId, distance: Length) -> Result<(RecordId, Segments), WorkError> {
        self.change_of(id, |tx| {
            let job = open(tx, id)?;
            if job.order.lens.design != Design::Multifocal {
                return Err(WorkError::NoSegments { number: job.order.number });
            }
            let segments = Segments { lenses: job.pair().numbers, distance };
            Ok((append_desk(tx, id, &Desk::Segments(segments))?, segments))
        })
    }
}

/// The job, if it is not closed.
pub(super) fn open(tx: &Tx<'_>, id: JobId) -> Result<Job, WorkError> {
    let reader: &Reader = tx;
    let job = job_of(reader, id)?;
    match &job.closed {
        Some(closing) => Err(WorkError::Closed { number: job.order.number, how: closing.how.clone() }),
        None => Ok(job),
    }
}

/// That an amended order has no lens any more where one was worked on.
fn leaves_work(job: &Job, order: &Order, eye: Eye) -> Option<Remark> {
    let worked = *job.state.lens(eye) != LensState::new(job.lens_number(eye));
    let left = worked && job.made(eye).is_ok() && !order.eye(eye).wanted.is_made();
    left.then(|| Remark {
        severity: Severity::Unusual,
        place: format!("{eye} eye"),
        text: "what was logged of its lens stays in the log, and asks for nothing more".into(),
    })
}
