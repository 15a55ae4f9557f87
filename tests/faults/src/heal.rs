//! The end of every run: all faults are gone, and everything comes in.

use crate::day::{self, JOBS};
use crate::disk::Content;
use crate::oracle::Broken;
use crate::world::{Console, World};
use bevelbook::keypad::Link;
use bevelbook_core::record::{JobId, JobState, JournalId};

/// How long everything may take to come in.
const PATIENCE_MS: u64 = 120_000;
/// How long cards may take after that.
const CARDS_MS: u64 = 3000;

impl World {
    /// Heals everything, lets both keypads give what they have, and looks at what has become of it.
    pub(crate) fn heal(&mut self) -> Result<(), Broken> {
        self.note(&[11], || "everything is well again".to_owned());
        self.wire.quiet();
        self.stranger = None;
        self.cable = true;
        self.consoles[1] = Console::default();
        (self.consoles[0].frames_left, self.consoles[0].busy_ms) = (None, 0);
        let mut disk = self.place.disk.borrow_mut();
        (disk.next_commit, disk.locked) = (None, 0);
        disk.server.heal();
        drop(disk);
        for unit in &mut self.units {
            unit.next_cuts.clear();
            unit.disturbed = [0; 2];
            unit.disturb([0; 2]);
            if unit.app.is_some() {
                unit.chip.pages().power_on();
            }
        }
        if self.consoles[0].bench.is_none() {
            self.start_console(0);
        }
        for _ in 0..2 {
            self.held = 1 - self.held;
            // One that was never on the cable has nothing.
            if self.units[self.held].started_ms > 0 {
                self.drain()?;
            }
        }
        self.tally.saved = self.oracle.saved;
        self.tally.damaged = self.wire.damaged;
        self.tally.bad = self.wire.bad;
        self.tally.virtual_ms = self.now_ms;
        let server = &self.place.disk.borrow().server;
        (self.tally.servers, self.tally.unanswered) = (server.went, server.unanswered);
        match self.wire.bad {
            0 => Ok(()),
            bad => Err(format!("{bad} frames were accepted that nobody sent")),
        }
    }

    /// Lets the keypad on the cable give everything.
    fn drain(&mut self) -> Result<(), Broken> {
        let held = self.held;
        if self.units[held].app.is_none() {
            self.start_unit(held)?;
        }
        self.plugged();
        let until = self.now_ms + PATIENCE_MS;
        // Cards come from the first console's book, which is asked for again ever more seldom while its server is away.
        let waits = |world: &Self| {
            let (app, bench) = (world.units[held].app.as_ref(), world.consoles[0].bench.as_ref());
            let is_open =
                bench.is_some_and(|bench| !matches!(bench.link(), Link::Away { .. } | Link::NoBook));
            !is_open || app.is_none_or(|app| app.memory().unacknowledged() > 0)
        };
        self.run(1000)?;
        while waits(self) && self.now_ms < until {
            self.run(500)?;
        }
        let journal = self.units[held].journal;
        if waits(self) {
            return if self.is_told(held) {
                Ok(())
            } else {
                Err(format!("keypad {held} ({journal}) keeps records that do not come in"))
            };
        }
        self.run(CARDS_MS)?;
        let disk = self.place.disk.borrow();
        let unit = &mut self.units[held];
        if unit.rolled_back {
            return Ok(());
        }
        self.oracle.all_in(journal, &disk.content, &unit.chip)?;
        let counts = self.oracle.counts();
        self.trace.note(self.now_ms, &counts, || format!("keypad {held} has given everything: {counts:?}"));
        if let Some(real) = &self.real {
            real.agrees(journal, &disk.content)?;
        }
        let Some(app) = &unit.app else { return Ok(()) };
        let Some(found) = app.in_hand() else { return Ok(()) };
        let real = self.real.as_ref().map(|real| real.state(found.job())).transpose()?.flatten();
        // The real book has orders of its own under other identities.
        if JOBS.contains(&found.job()) && self.real.is_some() == real.is_some() {
            let fitted = match &self.real {
                Some(real) => real.fitted(found.job())?,
                None => {
                    day::advice(&disk.content.state(day::alike(found.job()))).map_or(0, |book| book.lenses)
                }
            };
            // Of frames that are too unlike nothing is told.
            let told = app.told_by_book().map(|book| book.lenses);
            if told.is_some_and(|told| told != fitted) || self.real.is_none() && told.unwrap_or(0) != fitted {
                return Err(format!(
                    "the keypad holds that {told:?} lenses fitted, and the book that {fitted} did"
                ));
            }
        }
        let known = || told(found.job(), &disk.content, journal, app.memory().oldest());
        // What was typed of it in the model was not in the real book.
        let apart = self.real.is_some() && JOBS.contains(&found.job());
        let expected = if apart { real } else { real.or_else(known) };
        match expected {
            Some(expected) if expected != *found => {
                Err(format!("the keypad advises by {found:?}\n  and the book tells {expected:?}"))
            }
            _ => Ok(()),
        }
    }

    /// A keypad that nothing is taken from, and that somebody was told of.
    fn is_told(&self, held: usize) -> bool {
        let unit = &self.units[held];
        let content = &self.place.disk.borrow().content;
        let behind =
            unit.app.as_ref().is_some_and(|app| content.last(unit.journal) >= Some(app.memory().next()));
        unit.rolled_back && (behind || content.conflict(unit.journal).is_some())
    }
}

/// What the book tells of a job, where the keypad can know all of it.
fn told(job: JobId, content: &Content, journal: JournalId, oldest: u32) -> Option<JobState> {
    // Of a job that was opened there it knows what its pages still hold.
    let first = content.of(journal).find(|row| row.record.fact().is_ok_and(|fact| fact.job() == Some(job)));
    let known = JOBS.contains(&job) || first.is_some_and(|row| row.record.seq >= oldest);
    known.then(|| content.state(job))
}
