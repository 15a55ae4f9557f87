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
//! run off a crystal; so much that one may be too fast is taken off each of their spans. A clock of its own is off too, and what it
//! dates bounds others by so much less. Where that comes to nothing, as when a
//! clock was set back, nothing is said but the ticks. An interval is for showing: it is no date, and nothing is put in order, judged
//! or learned by it.

use super::WorkError;
use super::clock_said::{CLOCK_OFF_MS, ClockSaid};
use super::holding::{Between, Fact, Line};
use crate::desk::{Desk, Met};
use crate::store::{Entry, Reader};
use bevelbook_core::record::{JournalId, Stored};
use bevelbook_keypad::memory::MOST_JOURNAL;
use jiff::Timestamp;
use std::collections::BTreeMap;
use std::ops::RangeInclusive;

/// How many numbers before and behind a record are looked at: a keypad's memory has no more pages for records.
const LAP: u32 = MOST_JOURNAL as u32;

/// A crystal is right to 1 in so many, and better: 122 in a million; from memory, unconfirmed.
const CRYSTAL: i64 = 8192;

/// One start of a keypad, in milliseconds since 1970-01-01 UTC where no other is told.
#[derive(Clone, Copy, Debug, Default)]
struct Start {
    /// By then it had begun, by what of it is dated.
    began: Option<i64>,
    /// The last moment of it that is dated.
    seen: Option<i64>,
    /// The last of its ticks that is known, in milliseconds.
    last: u32,
    /// It did not begin earlier than the starts before it were over, nor end later than those behind it began.
    floor: Option<i64>,
    ceiling: Option<i64>,
}

impl Start {
    /// It was not over before.
    fn over(&self) -> Option<i64> {
        self.seen.or_else(|| self.floor.map(|floor| floor.saturating_add(least(self.last))))
    }
}

/// The starts of one keypad round some of its records.
#[derive(Debug, Default)]
struct Starts(BTreeMap<u32, Start>);

impl Starts {
    fn of(entries: &[Entry], told: &Told) -> Self {
        let mut starts: BTreeMap<u32, Start> = BTreeMap::new();
        let mut by_number: Vec<&Entry> = entries.iter().filter(|entry| entry.apart.is_none()).collect();
        by_number.sort_unstable_by_key(|entry| entry.id.seq);
        let tells = |entry: &Entry| {
            let (boot, ticks) = (entry.boot?, entry.ticks?);
            let by_clock = told.by_clock(entry.id.seq, (boot, ticks), entry.utc_ms);
            // Its ticks count from what the clock said, and run off as well.
            let off = if by_clock { CLOCK_OFF_MS + i64::from(ticks) - least(ticks) } else { 0 };
            Some((boot, ticks, entry.utc_ms, off))
        };
        let met = told.met.iter().map(|met| (met.boot, met.ticks, Some(met.utc_ms), 0));
        // Meetings first: in a start that has some, its records tell of the last ticks.
        for (boot, ticks, utc_ms, off) in met.chain(by_number.into_iter().filter_map(tells)) {
            let start = starts.entry(boot).or_default();
            start.last = ticks;
            start.seen = start.seen.max(utc_ms.map(|utc_ms| utc_ms.saturating_sub(off)));
            let began = utc_ms.map(|utc_ms| utc_ms.saturating_add(off).saturating_sub(least(ticks)));
            start.began = start.began.into_iter().chain(began).min();
        }
        let mut floor = None;
        for start in starts.values_mut() {
            start.floor = floor;
            floor = start.over();
        }
        let mut ceiling: Option<i64> = None;
        for start in starts.values_mut().rev() {
            start.ceiling = ceiling;
            let ran = least(start.last);
            ceiling = start.began.or(ceiling.map(|ceiling| ceiling.saturating_sub(ran)));
        }
        Self(starts)
    }

