//! A bench and keypads that do what they should not: lose records, differ from the book, forget, change places.

mod away;
mod by_book;
mod conflicts;
mod own;
mod stations;

use super::*;
use crate::desk::sample;
use crate::keypad::{PipeEnd, pipe};
use crate::settings::Settings;
use bevelbook_core::link::{Card, CardKept, HeldCard, KeypadSession, KeypadStore, Station, StoreError, pump};
use bevelbook_core::record::Stored;
use bevelbook_core::record::{Bench as Fact, JobId, MAX_ENCODED, StationEvent};
use bevelbook_core::sizing::{Basis, Counting, Dial};
use bevelbook_core::units::Length;
use std::collections::BTreeMap;

/// A keypad's memory in RAM.
struct Store {
    journal: JournalId,
    records: BTreeMap<u32, Stored>,
    next: u32,
    acknowledged: u32,
    cards: BTreeMap<JobId, Card>,
    /// How often a card was written.
    written: u32,
    station: Option<Station>,
    /// What is logged there just before the next card is there whole.
    meanwhile: Option<Fact>,
}

impl Store {
    fn new(journal: u64) -> Self {
        let journal = JournalId(journal);
        let (records, cards) = (BTreeMap::new(), BTreeMap::new());
        let (station, meanwhile) = (None, None);
        Self { journal, records, next: 1, acknowledged: 0, cards, written: 0, station, meanwhile }
    }

    fn log(&mut self, event: StationEvent) {
        self.keep(Fact::Station(event));
    }

    fn keep(&mut self, fact: Fact) {
        let mut buffer = [0; MAX_ENCODED];
        let data = heapless::Vec::from_slice(fact.encode(&mut buffer).unwrap()).unwrap();
        let record = Stored { seq: self.next, boot: 1, ticks: self.next * 1000, kind: fact.kind(), data };
        self.records.insert(self.next, record);
        self.next += 1;
    }
}

impl KeypadStore for Store {
    fn journal(&self) -> JournalId {
        self.journal
    }
    fn boot(&self) -> u32 {
        1
    }
    fn oldest(&self) -> u32 {
        self.records.keys().next().copied().unwrap_or(self.next)
    }
    fn next(&self) -> u32 {
        self.next
    }
    fn acknowledged(&self) -> u32 {
        self.acknowledged
    }
    fn read(&mut self, seq: u32) -> Result<Option<Stored>, StoreError> {
        Ok(self.records.get(&seq).cloned())
    }
    fn acknowledge(&mut self, upto: u32) -> Result<(), StoreError> {
        self.acknowledged = upto;
        Ok(())
    }
    fn station(&self) -> u32 {
        self.station.map_or(0, |station| station.revision)
    }
    fn store_station(&mut self, station: &Station) -> Result<(), StoreError> {
        self.station = Some(*station);
        Ok(())
    }
    fn card_slots(&self) -> u8 {
        4
    }
    fn held(&mut self, slot: u8) -> Option<HeldCard> {
        let card = self.cards.values().nth(slot.into())?;
        Some(HeldCard { job: card.job, revision: card.revision })
    }
    fn store_card(&mut self, kept: CardKept, encoded: &[u8]) -> Result<(), StoreError> {
        if self.cards.len() == 3 && !self.cards.contains_key(&kept.job) {
            return Err(StoreError::CardsFull);
        }
        let meanwhile = self.meanwhile.take();
        meanwhile.into_iter().for_each(|fact| self.keep(fact));
        let undone = |record: &Stored| {
            let Ok(Fact::Void(void)) = record.fact() else { return false };
            void.job == Some(kept.job) && void.target.seq <= kept.includes_upto
        };
        if self.records.range(kept.includes_upto + 1..).any(|(_, record)| undone(record)) {
            return Err(StoreError::Undone);
        }
        self.cards.insert(kept.job, Card::decode(encoded).unwrap());
        self.written += 1;
        Ok(())
    }
    fn drop_card(&mut self, job: JobId) -> Result<(), StoreError> {
        self.cards.remove(&job);
        Ok(())
    }
}

struct Rig {
    bench: Bench,
    keypad: KeypadSession,
    store: Store,
    near: PipeEnd,
    far: PipeEnd,
    ms: u64,
    notes: Vec<Note>,
    folder: tempfile::TempDir,
}

