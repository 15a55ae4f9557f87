//! What the bench asks of the book: [`Work`] gives it at a console, and a model of a disk where the whole is simulated.

use super::jobs::OpenJobs;
use crate::desk::Met;
use crate::settings::Settings;
use crate::work::Place;
use crate::work::{Held, Imported, Line, Uncaused, Work, WorkError};
use bevelbook_core::link::Station;
use bevelbook_core::record::{JobId, JournalId, Stored};
use jiff::{Timestamp, tz::TimeZone};
use std::fmt::{Debug, Display};
use std::sync::mpsc::{Receiver, channel};
use std::thread::Builder;

/// A book that is being opened.
#[derive(Debug)]
pub enum Opening<B: BenchBook> {
    /// That is done.
    Done(Result<B, B::Error>),
    /// It comes when it is there.
    Coming(Receiver<Result<B, B::Error>>),
}

/// A book that is open. Whatever fails, the bench closes it and opens it again.
pub trait BenchBook: Sized {
    /// Why it did not do something.
    type Error: Debug + Display;
    /// What opens the same book again.
    type Place: Debug;

    /// What opens this book again.
    fn place(&self) -> Self::Place;

    /// Opens the book again, at once or beside us.
    fn reopen(place: &Self::Place) -> Opening<Self>;

    /// What was met, where an error says that the server which keeps the book is away.
    fn away(error: &Self::Error) -> Option<&str>;

    /// What the shop's keypads are called; in a book that nobody reads, nothing.
    ///
    /// # Errors
    /// The book cannot be read.
    fn keypad_names(&self) -> Result<Vec<String>, Self::Error> {
        Ok(Vec::new())
    }

    /// What is done with a book each day, as its backup; asked for every hour. It stops nothing.
    ///
    /// # Errors
    /// It could not be done.
    fn look_after(&self, utc_ms: i64) -> Result<(), Self::Error> {
        let _ = utc_ms;
        Ok(())
    }

    /// Puts down the choices of the settings where they changed.
    ///
    /// # Errors
    /// The book refuses.
    fn note_choices(&mut self) -> Result<(), Self::Error>;

    /// The journal that this console writes.
    ///
    /// # Errors
    /// The book cannot be read.
    fn own_journal(&self) -> Result<JournalId, Self::Error>;

    /// A number that differs from the last one asked for when another console has written in between.
    ///
    /// # Errors
    /// The book cannot be read.
    fn version(&self) -> Result<i64, Self::Error>;

    /// What the shop calls the keypad that writes `journal`, and at which of several stations it stands; none when it is not one of this shop's.
    ///
    /// # Errors
    /// The book cannot be read.
    fn name_of(&self, journal: JournalId) -> Result<Option<String>, Self::Error>;

    /// Makes the keypad that writes `journal` one of this shop's; or tells what has to be said for that.
    ///
    /// # Errors
    /// The book refuses.
    fn adopt(&mut self, journal: JournalId, name: &str) -> Result<Result<(), String>, Self::Error>;

    /// What the book has of a keypad's journal.
    ///
    /// # Errors
    /// The book cannot be read.
    fn held(&self, journal: JournalId) -> Result<Held, Self::Error>;

    /// Boot, ticks and wall time of the newest dated records of a journal.
    ///
    /// # Errors
    /// The book cannot be read.
    fn dated(&self, journal: JournalId) -> Result<Vec<(u32, u32, i64)>, Self::Error>;

    /// Puts down when a keypad was here, which bounds when what is not dated was made; in a book that nobody reads, nothing.
    ///
    /// # Errors
    /// The book refuses.
    fn note_met(&mut self, _: Vec<Met>) -> Result<(), Self::Error> {
        Ok(())
    }

    /// Records of a journal as they stand in the book, with what is known of when they were made; in a book that nobody reads,
    /// none.
    ///
    /// # Errors
    /// The book cannot be read.
    fn lines(&self, _: JournalId, _: &[u32]) -> Result<Vec<Line>, Self::Error> {
        Ok(Vec::new())
    }

    /// Takes in records of a keypad's journal; when this returns they are on the disk.
    ///
    /// # Errors
    /// The book refuses; nothing was taken in.
    fn take_in(
        &mut self,
        journal: JournalId,
        records: Vec<(Stored, Option<i64>)>,
    ) -> Result<Imported, Self::Error>;

    /// What the keypad that writes `journal` is told of the station.
    ///
    /// # Errors
    /// The book cannot be read.
    fn station_for(&self, journal: JournalId) -> Result<Station, Self::Error>;

    /// Makes the cards anew that the keypad which writes `journal` should hold, `room` of them at most.
    ///
    /// # Errors
    /// The book cannot be read.
    fn refresh(&self, jobs: &mut OpenJobs, journal: JournalId, room: usize) -> Result<(), Self::Error>;

