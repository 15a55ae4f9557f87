//! Both ends on one line, in virtual time: who is there, and what a turn is.

use crate::chance::Chance;
use crate::day::{self, KEYPADS, STRANGER};
use crate::disk::{Content, Disk};
use crate::oracle::{Broken, Oracle, Shown};
use crate::real::Real;
use crate::script::{Script, Start};
use crate::store::{Place, Store};
use crate::stranger::Stranger;
use crate::tally::Tally;
use crate::trace::Trace;
use crate::unit::{Started, Unit};
use crate::wire::{Way, Wire};
use bevelbook::keypad::{Bench, BenchBook, Note, Now};
use bevelbook_core::link::{End, MAX_WIRE};
use bevelbook_core::record::JournalId;
use std::cell::RefCell;
use std::rc::Rc;

/// 2026-03-01T09:00:00Z.
const UTC_MS: i64 = 1_772_355_600_000;
/// More notes at once than anything can call for.
const NOTES: usize = 200;
/// The most frames that an end sends in one turn, as the pump has it.
const FRAMES: usize = 8;

/// A console.
#[derive(Debug, Default)]
pub(crate) struct Console {
    pub(crate) bench: Option<Box<Bench<Store>>>,
    /// It is killed when it has sent so many frames more.
    pub(crate) frames_left: Option<u64>,
}

/// Everything.
pub(crate) struct World {
    pub(crate) now_ms: u64,
    pub(crate) utc_at_zero_ms: i64,
    pub(crate) units: [Unit; 2],
    /// Which of them is on the cable, and whether that is in.
    pub(crate) held: usize,
    pub(crate) cable: bool,
    pub(crate) stranger: Option<Stranger>,
    pub(crate) consoles: [Console; 2],
    pub(crate) wire: Wire,
    pub(crate) place: Place,
    /// The real book, where it goes along.
    pub(crate) real: Option<Real>,
    pub(crate) oracle: Oracle,
    pub(crate) chance: Chance,
    pub(crate) trace: Trace,
    pub(crate) tally: Tally,
    /// Journals begun so far.
    pub(crate) begun: u64,
}

impl World {
    pub(crate) fn new(script: &Script, real: Option<Real>, in_words: bool) -> Result<Self, Broken> {
        let adopted: &[JournalId] =
            if script.start == Start::New { &[STRANGER] } else { &[KEYPADS[0], KEYPADS[1], STRANGER] };
        let mut content = Content::new(day::OWN, adopted);
        let (mut oracle, mut before) = (Oracle::default(), Vec::new());
        let units = [0, 1].map(|at| {
            let (pages, records) = day::morning(script.start, at);
            content.take(KEYPADS[at], &records);
            oracle.before(KEYPADS[at], &records);
            before.push((KEYPADS[at], records));
            Unit::new(pages, KEYPADS[at])
        });
        if let Some(real) = &real {
            real.begin(before)?;
        }
        let disk = Rc::new(RefCell::new(Disk::new(content)));
        let place = Place { disk, real: real.as_ref().map(Real::place) };
        let mut world = Self {
            now_ms: 1000,
            utc_at_zero_ms: UTC_MS,
            units,
            held: 0,
            cable: true,
            stranger: None,
            consoles: [Console::default(), Console::default()],
            wire: Wire::new(script.seed),
            place,
            real,
            oracle,
            chance: Chance(script.seed ^ 0x5eed),
            trace: Trace::new(in_words),
            tally: Tally::default(),
            begun: 0,
        };
        world.start_unit(0)?;
        world.start_console(0);
        Ok(world)
    }

    pub(crate) fn note(&mut self, numbers: &[u64], words: impl FnOnce() -> String) {
        self.trace.note(self.now_ms, numbers, words);
    }

    const fn now(&self) -> Now {
        Now { ms: self.now_ms, utc_ms: self.utc_at_zero_ms.saturating_add_unsigned(self.now_ms) }
    }

    pub(crate) fn start_console(&mut self, which: usize) {
        let session = self.chance.next() as u16;
        let opened =
            Store::reopen(&self.place).and_then(|store| Bench::with_session(store, session, self.now()));
        self.consoles[which] = Console { bench: opened.ok().map(Box::new), frames_left: None };
        let open = self.consoles[which].bench.is_some();
        self.note(&[1, which as u64, open.into()], || format!("console {which} starts: {open}"));
    }

    /// The port of every console is opened anew.
    pub(crate) fn plugged(&mut self) {
        self.wire.clear();
        let now = self.now();
        self.consoles
            .iter_mut()
            .filter_map(|console| console.bench.as_mut())
            .for_each(|bench| bench.plugged(now));
    }

