//! The book as the bench opens it: on the model's disk, and beside it, where asked for, the real one.

use crate::day;
use crate::disk::Disk;
use crate::server::AWAY;
use bevelbook::keypad::{BenchBook, OpenJobs, Opening};
use bevelbook::work::{Held, Imported, Work, revision};
use bevelbook_core::link::{Card, Station};
use bevelbook_core::record::{Bench, Flow, JournalId, Stored};
use bevelbook_core::sizing::Habit;
use std::cell::RefCell;
use std::fmt;
use std::rc::Rc;

/// Where the book is: a disk, and how the real book is opened if it goes along.
#[derive(Clone)]
pub(crate) struct Place {
    pub(crate) disk: Rc<RefCell<Disk>>,
    pub(crate) real: Option<<Work as BenchBook>::Place>,
}

impl fmt::Debug for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("Place")
    }
}

/// An open book.
#[derive(Debug)]
pub(crate) struct Store {
    place: Place,
    real: Option<Work>,
    /// The book that was opened, and how often it was written by this console.
    generation: u32,
    writes: i64,
    /// How often the server's connections were broken before this one.
    connection: u32,
}

impl Store {
    pub(crate) fn open(place: &Place) -> Result<Self, String> {
        let mut disk = place.disk.borrow_mut();
        let connection = disk.server.broken;
        disk.server.answers(connection)?;
        if disk.locked > 0 {
            disk.locked -= 1;
            return Err("it cannot be opened".to_owned());
        }
        let reopen = |(path, settings): &<Work as BenchBook>::Place| Work::reopen(path, settings.clone());
        let real = place.real.as_ref().map(reopen).transpose().map_err(|error| error.to_string())?;
        Ok(Self { place: place.clone(), real, generation: disk.generation, writes: disk.writes, connection })
    }

    /// The book that was opened must still be the one in its place, and its server must answer.
    fn check(&self) -> Result<(), String> {
        let mut disk = self.place.disk.borrow_mut();
        disk.server.answers(self.connection)?;
        let same = disk.generation == self.generation;
        if same { Ok(()) } else { Err("another book is in its place".to_owned()) }
    }

    /// Both books are asked the same; the model's answer counts.
    fn both<T: PartialEq + fmt::Debug>(&self, what: &str, model: T, real: Option<T>) -> T {
        if let Some(real) = real.filter(|real| *real != model) {
            let mut disk = self.place.disk.borrow_mut();
            disk.otherwise.get_or_insert(format!("{what}: the real book says {real:?}, the model {model:?}"));
        }
        model
    }
}

impl BenchBook for Store {
    type Error = String;
    type Place = Place;

    fn place(&self) -> Place {
        self.place.clone()
    }

    fn reopen(place: &Place) -> Opening<Self> {
        Opening::Done(Self::open(place))
    }

    fn away(error: &String) -> Option<&str> {
        Some(error.as_str()).filter(|error| error.starts_with(AWAY))
    }

    fn note_choices(&mut self) -> Result<(), String> {
        self.check()?;
        // It is a write, whether it puts anything down or not.
        self.place.disk.borrow_mut().followed();
        self.real.as_mut().map_or(Ok(()), |real| real.note_choices().map_err(|error| error.to_string()))
    }

    fn own_journal(&self) -> Result<JournalId, String> {
        self.check()?;
        Ok(self.place.disk.borrow().content.own)
    }

    fn version(&self) -> Result<i64, String> {
        self.check()?;
        Ok(self.place.disk.borrow().writes - self.writes)
    }

    fn name_of(&self, journal: JournalId) -> Result<Option<String>, String> {
        self.check()?;
        let disk = self.place.disk.borrow();
        Ok(disk.content.adopted.iter().find(|(known, _)| *known == journal).map(|(_, name)| name.clone()))
    }

    fn adopt(&mut self, journal: JournalId, name: &str) -> Result<Result<(), String>, String> {
        self.check()?;
        if let Some(real) = &mut self.real {
            real.adopt(journal, name).map_err(|error| error.to_string())?;
        }
        self.place.disk.borrow_mut().content.adopted.push((journal, name.to_owned()));
        Ok(Ok(()))
    }

    fn held(&self, journal: JournalId) -> Result<Held, String> {
        self.check()?;
        let held = self.place.disk.borrow().content.held(journal);
        let real = self.real.as_ref().map(|real| real.journal(journal)).transpose();
        let real = real.map_err(|error| error.to_string())?.map(|held| (held.last, held.conflict));
        self.both("held", (held.last, held.conflict), real);
        Ok(held)
    }

    fn dated(&self, journal: JournalId) -> Result<Vec<(u32, u32, i64)>, String> {
        self.check()?;
        let disk = self.place.disk.borrow();
        let dated = disk.content.of(journal).filter_map(|row| {
            let Stored { boot, ticks, .. } = row.record;
            Some((boot, ticks, row.utc_ms?))
        });
        let dated: Vec<(u32, u32, i64)> = dated.collect();
        drop(disk);
        let real = self.real.as_ref().map(|real| real.dated(journal)).transpose();
        Ok(self.both("dated", dated, real.map_err(|error| error.to_string())?))
    }

    fn take_in(
        &mut self,
        journal: JournalId,
        records: Vec<(Stored, Option<i64>)>,
    ) -> Result<Imported, String> {
        self.check()?;
        let (meets, lost) = {
            let disk = self.place.disk.borrow();
            (disk.next_commit, disk.server.lost)
        };
        let is_kept = lost.map_or(matches!(meets, None | Some(2 | 4)), |(done, _)| done);
        let imported = self.place.disk.borrow_mut().commit(journal, &records);
        self.writes += i64::from(imported.is_ok());
        // What the model's disk has for good, the real one has.
        if let Some(real) = self.real.as_mut().filter(|_| is_kept) {
            let real = real.take_in(journal, records).map_err(|error| error.to_string())?;
            if let Ok(model) = &imported {
                self.both("taken in", model.clone(), Some(real));
            }
        }
        imported
    }

    fn station_for(&self, journal: JournalId) -> Result<Station, String> {
        self.check()?;
        if let Some(real) = &self.real {
            return real.station_for(journal).map_err(|error| error.to_string());
        }
        let content = &self.place.disk.borrow().content;
        Ok(Station {
            revision: revision(content.own, content.newest(|fact| matches!(fact, Bench::Station(_)))),
            includes_upto: content.last(journal).unwrap_or(0),
            dial: content.dial(),
            habit: Habit::COMMON,
            flow: Flow::COMMON,
        })
    }

    fn refresh(&self, jobs: &mut OpenJobs, journal: JournalId, room: usize) -> Result<(), String> {
        self.check()?;
        if let Some(real) = &self.real {
            return real.refresh(jobs, journal, room).map_err(|error| error.to_string());
        }
        let content = &self.place.disk.borrow().content;
        // What the other job shows bears on it too, and what the station stated.
        let bears =
            |fact: &Bench, job| fact.job() == Some(day::alike(job)) || matches!(fact, Bench::Station(_));
        let card = |job| {
            let snapshot = content.snapshot(journal, job);
            let newest = content.newest(|fact| bears(fact, job)).max(snapshot.position);
            Card {
                revision: revision(content.own, newest),
                advice: day::advice(&content.state(day::alike(job))),
                includes_upto: snapshot.includes_upto,
                state: snapshot.state,
                ..day::card(job)
            }
        };
        jobs.wanted = day::JOBS.into_iter().take(room).map(|job| (job, card(job))).collect();
        Ok(())
    }
}
