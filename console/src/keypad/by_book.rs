//! What cards say by the book, and for how long.
//!
//! What the shop's lenses taught moves by a hair with each of them, and a card that followed it would be written anew with
//! each lens of the shop. So what was told of a job stands until something bears on it: a lens of its model came to an end,
//! one of its own fits, its frame is another, or the shop stated something. All of those are records, and the newest of them
//! is in the card's revision; what the shop taught as a whole is not. Of a lens that is none of its model any more no record
//! of the model tells, so the revision never falls behind the place at which that was noticed ([`TellsOf::left`]).
//!
//! To learn takes some tenths of a second. It is done at the start and when something was stated, which is seldom; else on
//! a thread of its own, beside the line ([`ByBook::go_on`]).

use crate::advice::{Learned, beside};
use crate::belief::Rims;
use crate::settings::Settings;
use crate::work::Place;
use crate::work::{FrameKey, Job, SizedJob, Stations, Whose, Work, WorkError};
use bevelbook_core::prescription::Eye;
use bevelbook_core::record::{JobId, StationId};
use bevelbook_core::sizing::Advice;
use bevelbook_core::units::Length;
use std::collections::BTreeMap;
use std::sync::mpsc::{Receiver, TryRecvError, channel};

/// It is learned anew when lenses of so many jobs came to an end.
const ENOUGH: usize = 10;

/// What the shop's lenses taught, and what was told of each job by it.
#[derive(Debug, Default)]
pub(super) struct ByBook {
    learned: Option<Learned>,
    /// The station that it was learned for: that of the keypad, else that of the console.
    station: StationId,
    /// The position of what was stated last, under which it was learned; none before anything was.
    stated: Option<i64>,
    /// The book's version when it was looked for that.
    version: Option<i64>,
    /// In how many jobs lenses came to an end since.
    since: usize,
    coming: Option<Receiver<Option<Learned>>>,
    told: BTreeMap<JobId, TellsOf>,
}

/// What the book tells of one job.
#[derive(Debug, Default)]
pub(super) struct TellsOf {
    pub(super) advice: Option<Advice>,
    /// The position of the newest record of another job that bears on it.
    pub(super) position: i64,
    /// Whether it still holds.
    stands: bool,
    frame: Option<FrameKey>,
    /// What its own lens that fits showed of the frame.
    beside: Option<(Eye, Rims)>,
    /// The jobs whose lenses it rests on, and the newest record of each that bears on their ends.
    of: BTreeMap<JobId, i64>,
    /// The position of the book when one of those was missed, or its newest record was; 0 before. A console that is started
    /// again has forgotten it: a keypad that holds the higher revision drops that card and is sent the one that holds now.
    left: i64,
}

impl ByBook {
    /// It is asked for a keypad at this station from now on.
    pub(super) fn at(&mut self, station: StationId) {
        if self.station != station {
            *self = Self { station, ..Self::default() };
        }
    }

    /// Learns anew where something was stated since.
    ///
    /// # Errors
    /// The book cannot be read.
    pub(super) fn stated(&mut self, work: &Work, stated: i64) -> Result<(), WorkError> {
        if self.stated != Some(stated) {
            let (learned, station) = (Learned::at(work, self.station)?, self.station);
            *self = Self { learned, station, stated: Some(stated), ..Self::default() };
        }
        Ok(())
    }

    /// Learns beside the line once lenses enough came to an end.
    ///
    /// # Errors
    /// The book cannot be read.
    pub(super) fn go_on(&mut self, work: &Work) -> Result<(), WorkError> {
        let version = Some(work.version()?);
        if self.stated.is_none() || self.version != version {
            self.stated(work, work.stated_position()?)?;
            self.version = version;
        }
        match self.coming.as_ref().map(Receiver::try_recv) {
            None if self.since >= ENOUGH => {
                self.coming = Some(learning(work.place(), work.settings(), self.station));
                self.since = 0;
            }
            None | Some(Err(TryRecvError::Empty)) => {}
            Some(Ok(learned)) => (self.learned, self.coming) = (learned, None),
            Some(Err(TryRecvError::Disconnected)) => self.coming = None,
        }
        Ok(())
    }

    /// Nothing that was told stands any more.
    pub(super) fn forget(&mut self) {
        self.told.values_mut().for_each(|told| told.stands = false);
    }