    /// Goes on learning what the shop's lenses teach, which cards say by the book; in a book that teaches nothing, nothing.
    ///
    /// # Errors
    /// The book cannot be read.
    fn go_on(&self, _: &mut OpenJobs) -> Result<(), Self::Error> {
        Ok(())
    }

    /// Why which lenses of a job were spoiled nobody told yet; in a book that nobody is asked about, none.
    ///
    /// # Errors
    /// The book cannot be read.
    fn uncaused(&self, _: JobId) -> Result<Vec<Uncaused>, Self::Error> {
        Ok(Vec::new())
    }

    /// Looks up what a job is called that is talked of next; in a book that nobody reads in words, nothing.
    ///
    /// # Errors
    /// The book cannot be read.
    fn learn(&self, _: &mut OpenJobs, _: JobId) -> Result<(), Self::Error> {
        Ok(())
    }
}

impl BenchBook for Work {
    type Error = WorkError;
    type Place = (Place, Settings);

    fn place(&self) -> Self::Place {
        (Work::place(self).clone(), self.settings().clone())
    }

    /// Beside us: a server may be waited for that does not answer, and the keypad's line is not.
    fn reopen(place: &Self::Place) -> Opening<Self> {
        let open =
            |(place, settings): &Self::Place| Self::reopen(place, settings.clone()).map(Self::at_bench);
        let (tell, coming) = channel();
        let there = place.clone();
        // Whoever wanted it may be gone by then.
        let begun = Builder::new().spawn(move || drop(tell.send(open(&there))));
        begun.map_or_else(|_| Opening::Done(open(place)), |_| Opening::Coming(coming))
    }

    fn away(error: &WorkError) -> Option<&str> {
        error.away()
    }

    fn keypad_names(&self) -> Result<Vec<String>, WorkError> {
        Ok(self.keypads()?.into_iter().map(|keypad| keypad.name).collect())
    }

    fn look_after(&self, utc_ms: i64) -> Result<(), WorkError> {
        let Ok(now) = Timestamp::from_millisecond(utc_ms) else { return Ok(()) };
        self.back_up_daily(now.to_zoned_datetime(TimeZone::system()).datetime()).map(drop)
    }

    fn note_choices(&mut self) -> Result<(), WorkError> {
        self.note_choices()
    }

    fn own_journal(&self) -> Result<JournalId, WorkError> {
        self.own_journal()
    }

    fn version(&self) -> Result<i64, WorkError> {
        self.version()
    }

    fn name_of(&self, journal: JournalId) -> Result<Option<String>, WorkError> {
        let adopted = self.keypads()?.into_iter().find(|keypad| keypad.journal == journal);
        let (stations, at) = (self.stations()?, self.station_of(journal)?);
        Ok(adopted.map(|keypad| match stations.told(at) {
            Some(station) => format!("{} at {station}", keypad.name),
            None => keypad.name,
        }))
    }

    fn adopt(&mut self, journal: JournalId, name: &str) -> Result<Result<(), String>, WorkError> {
        match self.adopt(journal, name) {
            Err(
                why @ (WorkError::WhichStation { .. }
                | WorkError::NoStationCalled { .. }
                | WorkError::WhoSays),
            ) => Ok(Err(why.to_string())),
            adopted => adopted.map(|_| Ok(())),
        }
    }

    fn held(&self, journal: JournalId) -> Result<Held, WorkError> {
        self.journal(journal)
    }

    fn dated(&self, journal: JournalId) -> Result<Vec<(u32, u32, i64)>, WorkError> {
        self.dated(journal)
    }

    fn take_in(
        &mut self,
        journal: JournalId,
        records: Vec<(Stored, Option<i64>)>,
    ) -> Result<Imported, WorkError> {
        self.take_in(journal, records)
    }

    fn note_met(&mut self, met: Vec<Met>) -> Result<(), WorkError> {
        self.note_met(&met)
    }

    fn lines(&self, journal: JournalId, numbers: &[u32]) -> Result<Vec<Line>, WorkError> {
        self.lines_of(journal, numbers)
    }

    fn station_for(&self, journal: JournalId) -> Result<Station, WorkError> {
        self.station_for(journal)
    }

    fn refresh(&self, jobs: &mut OpenJobs, journal: JournalId, room: usize) -> Result<(), WorkError> {
        jobs.refresh(self, journal, room)
    }

    fn go_on(&self, jobs: &mut OpenJobs) -> Result<(), WorkError> {
        jobs.go_on(self)
    }

    fn uncaused(&self, id: JobId) -> Result<Vec<Uncaused>, WorkError> {
        Ok(match self.called(id)? {
            Some((order, _)) => self.job(order)?.uncaused().collect(),
            None => Vec::new(),
        })
    }

    fn learn(&self, jobs: &mut OpenJobs, id: JobId) -> Result<(), WorkError> {
        jobs.learn(self, id)
    }
}