impl Rig {
    /// A shop that has adopted journals 10 and 11, after `before` was done to its book.
    fn new(store: Store, before: impl FnOnce(&mut Work)) -> Self {
        let folder = tempfile::tempdir().unwrap();
        let mut work = Work::open(folder.path().join("book.db"), Settings::defaults().unwrap()).unwrap();
        for journal in [10, 11] {
            work.adopt(JournalId(journal), &format!("keypad-{journal}")).unwrap();
        }
        before(&mut work);
        let (near, far) = pipe();
        let bench = Bench::new(work, Now { ms: 0, utc_ms: 1_000_000 }).unwrap();
        let keypad = KeypadSession::new("keypad", "1");
        Self { bench, keypad, store, near, far, ms: 0, notes: Vec::new(), folder }
    }

    fn run(&mut self, ms: u64) {
        for _ in 0..ms / 10 {
            self.ms += 10;
            pump(&mut self.near, &mut (&mut self.keypad, &mut self.store), self.ms).unwrap();
            self.bench.turn(&mut self.far, Now { ms: self.ms, utc_ms: 1_000_000 + self.ms as i64 }).unwrap();
            self.notes.extend(std::iter::from_fn(|| self.bench.take_note()));
            if self.bench.link() == Link::NoBook {
                // It is opened beside us, in time that is not ours.
                std::thread::sleep(std::time::Duration::from_millis(1));
            }
        }
    }

    fn work(&self) -> Work {
        Work::open(self.folder.path().join("book.db"), Settings::defaults().unwrap()).unwrap()
    }

    fn has(&self, what: impl Fn(&Note) -> bool) -> bool {
        self.notes.iter().any(what)
    }
}

fn forged(seq: u32, kind: u8) -> (Stored, Option<i64>) {
    (Stored { seq, boot: 1, ticks: 7, kind, data: heapless::Vec::from_slice(&[1]).unwrap() }, None)
}

fn wheels(journal: u64, many: u32) -> Store {
    let mut store = Store::new(journal);
    (0..many).for_each(|_| store.log(StationEvent::NewWheel));
    store
}

#[test]
fn numbers_that_the_keypad_lost_are_told_and_the_rest_is_taken_in() {
    let mut store = wheels(10, 12);
    (4..=6).for_each(|seq| drop(store.records.remove(&seq)));
    let mut rig = Rig::new(store, |_| ());
    rig.run(3000);
    assert!(rig.has(|note| matches!(note, Note::Gap { from: 4, to: 6, .. })), "{:?}", rig.notes);
    assert_eq!(rig.store.acknowledged, 12);
    assert_eq!(rig.work().journal(JournalId(10)).unwrap().gaps, [4..=6]);
}

#[test]
fn a_keypad_whose_memory_was_put_back_is_told_and_nothing_is_taken_in() {
    let mut rig = Rig::new(wheels(10, 3), |work| {
        work.take_in(JournalId(10), [forged(7, 99)]).unwrap();
    });
    rig.run(3000);
    assert!(
        rig.has(|note| matches!(note, Note::RolledBack { book_last: 7, keypad_next: 4, .. })),
        "{:?}",
        rig.notes
    );
    assert_eq!(rig.store.acknowledged, 0);
    assert_eq!(rig.work().journal(JournalId(10)).unwrap().last, Some(7));
}

#[test]
fn while_the_book_fails_nothing_is_acknowledged_and_then_all_of_it() {
    let mut rig = Rig::new(wheels(10, 2), |_| ());
    rig.run(2000);
    assert_eq!(rig.store.acknowledged, 2);
    let raw = rusqlite::Connection::open(rig.folder.path().join("book.db")).unwrap();
    let schema: i64 = raw.query_row("PRAGMA user_version", [], |row| row.get(0)).unwrap();
    raw.pragma_update(None, "user_version", schema + 1).unwrap();
    rig.store.log(StationEvent::NewWheel);
    rig.run(5000);
    assert!(rig.has(|note| matches!(note, Note::BookFailed { .. })), "{:?}", rig.notes);
    assert_eq!(rig.store.acknowledged, 2);
    raw.pragma_update(None, "user_version", schema).unwrap();
    rig.run(5000);
    assert!(rig.has(|note| matches!(note, Note::BookOpen)), "{:?}", rig.notes);
    assert_eq!(rig.store.acknowledged, 3);
    assert_eq!(rig.work().journal(JournalId(10)).unwrap().last, Some(3));
}