    /// A job was written to, whose records up to `seen` are taken into account; the jobs of which the book tells something
    /// else now: those that rest on another end of its lenses than there is now, or on one that is none any more.
    pub(super) fn wrote(&mut self, id: JobId, whose: &Whose, seen: i64) -> Vec<JobId> {
        let sized = match whose {
            Whose::Ordered(job) => job.sized(),
            Whose::Own(_) | Whose::Nobody => None,
        };
        let ended = sized.and_then(|sized| Some((sized.frame, sized.ended_at?)));
        self.since += usize::from(ended.as_ref().is_some_and(|(_, at)| *at > seen));
        let mut others = Vec::new();
        for (other, told) in self.told.iter_mut().filter(|(other, told)| **other != id && told.stands) {
            let alike = |of: &FrameKey| told.frame.as_ref().is_some_and(|frame| frame.is_alike(of));
            let now = ended.as_ref().filter(|(frame, _)| alike(frame)).map(|(_, at)| at);
            if told.of.get(&id) != now {
                told.stands = false;
                others.push(*other);
            }
        }
        others
    }

    /// What the book tells of a job.
    ///
    /// # Errors
    /// The book cannot be read.
    pub(super) fn of(&mut self, work: &Work, job: &Job) -> Result<&TellsOf, WorkError> {
        let (frame, beside) = (Some(FrameKey::of(&job.order.frame)), own(job));
        let before = self.told.remove(&job.id).unwrap_or_default();
        let stands = before.stands && before.frame == frame && before.beside == beside;
        let told = if stands { before } else { self.anew(work, job, &before)? };
        Ok(self.told.entry(job.id).or_insert(told))
    }

    /// What it tells of a job now, of which it told something else before.
    fn anew(&self, work: &Work, job: &Job, before: &TellsOf) -> Result<TellsOf, WorkError> {
        let alike = work.sized_of(&job.order.frame)?;
        let others = alike.iter().filter(|other| other.id != job.id);
        let of: BTreeMap<JobId, i64> = others.filter_map(|other| Some((other.id, other.ended_at?))).collect();
        let is_missed = |(id, at): (&JobId, &i64)| of.get(id).is_none_or(|now| now < at);
        let left = if before.of.iter().any(is_missed) { work.last_position()? } else { before.left };
        Ok(TellsOf {
            advice: self.by(work, job, &alike),
            position: of.values().copied().max().unwrap_or(0).max(left),
            stands: true,
            frame: Some(FrameKey::of(&job.order.frame)),
            beside: own(job),
            of,
            left,
        })
    }
}

impl ByBook {
    /// What it tells of a job whose card says nothing, by what the shop taught so far.
    ///
    /// # Errors
    /// The book cannot be read.
    pub(super) fn advice(&self, work: &Work, job: &Job) -> Result<Option<Advice>, WorkError> {
        Ok(self.by(work, job, &work.sized_of(&job.order.frame)?))
    }

    fn by(&self, work: &Work, job: &Job, alike: &[SizedJob]) -> Option<Advice> {
        let of_frame = self.learned.as_ref()?.of_frame(work.settings(), job, alike)?;
        Some(of_frame.tells(job).advice)
    }
}

/// What its own lenses showed, wherever they were tried: of that it is told when it is stated.
fn own(job: &Job) -> Option<(Eye, Rims)> {
    beside(job, &Stations::default())
}

/// With which size the book begins, and why, in one line; nothing where it tells nothing of that.
pub(super) fn begin_words(book: &Advice) -> Option<String> {
    let first = book.first.first()?;
    let many = if book.lenses == u8::MAX { "255+".to_owned() } else { book.lenses.to_string() };
    let why = match book.fitted.map(|fitted| fitted.map(Length::fine)) {
        Some([least, most]) if least == most => format!("{many} of this model fitted at {least:+}"),
        Some([least, most]) => format!("{many} of this model fitted {least:+} to {most:+}"),
        None => "none of this model fitted yet: by other models".into(),
    };
    Some(format!("by the book begin at {:+} mm on {}: {why}", first.fine(), book.basis))
}

/// What a book teaches, as soon as that is known.
fn learning(place: &Place, settings: &Settings, station: StationId) -> Receiver<Option<Learned>> {
    let (tell, coming) = channel();
    let (place, settings) = (place.clone(), settings.clone());
    std::thread::spawn(move || {
        // A book that cannot be read is told of by whoever works with it.
        if let Ok(learned) = Work::look(place, settings).and_then(|work| Learned::at(&work, station)) {
            let _ = tell.send(learned);
        }
    });
    coming
}
