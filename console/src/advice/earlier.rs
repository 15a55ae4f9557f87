//! What the jobs before tell of the frame of one job.

use super::{Learned, Telling};
use crate::work::{Job, SizedJob, Work, WorkError};
use bevelbook_core::prescription::Eye;
use bevelbook_core::sizing::Size;

/// What the jobs before tell of the frame of one job.
#[derive(Clone, Debug, Default)]
pub struct Earlier {
    /// Where lenses fitted frames like it, in the order of the station; its own among them that were replaced.
    pub fits: Vec<Size>,
    /// What the book tells of how big to cut; none where nothing would follow it, or too little is known.
    pub told: Option<Telling>,
}

impl Earlier {
    /// As the book has it now.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn of(work: &Work, job: &Job) -> Result<Self, WorkError> {
        let alike = work.sized_of(&job.order.frame)?;
        let learned = Learned::for_job(work, job)?;
        let of_frame = learned.as_ref().and_then(|learned| learned.of_frame(work.settings(), job, &alike));
        let told = of_frame.map(|frame| frame.tells(job));
        let fits = alike.iter().flat_map(SizedJob::fits);
        let fits = fits.filter(|(lens, _)| *lens != job.pair().lens(lens.eye)).map(|(_, size)| size);
        Ok(Self { fits: fits.collect(), told })
    }
}

impl Learned {
    /// The same for one job; nothing where no lens of it would follow what the book tells: none is asked for then.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn for_job(work: &Work, job: &Job) -> Result<Option<Self>, WorkError> {
        let follows = |eye| job.made(eye).is_ok() && job.state.known(eye).follows_book();
        let open = job.order.frame.rim.closes_round_lens() && job.closed.is_none();
        match work.here_if_said()?.filter(|_| open && Eye::BOTH.into_iter().any(follows)) {
            Some(station) => Self::without(work, station, Some(job.id)),
            None => Ok(None),
        }
    }
}