    /// The interval of a record, in milliseconds since 1970-01-01 UTC.
    fn between(&self, boot: u32, ticks: u32) -> [Option<i64>; 2] {
        let start = self.0.get(&boot).copied().unwrap_or_default();
        let after = start.floor.map(|floor| floor.saturating_add(least(ticks)));
        // Where ticks wrapped, or starts share a number, less is known.
        let to_its_end = least(start.last.saturating_sub(ticks));
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

/// What a book says of the starts of a keypad beside its records.
#[derive(Debug, Default)]
struct Told {
    met: Vec<Met>,
    /// By start and number.
    clocks: BTreeMap<(u32, u32), ClockSaid>,
}

impl Told {
    fn of(reader: &Reader, journal: JournalId) -> Result<Self, WorkError> {
        let mut told = Self::default();
        for entry in reader.entries_of_no_job()? {
            if entry.id.journal == journal {
                told.clocks.extend(ClockSaid::read(&entry).map(|clock| ((clock.boot, clock.seq), clock)));
            } else if let Fact::Desk(Desk::Met(met)) = Fact::read(entry.kind, &entry.payload)
                && met.journal == journal
            {
                told.met.push(met);
            }
        }
        Ok(told)
    }

    /// What the clock said last before record `seq`: where marks are worn out, starts may share a number.
    fn clock(&self, boot: u32, seq: u32) -> Option<ClockSaid> {
        self.clocks.range((boot, 0)..=(boot, seq)).next_back().map(|(_, clock)| *clock)
    }

    /// Whether the time of a record follows from what the clock said.
    fn by_clock(&self, seq: u32, (boot, ticks): (u32, u32), utc_ms: Option<i64>) -> bool {
        utc_ms.is_some() && self.clock(boot, seq).and_then(|clock| clock.at(ticks)) == utc_ms
    }

    /// The starts round records of these numbers.
    fn starts(
        &self,
        reader: &Reader,
        journal: JournalId,
        numbers: RangeInclusive<u32>,
    ) -> Result<Starts, WorkError> {
        let near = numbers.start().saturating_sub(LAP)..=numbers.end().saturating_add(LAP);
        Ok(Starts::of(&reader.entries_of_journal(journal, near)?, self))
    }
}

/// Tells of each record without a time when it can have been made, and of each with one whether a keypad's own clock told it.
pub(super) fn tell<'l>(
    reader: &Reader,
    lines: impl IntoIterator<Item = &'l mut Line>,
) -> Result<(), WorkError> {
    let time = |ms: i64| Timestamp::from_millisecond(ms).ok();
    let mut lines: Vec<_> =
        lines.into_iter().filter_map(|line| line.ticks.map(|ticks| (line, ticks))).collect();
    lines.sort_unstable_by_key(|(line, _)| line.id);
    for of_journal in lines.chunk_by_mut(|(one, _), (next, _)| one.id.journal == next.id.journal) {
        let journal = of_journal[0].0.id.journal;
        let (told, mut undated) = (Told::of(reader, journal)?, Vec::new());
        for (line, ticks) in of_journal {
            match line.at.map(Timestamp::as_millisecond) {
                None => undated.push((line, *ticks)),
                dated => line.by_clock = told.by_clock(line.id.seq, *ticks, dated),
            }
        }
        // What is looked at for several of them is read once.
        for near in undated.chunk_by_mut(|(one, _), (next, _)| next.id.seq - one.id.seq <= 2 * LAP) {
            let numbers = near[0].0.id.seq..=near[near.len() - 1].0.id.seq;
            let starts = told.starts(reader, journal, numbers)?;
            for (line, (boot, ticks)) in near {
                let [after, before] = starts.between(*boot, *ticks).map(|ms| ms.and_then(time));
                line.between = Some(Between { after, before });
            }
        }
    }
    Ok(())
}

/// What the clock of a keypad said in the start of a record, if the book has it.
pub(super) fn clock_of(
    reader: &Reader,
    journal: JournalId,
    Stored { boot, seq, .. }: &Stored,
) -> Result<Option<ClockSaid>, WorkError> {
    Ok(Told::of(reader, journal)?.clock(*boot, *seq))
}

/// What a record says that a clock said, where that cannot be: it began before the start before had ended, after a later one
/// began, or is still to come.
pub(super) fn impossible_clock(
    reader: &Reader,
    journal: JournalId,
    record: &Stored,
    now_ms: i64,
) -> Result<Option<Timestamp>, WorkError> {
    let Some(ClockSaid { boot, utc_ms, .. }) = ClockSaid::by(record) else { return Ok(None) };
    let Starts(starts) = Told::of(reader, journal)?.starts(reader, journal, record.seq..=record.seq)?;
    let floor = starts.range(..boot).next_back().and_then(|(_, start)| start.over());
    let after = starts.iter().find_map(|(other, start)| start.began.filter(|_| *other > boot));
    let ceiling = after.map_or(now_ms, |began| began.min(now_ms));
    let can = floor.unwrap_or(0).saturating_sub(CLOCK_OFF_MS)..=ceiling.saturating_add(CLOCK_OFF_MS);
    Ok(Timestamp::from_millisecond(utc_ms).ok().filter(|_| !can.contains(&utc_ms)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use bevelbook_core::record::RecordId;

    const JOURNAL: JournalId = JournalId(0xb0a4d);

    fn logged(seq: u32, boot: u32, ticks: u32, utc_ms: Option<i64>) -> Entry {
        Entry {
            position: seq.into(),
            id: RecordId { journal: JOURNAL, seq },
            kind: 0,
            job: None,
            payload: Vec::new(),
            boot: Some(boot),
            ticks: Some(ticks),
            utc_ms,
            apart: None,
        }
    }

    const fn met(boot: u32, ticks: u32, utc_ms: i64) -> Met {
        Met { journal: JOURNAL, boot, ticks, utc_ms }
    }

    fn starts(entries: &[Entry], met: &[Met]) -> Starts {
        Starts::of(entries, &Told { met: met.to_vec(), ..Told::default() })
    }

    #[test]
    fn a_start_lies_between_the_meetings_round_it_and_as_long_as_it_ran() {
        let day = [logged(1, 5, 1000, Some(50_000)), logged(2, 6, 8000, None), logged(3, 6, 20_000, None)];
        let starts = starts(&day, &[met(5, 11_000, 60_000), met(7, 500, 100_500)]);
        // Start 6 ran for 20 s and more between 60 and 100 s.
        let off = 20_000 / CRYSTAL;
        assert_eq!(starts.between(6, 8000), [Some(68_000), Some(88_000 + 12_000 / CRYSTAL)]);
        assert_eq!(starts.between(6, 20_000), [Some(80_000 - off), Some(100_000)]);
    }

    #[test]
    fn what_is_not_known_or_cannot_be_is_not_said() {
        let alone = [logged(2, 6, 8000, None)];
        assert_eq!(starts(&alone, &[]).between(6, 8000), [None, None]);
        assert_eq!(starts(&alone, &[met(7, 500, 100_500)]).between(6, 8000), [None, Some(100_000)]);
        assert_eq!(starts(&alone, &[met(5, 500, 60_500)]).between(6, 8000), [Some(68_500), None]);
        // The console's clock was set back meanwhile.
        let back = [met(5, 500, 100_500), met(7, 500, 60_500)];
        assert_eq!(starts(&alone, &back).between(6, 8000), [None, None]);
        let edges = [met(5, u32::MAX, i64::MAX), met(7, u32::MAX, i64::MIN)];
        assert_eq!(starts(&alone, &edges).between(6, u32::MAX), [None, None]);
    }

    /// Days of chance on a keypad whose crystal is up to 100 in a million off, and its clock as far as it may be: the truth lies
    /// in every interval.
    #[test]
    fn whatever_happened_is_never_outside_of_what_is_said() {
        let (mut random, mut narrow, mut known) = (0x9e37_79b9_7f4a_7c15_u64, 0, 0);
        let mut below = |most: u64| {
            random = random.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
            (random >> 33) % most
        };
        for _ in 0..3000 {
            let fast = below(201) as i64 - 100;
            let ticks_of = |ms: i64| (ms + ms * fast / 1_000_000) as u32;
            let (mut now, mut seq, mut entries, mut told, mut truth) =
                (1_772_355_600_000, 0, vec![], Told::default(), vec![]);
            for boot in 1..=below(8) as u32 + 1 {
                now += below(3_600_000) as i64;
                let (began, dates) = (now, below(4));
                let (is_met, has_clock) = (dates == 0, dates == 1);
                // Whole seconds are told.
                let utc_ms = (began + below(2 * CLOCK_OFF_MS as u64 - 2000) as i64 - CLOCK_OFF_MS) / 1000
                    * 1000
                    + 1000;
                let clock = has_clock.then_some(ClockSaid { seq: seq + 1, boot, ticks: 0, utc_ms });
                if let Some(clock) = clock {
                    seq += 1;
                    told.clocks.insert((boot, seq), clock);
                    entries.push(logged(seq, boot, 0, Some(utc_ms)));
                }
                for _ in 0..below(6) {
                    now += below(7_200_000) as i64;
                    seq += 1;
                    let ticks = ticks_of(now - began);
                    let by_clock = clock.and_then(|clock| clock.at(ticks));
                    entries.push(logged(seq, boot, ticks, is_met.then_some(now).or(by_clock)));
                    truth.extend((dates > 1).then_some((boot, ticks, now)));
                }
                told.met.extend(is_met.then(|| met(boot, ticks_of(now - began), now)));
            }
            let starts = Starts::of(&entries, &told);
            for (boot, ticks, made) in truth {
                let [after, before] = starts.between(boot, ticks);
                assert!(after.is_none_or(|after| after <= made + 1), "{after:?} {made}");
                assert!(before.is_none_or(|before| made <= before + 1), "{made} {before:?}");
                let width = after.zip(before).map(|(after, before)| before - after);
                known += u32::from(width.is_some());
                narrow += u32::from(width.is_some_and(|width| width < 7_200_000));
            }
        }
        assert!(known > 2000 && narrow > 1000, "{known} known, {narrow} of them within two hours");
    }
}
