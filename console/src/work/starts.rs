//! When what a keypad logged was made, where no console met the start in which it was.
//!
//! The keypad has no clock, or one that tells nothing. Then a record has no time, but an interval is known, and this is its only
//! owner:
//!
//! - it was made **after** the last moment of an earlier start that is dated, by a console that met it ([`Met`]), by its records
//!   that are, or by a clock of its own; and as much later as the start had run by then, and starts between them ran;
//! - it was made **before** a later start that is dated began; and as much earlier as its own start and others still ran.
//!
//! What a keypad has not yet told lies within a lap of its memory, so no record is looked at that is farther off than that. Ticks
//! run off a crystal; so much that one may be too fast is taken off each of their spans. Where that comes to nothing, as when a
//! clock was set back, nothing is said but the ticks. An interval is for showing: it is no date, and nothing is put in order, judged
//! or learned by it.

use super::WorkError;
use super::holding::{Fact, Line};
use crate::desk::{Desk, Met};
use crate::store::{Entry, Reader};
use bevelbook_core::record::{Bench, Clock, JournalId, RecordId, Stored};
use jiff::Timestamp;
use std::collections::hash_map::Entry::{Occupied, Vacant};
use std::collections::{BTreeMap, HashMap};

/// How many numbers before and behind a record are looked at: a keypad's memory has no more pages for records.
const LAP: u32 = 320;

/// A crystal is right to 1 in so many, and better: 122 in a million; from memory, unconfirmed.
const CRYSTAL: i64 = 8192;

/// How far a clock of its own may be off: a crystal of 20 in a million for half a year; from memory, unconfirmed.
const CLOCK_OFF_MS: i64 = 5 * 60_000;

/// An interval in which a record was made.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Between {
    /// Not earlier than then.
    pub after: Option<Timestamp>,
    /// Not later than then.
    pub before: Option<Timestamp>,
}

/// One start of a keypad, in milliseconds since 1970-01-01 UTC where no other is told.
#[derive(Clone, Copy, Debug, Default)]
struct Start {
    /// When it began, where it is dated.
    began: Option<i64>,
    /// The last of its ticks that is known, in milliseconds since it began.
    last: u32,
    /// It did not begin earlier, and had not ended later.
    floor: Option<i64>,
    ceiling: Option<i64>,
}

/// The starts of one keypad round some of its records.
#[derive(Debug, Default)]
struct Starts(BTreeMap<u32, Start>);

impl Starts {
    fn of(entries: &[Entry], met: &[Met]) -> Self {
        let mut starts: BTreeMap<u32, Start> = BTreeMap::new();
        let mut by_number: Vec<&Entry> = entries.iter().filter(|entry| entry.apart.is_none()).collect();
        by_number.sort_unstable_by_key(|entry| entry.id.seq);
        let ticks = |entry: &Entry| Some((entry.boot?, entry.ticks?, entry.utc_ms));
        let met = met.iter().map(|met| (met.boot, met.ticks, Some(met.utc_ms)));
        for (boot, ticks, utc_ms) in by_number.into_iter().filter_map(ticks).chain(met) {
            let start = starts.entry(boot).or_default();
            let began = utc_ms.map(|utc_ms| utc_ms.saturating_sub(ticks.into()));
            start.last = if began.is_some() && start.began.is_some() { start.last.max(ticks) } else { ticks };
            start.began = start.began.or(began);
        }
        let mut floor = None;
        for start in starts.values_mut() {
            start.floor = start.began.or(floor);
            floor = start.floor.map(|floor| floor.saturating_add(least(start.last)));
        }
        let mut ceiling = None;
        for start in starts.values_mut().rev() {
            let last = i64::from(start.last);
            start.ceiling = start.began.map(|began| began.saturating_add(last)).or(ceiling);
            ceiling = start.began.or(ceiling.map(|ceiling: i64| ceiling.saturating_sub(least(start.last))));
        }
        Self(starts)
    }

    /// The interval of a record, in milliseconds since 1970-01-01 UTC.
    fn between(&self, boot: u32, ticks: u32) -> [Option<i64>; 2] {
        let start = self.0.get(&boot).copied().unwrap_or_default();
        let after = start.floor.map(|floor| floor.saturating_add(least(ticks)));
        let to_its_end = least(start.last.wrapping_sub(ticks));
        let before = start.ceiling.map(|ceiling| ceiling.saturating_sub(to_its_end));
        match (after, before) {
            (Some(after), Some(before)) if after > before => [None, None],
            known => known.into(),
        }
    }
}

/// What so many ticks are at least, in milliseconds.
fn least(ticks: u32) -> i64 {
    let ticks = i64::from(ticks);
    ticks - ticks / CRYSTAL
}