#[test]
fn a_book_that_was_moved_away_takes_nothing_and_none_is_begun_in_its_place() {
    let mut rig = Rig::new(wheels(10, 0), |_| ());
    let [book, away] = ["book.db", "away.db"].map(|name| rig.folder.path().join(name));
    std::fs::rename(&book, &away).unwrap();
    rig.store.log(StationEvent::NewWheel);
    rig.run(5000);
    assert!(rig.has(|note| matches!(note, Note::BookFailed { .. })), "{:?}", rig.notes);
    assert_eq!((rig.store.acknowledged, book.exists()), (0, false));
    std::fs::rename(&away, &book).unwrap();
    rig.run(5000);
    assert_eq!((rig.store.acknowledged, rig.work().journal(JournalId(10)).unwrap().last), (1, Some(1)));
}

#[test]
fn another_keypad_on_the_same_line_gets_cards_of_its_own() {
    let mut rig = Rig::new(wheels(10, 5), |work| {
        (0..5).for_each(|_| drop(work.open_job(sample(), None).unwrap()));
    });
    rig.run(5000);
    assert_eq!(rig.store.cards.len(), 3);
    assert!(rig.has(|note| matches!(note, Note::NoRoom { jobs } if jobs == &[4, 5])), "{:?}", rig.notes);
    rig.store = wheels(11, 1);
    rig.keypad = KeypadSession::new("other", "1");
    rig.run(9000);
    assert!(
        rig.has(|note| matches!(note, Note::Connected { keypad, .. } if keypad == "keypad-11")),
        "{:?}",
        rig.notes
    );
    let cards: Vec<(u32, u32)> = rig.store.cards.values().map(|c| (c.number, c.includes_upto)).collect();
    assert_eq!(cards.len(), 3, "{cards:?}");
    assert!(cards.iter().all(|(_, upto)| *upto <= 1), "{cards:?}");
    assert_eq!(rig.store.acknowledged, 1);
}

#[test]
fn a_card_of_another_book_with_a_higher_revision_is_replaced() {
    let mut rig = Rig::new(Store::new(10), |work| drop(work.open_job(sample(), None).unwrap()));
    rig.run(3000);
    let mut card = rig.store.cards.values().next().unwrap().clone();
    let right = card.revision;
    card.revision += 1000;
    rig.store.cards.insert(card.job, card);
    let mut stray = rig.store.cards.values().next().unwrap().clone();
    (stray.job, stray.state.pair.job) = (JobId(5), JobId(5));
    rig.store.cards.insert(JobId(5), stray);
    rig.bench.plugged(Now { ms: rig.ms, utc_ms: 1_000_000 });
    rig.run(5000);
    let held: Vec<u32> = rig.store.cards.values().map(|card| card.revision).collect();
    assert_eq!(held, [right]);
}

#[test]
fn a_keypad_that_is_not_adopted_gives_nothing() {
    let mut rig = Rig::new(wheels(12, 3), |_| ());
    rig.run(5000);
    assert_eq!((rig.store.acknowledged, rig.store.cards.len()), (0, 0));
    assert_eq!(rig.bench.asking().map(|ack| ack.journal), Some(JournalId(12)));
    let unknown = rig.notes.iter().filter(|note| matches!(note, Note::UnknownKeypad { .. })).count();
    assert_eq!((unknown, rig.notes.len()), (1, 1), "{:?}", rig.notes);
    rig.bench.adopt("third", Now { ms: rig.ms, utc_ms: 1_000_000 });
    rig.run(3000);
    assert_eq!(rig.store.acknowledged, 3);
}

#[test]
fn a_shop_that_changed_its_habit_tells_the_keypad() {
    let dial = Dial { basis: Basis::Diameter, counting: Counting::Absolute, step: Length::from_milli(50) };
    let mut rig = Rig::new(Store::new(10), |work| {
        work.log_station(StationEvent::Dial(dial)).unwrap();
        work.open_job(sample(), None).unwrap();
    });
    let first = |rig: &Rig| rig.store.station.map(|station| station.habit.first[0].milli());
    rig.run(2000);
    assert_eq!(first(&rig), Some(400));
    assert_eq!(rig.store.station.and_then(|station| station.dial), Some(dial));
    let mut settings = Settings::defaults().unwrap();
    settings.sizing.first = [Length::from_milli(550); 4];
    let told = |rig: &Rig| rig.work().stated_position().unwrap();
    let before = told(&rig);
    let mut after = before;
    for times in 0..2 {
        let work = Work::open(rig.folder.path().join("book.db"), settings.clone()).unwrap();
        rig.bench = Bench::new(work, Now { ms: rig.ms, utc_ms: 2_000_000 }).unwrap();
        rig.run(3000);
        assert_eq!(first(&rig), Some(550), "{times}");
        assert!(times == 0 && told(&rig) > before || told(&rig) == after, "it is put down once");
        after = told(&rig);
    }
}
