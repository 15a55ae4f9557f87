//! Both ends on one line: who is there, and how they start.

use crate::chance::Chance;
use crate::day::{self, KEYPADS, Morning, STRANGER};
use crate::disk::{Content, Disk};
use crate::oracle::{Broken, Oracle, Shown};
use crate::real::Real;
use crate::script::{Script, Start};
use crate::store::{Place, Store};
use crate::stranger::Stranger;
use crate::tally::Tally;
use crate::trace::Trace;
use crate::unit::{Started, Unit};
use crate::wire::Wire;
use bevelbook::keypad::{Bench, BenchBook, Now, Shelf};
use bevelbook_core::record::{Clock, JournalId};
use std::cell::RefCell;
use std::rc::Rc;

/// 2026-03-01T09:00:00Z.
const UTC_MS: i64 = 1_772_355_600_000;
/// The most frames that an end sends in one turn, as the pump has it.
pub(crate) const FRAMES: usize = 8;

/// A console.
#[derive(Debug, Default)]
pub(crate) struct Console {
    pub(crate) bench: Option<Box<Bench<Store>>>,
    /// It is killed when it has sent so many frames more.
    pub(crate) frames_left: Option<u64>,
    /// It waits for a slow server until then, and what came for it meanwhile; what it has to send goes out behind that.
    pub(crate) busy_ms: u64,
    pub(crate) came: Vec<Vec<u8>>,
    pub(crate) is_held_up: bool,
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
    /// The keypads have a clock chip. Not where the real book goes along: the model's book knows nothing of it.
    clocks: bool,
}

impl World {
    pub(crate) fn new(script: &Script, real: Option<Real>, in_words: bool) -> Result<Self, Broken> {
        let adopted: &[JournalId] =
            if script.start == Start::New { &[STRANGER] } else { &[KEYPADS[0], KEYPADS[1], STRANGER] };
        let mut content = Content::new(day::OWN, adopted);
        let (mut oracle, mut before) = (Oracle::default(), Vec::new());
        let units = [0, 1].map(|at| {
            let Morning { chip, in_book, waiting } = day::morning(script.start, at);
            content.take(KEYPADS[at], &in_book);
            oracle.before(KEYPADS[at], &in_book);
            oracle.waits(KEYPADS[at], &waiting);
            before.push((KEYPADS[at], in_book));
            Unit::new(chip, KEYPADS[at])
        });
        if let Some(real) = &real {
            real.begin(before)?;
        }
        let clocks = real.is_none() && script.seed % 2 == 1;
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
            clocks,
        };
        world.start_unit(0)?;
        world.start_console(0);
        Ok(world)
    }

    pub(crate) fn note(&mut self, numbers: &[u64], words: impl FnOnce() -> String) {
        self.trace.note(self.now_ms, numbers, words);
    }

    pub(crate) const fn now(&self) -> Now {
        Now { ms: self.now_ms, utc_ms: self.utc_at_zero_ms.saturating_add_unsigned(self.now_ms) }
    }

    pub(crate) fn start_console(&mut self, which: usize) {
        let session = self.chance.next() as u16;
        let now = self.now();
        self.place.disk.borrow_mut().server.now_ms = now.ms;
        let opened = Store::open(&self.place).and_then(|store| Bench::with_session(store, session, now));
        let opened = opened.or_else(|error| match Store::away(&error) {
            Some(_) => Ok(Bench::on(Shelf::failed(self.place.clone(), &error, now), session, now)),
            None => Err(error),
        });
        self.consoles[which] = Console { bench: opened.ok().map(Box::new), ..Console::default() };
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
        // One start in three its battery is empty.
        let utc_s = u32::try_from(self.now().utc_ms / 1000).ok().filter(|_| !self.now_ms.is_multiple_of(3));
        let clock = self.clocks.then_some(Clock { utc_s });
        let unit = &mut self.units[which];
        let started = unit.start(self.now_ms, clock)?;
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
}