/// What the clock of a keypad said in one of its starts.
#[derive(Clone, Copy, Debug)]
pub(super) struct ClockSaid {
    boot: u32,
    ticks: u32,
    utc_ms: i64,
}

impl ClockSaid {
    fn said(boot: u32, ticks: u32, fact: &Bench) -> Option<Self> {
        let Bench::Clock(Clock { utc_s: Some(utc_s) }) = fact else { return None };
        Some(Self { boot, ticks, utc_ms: i64::from(*utc_s) * 1000 })
    }

    /// What a record says that it said.
    pub(super) fn by(record: &Stored) -> Option<Self> {
        Self::said(record.boot, record.ticks, &record.fact().ok()?)
    }

    /// The time at those ticks of the same start, in milliseconds since 1970-01-01 UTC.
    pub(super) fn at(self, ticks: u32) -> Option<i64> {
        self.utc_ms.checked_add(ticks.wrapping_sub(self.ticks).cast_signed().into())
    }
}

/// What a book says of the starts of a keypad beside its records.
#[derive(Debug, Default)]
struct Told {
    met: Vec<Met>,
    clocks: Vec<ClockSaid>,
}

impl Told {
    fn of(reader: &Reader, journal: JournalId) -> Result<Self, WorkError> {
        let mut told = Self::default();
        for entry in reader.entries_of_no_job()? {
            let of_keypad = entry.id.journal == journal;
            match (Line::new(&entry), of_keypad) {
                (Line { fact: Fact::Desk(Desk::Met(met)), .. }, false) if met.journal == journal => {
                    told.met.push(met);
                }
                (Line { fact: Fact::Bench(fact), ticks: Some((boot, ticks)), .. }, true) => {
                    told.clocks.extend(ClockSaid::said(boot, ticks, &fact));
                }
                _ => {}
            }
        }
        Ok(told)
    }

    fn clock(&self, boot: u32) -> Option<ClockSaid> {
        self.clocks.iter().find(|clock| clock.boot == boot).copied()
    }

    fn starts(&self, reader: &Reader, journal: JournalId, seq: u32) -> Result<Starts, WorkError> {
        let near = seq.saturating_sub(LAP)..=seq.saturating_add(LAP);
        Ok(Starts::of(&reader.entries_of_journal(journal, near)?, &self.met))
    }
}

/// Tells of each record without a time when it can have been made, and of each with one whether a keypad's own clock told it.
pub(super) fn tell<'l>(
    reader: &Reader,
    lines: impl IntoIterator<Item = &'l mut Line>,
) -> Result<(), WorkError> {
    let mut told = HashMap::new();
    let time = |ms: i64| Timestamp::from_millisecond(ms).ok();
    for line in lines {
        let (Some((boot, ticks)), RecordId { journal, seq }) = (line.ticks, line.id) else { continue };
        let told = match told.entry(journal) {
            Occupied(known) => known.into_mut(),
            Vacant(free) => free.insert(Told::of(reader, journal)?),
        };
        if let Some(at) = line.at {
            let by_clock = told.clock(boot).and_then(|clock| clock.at(ticks)).and_then(time);
            line.by_clock = by_clock == Some(at);
        } else {
            let [after, before] = told.starts(reader, journal, seq)?.between(boot, ticks);
            line.between = Some(Between { after: after.and_then(time), before: before.and_then(time) });
        }
    }
    Ok(())
}

/// What the clock of a keypad said in a start, if the book has it.
pub(super) fn clock_of(
    reader: &Reader,
    journal: JournalId,
    boot: u32,
) -> Result<Option<ClockSaid>, WorkError> {
    Ok(Told::of(reader, journal)?.clock(boot))
}

/// What a record says that a clock said, where that cannot be: it began before the start before had ended, after a later one
/// began, or is still to come.
pub(super) fn impossible_clock(
    reader: &Reader,
    journal: JournalId,
    record: &Stored,
) -> Result<Option<Timestamp>, WorkError> {
    let Some(ClockSaid { boot, utc_ms, .. }) = ClockSaid::by(record) else { return Ok(None) };
    let Starts(starts) = Told::of(reader, journal)?.starts(reader, journal, record.seq)?;
    let before = starts.range(..boot).next_back();
    let floor = before.and_then(|(_, start)| Some(start.floor?.saturating_add(least(start.last))));
    let after = starts.iter().find_map(|(other, start)| start.began.filter(|_| *other > boot));
    let ceiling = after.map_or(super::now_ms(), |began| began.min(super::now_ms()));
    let can = floor.unwrap_or(0).saturating_sub(CLOCK_OFF_MS)..=ceiling.saturating_add(CLOCK_OFF_MS);
    Ok(Timestamp::from_millisecond(utc_ms).ok().filter(|_| !can.contains(&utc_ms)))
}
