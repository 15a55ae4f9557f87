//! How fast a grown book takes in what a keypad logged: through the bench, by itself, and by plain inserts beside it.

use crate::book::{KEYPADS, pass_of, stored};
use bevelbook::keypad::{Bench, Clock, pipe};
use bevelbook::settings::Settings;
use bevelbook::store::Place;
use bevelbook::work::{Work, WorkError};
use bevelbook_core::link::{Card, CardKept, HeldCard, KeypadSession, KeypadStore, Station, StoreError, pump};
use bevelbook_core::prescription::Eye;
use bevelbook_core::record::{JobId, JournalId, PairId, Stored};
use bevelbook_core::sizing::Outcome;
use rusqlite::Connection;
use std::collections::BTreeMap;
use std::path::Path;
use std::time::Instant;

/// A keypad's memory without a bound.
struct Ram {
    oldest: u32,
    records: Vec<Stored>,
    acknowledged: u32,
    batches: u32,
    cards: BTreeMap<JobId, Card>,
    station: u32,
    first_card: Option<Instant>,
}

impl KeypadStore for Ram {
    fn journal(&self) -> JournalId {
        KEYPADS[0]
    }
    fn boot(&self) -> u32 {
        1
    }
    fn oldest(&self) -> u32 {
        self.oldest
    }
    fn next(&self) -> u32 {
        self.oldest + self.records.len() as u32
    }
    fn acknowledged(&self) -> u32 {
        self.acknowledged
    }
    fn read(&mut self, seq: u32) -> Result<Option<Stored>, StoreError> {
        Ok(seq.checked_sub(self.oldest).and_then(|at| self.records.get(at as usize)).cloned())
    }
    fn acknowledge(&mut self, upto: u32) -> Result<(), StoreError> {
        self.batches += u32::from(upto > self.acknowledged);
        self.acknowledged = upto;
        Ok(())
    }
    fn station(&self) -> u32 {
        self.station
    }
    fn store_station(&mut self, station: &Station) -> Result<(), StoreError> {
        self.station = station.revision;
        Ok(())
    }
    fn card_slots(&self) -> u8 {
        13
    }
    fn held(&mut self, slot: u8) -> Option<HeldCard> {
        let card = self.cards.values().nth(slot.into())?;
        Some(HeldCard { job: card.job, revision: card.revision })
    }
    fn store_card(&mut self, kept: CardKept, encoded: &[u8]) -> Result<(), StoreError> {
        self.first_card.get_or_insert_with(Instant::now);
        self.cards.insert(kept.job, Card::decode(encoded).map_err(|_| StoreError::Memory)?);
        Ok(())
    }
    fn drop_card(&mut self, job: JobId) -> Result<(), StoreError> {
        self.cards.remove(&job);
        Ok(())
    }
}

/// What the bench took for `many` records of open jobs, eight of a job in turn.
pub(crate) struct Taken {
    pub(crate) first_card_ms: f64,
    pub(crate) per_s: f64,
    pub(crate) batch: f64,
}

/// Lets the bench take in `many` new records of the keypad at the edger.
pub(crate) fn through_the_bench(book: &Place, jobs: &[JobId], many: u32) -> Result<Taken, WorkError> {
    let clock = Clock::start();
    let work = Work::open(book, Settings::defaults()?)?;
    let last = work.last_of(KEYPADS[0])?;
    let mut ram = Ram {
        oldest: last + 1,
        records: records(jobs, last + 1, many),
        acknowledged: last,
        batches: 0,
        cards: BTreeMap::new(),
        station: 0,
        first_card: None,
    };
    let begun = Instant::now();
    let (mut near, mut far) = pipe();
    let mut keypad = KeypadSession::new("keypad", "1");
    let mut bench = Bench::new(work, clock.now())?;
    let mut taking = None;
    let upto = last + many;
    while ram.acknowledged < upto || ram.first_card.is_none() {
        // A pipe in this process does not fail.
        let _ = pump(&mut near, &mut (&mut keypad, &mut ram), clock.now().ms);
        let _ = bench.turn(&mut far, clock.now());
        while bench.take_note().is_some() {}
        if ram.acknowledged > last {
            // The first batch also waits for the hello.
            taking.get_or_insert_with(|| (Instant::now(), ram.acknowledged, ram.batches));
        }
    }
    let (since, from, batches) = taking.unwrap_or((begun, last, 0));
    let (done, batches) = (f64::from(upto - from), f64::from(ram.batches - batches));
    let first = ram.first_card.map_or(f64::NAN, |at| (at - begun).as_secs_f64() * 1000.0);
    Ok(Taken { first_card_ms: first, per_s: done / since.elapsed().as_secs_f64(), batch: done / batches })
}

/// Passes of open jobs, eight of a job in turn.
pub(crate) fn records(jobs: &[JobId], first: u32, many: u32) -> Vec<Stored> {
    let fact = |at: u32| {
        let job = jobs[(at / 8) as usize % jobs.len()];
        let lens = PairId { job, numbers: [1, 1] }.lens(Eye::BOTH[at as usize % 2]);
        stored(first + at, &pass_of(lens, 400 - (at % 8 / 2) as i32 * 50, Outcome::JustTooBig))
    };
    (0..many).map(fact).collect()
}

/// The same records without keypad and line, `batch` in a write; records in a second.
pub(crate) fn taken_in(book: &Place, jobs: &[JobId], many: u32, batch: usize) -> Result<f64, WorkError> {
    let mut work = Work::open(book, Settings::defaults()?)?;
    let records = records(jobs, work.last_of(KEYPADS[0])? + 1, many);
    let begun = Instant::now();
    for batch in records.chunks(batch) {
        work.take_in(KEYPADS[0], batch.iter().map(|record| (record.clone(), Some(1_750_000_000_000))))?;
    }
    Ok(f64::from(many) / begun.elapsed().as_secs_f64())
}

/// The same records by one prepared statement into the same table with the book's own pragmas, `batch` in a transaction;
/// records in a second.
pub(crate) fn by_plain_inserts(book: &Path, jobs: &[JobId], many: u32, batch: u32) -> rusqlite::Result<f64> {
    let conn = Connection::open(book)?;
    conn.execute_batch(
        "PRAGMA journal_mode = WAL; PRAGMA foreign_keys = ON; PRAGMA trusted_schema = OFF;
         PRAGMA recursive_triggers = ON; PRAGMA secure_delete = ON; PRAGMA synchronous = FULL",
    )?;
    let journal = KEYPADS[0].0.cast_signed();
    let last: u32 =
        conn.query_row("SELECT max(seq) FROM record WHERE journal = ?1", [journal], |r| r.get(0))?;
    let records = records(jobs, last + 1, many);
    let begun = Instant::now();
    for batch in records.chunks(batch as usize) {
        let tx = conn.unchecked_transaction()?;
        let mut insert = tx.prepare_cached(
            "INSERT INTO record (journal, seq, kind, job, payload, boot, ticks, utc_ms, digest)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, zeroblob(16))",
        )?;
        for record in batch {
            let job = record.fact().ok().and_then(|fact| fact.job()).map(|job| job.0.cast_signed());
            let Stored { seq, boot, ticks, kind, data } = record;
            insert.execute((journal, seq, kind, job, &data[..], boot, ticks, None::<i64>))?;
        }
        drop(insert);
        tx.commit()?;
    }
    Ok(f64::from(many) / begun.elapsed().as_secs_f64())
}