    /// Switches a keypad on, and looks whether it has what it should.
    pub(crate) fn start_unit(&mut self, which: usize) -> Result<(), Broken> {
        let unit = &mut self.units[which];
        let started = unit.start(self.now_ms)?;
        let journal = unit.journal;
        let tries: Vec<_> = unit.open.drain(..).chain(unit.chip.take_tries()).collect();
        self.oracle.tried(journal, &tries, Shown::Nothing)?;
        self.tally.starts += 1;
        if started == Started::AtWork {
            let disk = self.place.disk.borrow();
            self.oracle.on_keypad(journal, &disk.content, |seq| unit.read(seq))?;
        }
        let cut = started == Started::Not && unit.chip.pages().is_off();
        self.tally.cuts += u64::from(cut);
        let next = unit.app.as_ref().map_or(0, |app| app.memory().next());
        self.note(&[2, which as u64, next.into()], || {
            format!("keypad {which} starts: {started:?}, {next} next")
        });
        Ok(())
    }

    /// Lets time pass.
    pub(crate) fn run(&mut self, ms: u64) -> Result<(), Broken> {
        let until = self.now_ms + ms;
        loop {
            self.turn()?;
            if self.now_ms >= until {
                return Ok(());
            }
            self.now_ms = self.next_ms().clamp(self.now_ms + 1, until);
        }
    }

    fn next_ms(&self) -> u64 {
        let now = self.now();
        let unit = &self.units[self.held];
        let keypad = unit.app.as_ref().filter(|_| self.stranger.is_none());
        let keypad = keypad.and_then(|app| app.next_deadline(unit.ticks(self.now_ms)));
        let benches =
            self.consoles.iter().filter_map(|console| Some(console.bench.as_ref()?.next_deadline(now)));
        let back = self.units.iter().filter_map(|unit| unit.back_ms);
        let next =
            benches.chain(back).chain(self.wire.next_due()).chain(keypad.map(|due| due + unit.started_ms));
        next.min().unwrap_or(u64::MAX)
    }

    pub(crate) fn turn(&mut self) -> Result<(), Broken> {
        for which in 0..self.units.len() {
            if self.units[which].back_ms.is_some_and(|back| back <= self.now_ms) {
                self.start_unit(which)?;
            }
        }
        match self.stranger.take() {
            Some(stranger) => self.turn_stranger(stranger),
            None => self.turn_keypad()?,
        }
        self.turn_consoles()
    }

    fn turn_stranger(&mut self, mut stranger: Stranger) {
        while let Some(bytes) = self.wire.take(Way::ToKeypad, self.now_ms) {
            for answer in stranger.answers(&bytes) {
                self.wire.send(Way::ToHost, &answer, self.now_ms);
            }
        }
        if stranger.until_ms > self.now_ms {
            self.stranger = Some(stranger);
        } else {
            self.note(&[3], || "the stranger is gone".to_owned());
            self.plugged();
        }
    }

    fn turn_keypad(&mut self) -> Result<(), Broken> {
        let (unit, now_ms) = (&mut self.units[self.held], self.now_ms);
        let ticks = unit.ticks(now_ms);
        let mut came = Vec::new();
        while let Some(bytes) = self.wire.take(Way::ToKeypad, now_ms) {
            came.push(bytes);
        }
        let Some(app) = &mut unit.app else { return Ok(()) };
        came.iter().filter(|_| self.cable).for_each(|bytes| app.feed(bytes, ticks));
        let mut buffer = [0; MAX_WIRE];
        for _ in 0..FRAMES {
            let Some(bytes) = app.poll_transmit(&mut buffer, ticks) else { break };
            if unit.chip.pages().is_off() {
                break;
            }
            // It speaks whether anybody is there or not.
            if self.cable {
                self.tally.sent(bytes);
                self.wire.send(Way::ToHost, bytes, now_ms);
            }
        }
        let acknowledged = app.memory().acknowledged();
        let disk = self.place.disk.borrow();
        self.oracle.acknowledged(unit.journal, acknowledged, &disk.content)?;
        drop(disk);
        for which in 0..self.units.len() {
            self.turn_memory(which)?;
        }
        self.look_for_cut();
        Ok(())
    }

    /// A record of which it was open whether it is saved may be settled by now.
    fn turn_memory(&mut self, which: usize) -> Result<(), Broken> {
        let unit = &self.units[which];
        if unit.app.is_some() && unit.open.is_empty() && unit.chip.was_tried() {
            return Err("something was written to the journal that nobody pressed".to_owned());
        }
        self.look_at_tries(which)
    }

