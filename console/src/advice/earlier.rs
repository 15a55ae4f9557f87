//! What the jobs before tell of the frame of one job.

use super::learned::{Lately, mm};
use super::{Learned, Telling};
use crate::work::{Job, Work, WorkError};
use bevelbook_core::link::plain;
use bevelbook_core::prescription::Eye;
use bevelbook_core::record::StationId;
use bevelbook_core::sizing::Size;

/// What the jobs before tell of the frame of one job.
#[derive(Clone, Debug, Default)]
pub struct Earlier {
    /// Where lenses fitted frames like it, in the order of the station; its own among them that were replaced. Where it was said
    /// at which of several stations that is asked, those that were tried there.
    pub fits: Vec<Size>,
    /// How many fitted at other stations.
    pub elsewhere: usize,
    /// What the book tells of how big to cut; none where nothing would follow it, or too little is known.
    pub told: Option<Telling>,
    /// Whether the dial's steps are too coarse for it: a rim fits between two of its sizes.
    pub is_coarse: bool,
    /// At which station.
    pub at: At,
}

/// The station for which it is told how big to cut.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub enum At {
    /// The only one there is.
    #[default]
    Only,
    /// Of several the one that is called so.
    Named(String),
    /// It was not said which of several; one of them is called so.
    Unsaid(String),
}

impl At {
    fn of(work: &Work) -> Result<Self, WorkError> {
        let stations = work.stations()?;
        Ok(match work.here_if_said()? {
            Some(here) => stations.told(here).map_or(Self::Only, |name| Self::Named(plain(name).collect())),
            None => Self::Unsaid(plain(stations.name(StationId::FIRST)).collect()),
        })
    }
}

impl Earlier {
    /// Whether lenses fitted frames like it, at whatever station.
    #[must_use]
    pub const fn knows(&self) -> bool {
        !self.fits.is_empty() || self.elsewhere > 0
    }

    /// As the book has it now.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn of(work: &Work, job: &Job) -> Result<Self, WorkError> {
        work.ahead(|work| Self::ask(work, job))?;
        let alike = work.sized_of(&job.order.frame)?;
        let learned = Learned::for_job(work, job)?;
        let of_frame = learned.as_ref().and_then(|learned| learned.of_frame(work.settings(), job, &alike));
        let told = of_frame.map(|frame| frame.tells(job));
        let window = work.settings().advice.window.of(job.order.frame.rim).map(mm);
        let is_coarse =
            learned.as_ref().zip(window).is_some_and(|(learned, window)| !learned.tells_in(window));
        let fits = |station| {
            let fits = alike.iter().flat_map(move |job| job.fits_at(station));
            fits.filter(|(lens, _)| *lens != job.pair().lens(lens.eye))
                .map(|(_, size)| size)
                .collect::<Vec<_>>()
        };
        let (all, here) = (fits(None), fits(work.here_if_said()?));
        Ok(Self { elsewhere: all.len() - here.len(), fits: here, told, is_coarse, at: At::of(work)? })
    }

    /// Asks what that asks first ([`Work::ahead`]).
    pub fn ask(work: &Work, job: &Job) {
        drop((At::of(work), work.sized_of(&job.order.frame)));
        Learned::ask(work, job);
    }
}

impl Learned {
    /// The same for one job; nothing where no lens of it would follow what the book tells: none is asked for then.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn for_job(work: &Work, job: &Job) -> Result<Option<Self>, WorkError> {
        match work.here_if_said()?.filter(|_| follows(job)) {
            Some(station) => Self::without(work, station, Some(job.id)),
            None => Ok(None),
        }
    }

    /// Asks what is learned from for a job, and what frames like its own showed ([`Work::ahead`]).
    pub fn ask(work: &Work, job: &Job) {
        if follows(job) {
            drop((work.sized_of(&job.order.frame), Lately::of(work, None)));
        }
    }
}

/// Whether a lens of a job would follow the book.
fn follows(job: &Job) -> bool {
    let follows = |eye| job.made(eye).is_ok() && job.state.known(eye).follows_book();
    job.order.frame.rim.closes_round_lens() && job.closed.is_none() && Eye::BOTH.into_iter().any(follows)
}