    /// What was written to the journal of a keypad, and how it shows.
    pub(crate) fn look_at_tries(&mut self, which: usize) -> Result<(), Broken> {
        let unit = &mut self.units[which];
        let Some((tries, shown)) = unit.take_tries(self.now_ms) else { return Ok(()) };
        let numbers: Vec<u64> =
            tries.iter().map(|this| this.record.seq.into()).chain([shown as u64]).collect();
        self.trace.note(self.now_ms, &numbers, || format!("{shown:?}: {tries:?}"));
        self.oracle.tried(unit.journal, &tries, shown)
    }

    /// Whether the power of the keypad in hand is gone.
    pub(crate) fn look_for_cut(&mut self) {
        let unit = &mut self.units[self.held];
        if unit.is_cut() {
            unit.darken(self.now_ms);
            self.tally.cuts += 1;
            self.note(&[4], || "power is cut".to_owned());
        }
    }

    fn turn_consoles(&mut self) -> Result<(), Broken> {
        let now = self.now();
        let mut came = Vec::new();
        while let Some(bytes) = self.wire.take(Way::ToHost, now.ms) {
            came.push(bytes);
        }
        for which in 0..self.consoles.len() {
            let Some(bench) = &mut self.consoles[which].bench else { continue };
            came.iter().filter(|_| self.cable).for_each(|bytes| bench.end().feed(bytes, now.ms));
            bench.settle(now);
            self.look_at_book()?;
            let mut disk = self.place.disk.borrow_mut();
            if std::mem::take(&mut disk.killed) {
                drop(disk);
                self.kill(which);
                continue;
            }
            drop(disk);
            self.read_notes(which)?;
            self.send(which, now);
        }
        Ok(())
    }

    /// What came into the book in this turn.
    fn look_at_book(&mut self) -> Result<(), Broken> {
        let mut disk = self.place.disk.borrow_mut();
        if let Some(otherwise) = disk.otherwise.take() {
            return Err(otherwise);
        }
        let fresh = std::mem::take(&mut disk.fresh);
        drop(disk);
        for row in fresh.iter().filter(|row| row.journal != STRANGER) {
            self.oracle.came(row)?;
            let of =
                self.units.iter().position(|unit| unit.journal == row.journal).unwrap_or(self.units.len());
            self.note(&[5, of as u64, row.record.seq.into()], || {
                format!("record {} of keypad {of} is in the book", row.record.seq)
            });
        }
        Ok(())
    }

    fn kill(&mut self, which: usize) {
        self.consoles[which] = Console::default();
        self.note(&[6, which as u64], || format!("console {which} is killed"));
        self.oracle.killed();
        self.tally.kills += 1;
    }

    fn send(&mut self, which: usize, now: Now) {
        let console = &mut self.consoles[which];
        let mut killed = false;
        if let Some(bench) = console.bench.as_mut().filter(|_| self.cable) {
            let mut buffer = [0; MAX_WIRE];
            for _ in 0..FRAMES {
                let Some(bytes) = bench.end().poll_transmit(&mut buffer, now.ms) else { break };
                self.wire.send(Way::ToKeypad, bytes, now.ms);
                if let Some(left) = &mut console.frames_left {
                    *left = left.saturating_sub(1);
                    killed = *left == 0;
                }
                if killed {
                    break;
                }
            }
        }
        if killed {
            self.kill(which);
        }
    }

    fn read_notes(&mut self, which: usize) -> Result<(), Broken> {
        let now = self.now();
        for count in 0.. {
            let Some(bench) = &mut self.consoles[which].bench else { return Ok(()) };
            let Some(note) = bench.take_note() else { break };
            if count > NOTES {
                return Err("notes without end".to_owned());
            }
            if let Some(journal) = bench.asking().map(|ack| ack.journal)
                && self.units.iter().any(|unit| unit.journal == journal)
            {
                bench.adopt(&journal.to_string(), now);
            }
            self.read_note(&note)?;
        }
        Ok(())
    }

    fn read_note(&mut self, note: &Note) -> Result<(), Broken> {
        self.note(&[7], || format!("console: {note}"));
        if let Note::Gap { keypad, from, to } = note {
            let unit = self.units.iter().find(|unit| unit.journal.to_string() == *keypad);
            if let Some(unit) = unit {
                self.oracle.gap(unit.journal, *from..=*to, &unit.chip)?;
            }
            self.note(&[8, (*from).into(), (*to).into()], String::new);
        }
        self.tally.notes += 1;
        Ok(())
    }
}
