//! A bench in virtual time: both real ends, a keypad's memory and a book in RAM, and a line that does everything but
//! reorder. A model small enough to trust.

use super::sample::{Chance, wire_record};
use crate::link::frame::MAX_WIRE;
use crate::link::{
    Card, CardKept, Event, HeldCard, HostSession, KeypadSession, KeypadStore, Station, StoreError,
};
use crate::record::{JobId, JournalId, Stored};
use std::collections::{BTreeMap, VecDeque};
use std::vec::Vec;

/// 2026-09-21, about.
pub(in crate::link) const UTC_MS: i64 = 1_790_000_000_000;
/// How far one step goes.
pub(in crate::link) const STEP_MS: u64 = 5;

/// A keypad's memory that frees what was acknowledged at once.
#[derive(Default)]
pub(in crate::link) struct Memory {
    pub(in crate::link) journal: u64,
    pub(in crate::link) boot: u32,
    pub(in crate::link) records: BTreeMap<u32, Stored>,
    pub(in crate::link) next: u32,
    pub(in crate::link) acknowledged: u32,
    pub(in crate::link) cards: Vec<Card>,
    pub(in crate::link) slots: u8,
    pub(in crate::link) card_writes: u32,
    pub(in crate::link) station: Option<Station>,
    /// What the book holds without one missing, to check acknowledgements against.
    pub(in crate::link) committed: u32,
}

impl Memory {
    pub(in crate::link) fn append(&mut self) {
        self.records.insert(self.next, wire_record(self.next));
        self.next += 1;
    }
}

impl KeypadStore for Memory {
    fn journal(&self) -> JournalId {
        JournalId(self.journal)
    }
    fn boot(&self) -> u32 {
        self.boot
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
        assert!(upto <= self.committed, "acknowledged {upto} with {} committed", self.committed);
        assert!(upto >= self.acknowledged && upto < self.next);
        self.acknowledged = upto;
        self.records.retain(|seq, _| *seq > upto);
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
        self.slots
    }
    fn held(&mut self, slot: u8) -> Option<HeldCard> {
        self.cards.get(usize::from(slot)).map(|card| HeldCard { job: card.job, revision: card.revision })
    }
    fn store_card(&mut self, kept: CardKept, encoded: &[u8]) -> Result<(), StoreError> {
        let card = Card::decode(encoded).unwrap();
        let CardKept { job, revision, includes_upto } = kept;
        assert_eq!((card.job, card.revision, card.includes_upto), (job, revision, includes_upto));
        self.card_writes += 1;
        if let Some(held) = self.cards.iter_mut().find(|held| held.job == card.job) {
            *held = card;
        } else if self.cards.len() < usize::from(self.slots) {
            self.cards.push(card);
        } else {
            return Err(StoreError::CardsFull);
        }
        Ok(())
    }
    fn drop_card(&mut self, job: JobId) -> Result<(), StoreError> {
        self.cards.retain(|card| card.job != job);
        Ok(())
    }
}

/// What one direction of the line does to a frame, each once in so many; 0 is never.
#[derive(Clone, Copy, Default)]
pub(in crate::link) struct Faults {
    pub(in crate::link) lost: u64,
    pub(in crate::link) doubled: u64,
    pub(in crate::link) soiled: u64,
    pub(in crate::link) cut: u64,
    pub(in crate::link) damaged: u64,
}

impl Faults {
    pub(in crate::link) const ROUGH: Self = Self { lost: 6, doubled: 7, soiled: 8, cut: 9, damaged: 9 };
}

/// One direction of the line.
#[derive(Default)]
pub(in crate::link) struct Line {
    bytes: VecDeque<u8>,
    pub(in crate::link) sent: usize,
}

impl Line {
    fn send(&mut self, frame: &[u8], faults: Faults, chance: &mut Chance) {
        self.sent += frame.len();
        let mut hit = |once_in: u64| once_in > 0 && chance.one_in(once_in);
        let [lost, doubled, soiled, cut, damaged] =
            [faults.lost, faults.doubled, faults.soiled, faults.cut, faults.damaged].map(&mut hit);
        if soiled {
            let noise = chance.below(700);
            self.bytes.extend((0..noise).map(|_| chance.below(256) as u8));
        }
        if lost {
            return;
        }
        let mut frame = frame.to_vec();
        if damaged {
            let at = chance.below(frame.len() as u64) as usize;
            frame[at] ^= 1 << chance.below(8);
        }
        if cut {
            frame.truncate(chance.below(frame.len() as u64) as usize);
        }
        for _ in 0..=u8::from(doubled) {
            self.bytes.extend(&frame);
        }
    }

    /// Some of what is under way.
    fn receive(&mut self, chance: &mut Chance) -> Vec<u8> {
        let count = (chance.below(400) as usize).min(self.bytes.len());
        self.bytes.drain(..count).collect()
    }

    /// What is under way and was not received yet.
    pub(in crate::link) fn under_way(&self) -> Vec<u8> {
        self.bytes.iter().copied().collect()
    }

    pub(in crate::link) fn inject(&mut self, bytes: &[u8]) {
        self.bytes.extend(bytes);
    }
}

/// The console's side: its session and its book.
pub(in crate::link) struct Bench {
    pub(in crate::link) chance: Chance,
    pub(in crate::link) faults: Faults,
    pub(in crate::link) now_ms: u64,
    /// When the keypad was started.
    pub(in crate::link) started_ms: u64,
    pub(in crate::link) host: HostSession,
    pub(in crate::link) keypad: KeypadSession,
    pub(in crate::link) memory: Memory,
    /// Committed, by journal: records, and `None` for what is noted as lost.
    pub(in crate::link) book: BTreeMap<u64, Vec<Option<Stored>>>,
    pub(in crate::link) to_keypad: Line,
    pub(in crate::link) to_host: Line,
    pub(in crate::link) events: Vec<Event>,
    /// The console is killed once in so many commits, before and after each; 0 is never.
    pub(in crate::link) kill: u64,
    pub(in crate::link) plugged: bool,
    /// Commits take their time: none is reported until the test does so.
    pub(in crate::link) slow: bool,
    /// Nothing can be committed: whoever is greeted is held.
    pub(in crate::link) stop: bool,
}

impl Bench {
    pub(in crate::link) fn new(seed: u64) -> Self {
        let mut chance = Chance(seed);
        let session = chance.below(0x1_0000) as u16;
        Self {
            host: HostSession::new(JournalId(5), session, UTC_MS, 0),
            chance,
            faults: Faults::default(),
            now_ms: 0,
            started_ms: 0,
            keypad: KeypadSession::new("bench 1", "0.1.0"),
            memory: Memory { journal: 77, boot: 1, next: 1, slots: 4, ..Memory::default() },
            book: BTreeMap::new(),
            to_keypad: Line::default(),
            to_host: Line::default(),
            events: Vec::new(),
            kill: 0,
            plugged: true,
            slow: false,
            stop: false,
        }
    }

    pub(in crate::link) fn committed(&self) -> &[Option<Stored>] {
        self.book.get(&self.memory.journal).map_or(&[], Vec::as_slice)
    }

    fn last(&self, journal: u64) -> u32 {
        self.book.get(&journal).map_or(0, |records| records.len() as u32)
    }

    /// The console ends without a word and is started again; its book stays.
    pub(in crate::link) fn kill_console(&mut self) {
        let session = self.chance.below(0x1_0000) as u16;
        self.host = HostSession::new(JournalId(5), session, UTC_MS + self.now_ms as i64, self.now_ms);
    }

    /// The keypad loses its power; its memory stays.
    pub(in crate::link) fn reboot_keypad(&mut self) {
        self.memory.boot += 1;
        self.started_ms = self.now_ms;
        self.keypad = KeypadSession::new("bench 1", "0.1.0");
    }

    pub(in crate::link) fn run(&mut self, ms: u64) {
        let end_ms = self.now_ms + ms;
        while self.now_ms < end_ms {
            self.step();
        }
    }

    pub(in crate::link) fn step(&mut self) {
        self.now_ms += STEP_MS;
        let (came, went) = (self.to_host.receive(&mut self.chance), self.to_keypad.receive(&mut self.chance));
        let ticks_ms = self.now_ms - self.started_ms;
        if self.plugged {
            self.host.feed(&came, self.now_ms);
            self.keypad.feed(&mut self.memory, &went, ticks_ms);
        }
        while let Some(event) = self.host.poll_event() {
            self.take(event);
        }
        let mut buffer = [0; MAX_WIRE];
        while let Some(bytes) = self.host.poll_transmit(&mut buffer, self.now_ms) {
            self.to_keypad.send(bytes, self.faults, &mut self.chance);
        }
        while let Some(bytes) = self.keypad.poll_transmit(&mut self.memory, &mut buffer, ticks_ms) {
            self.to_host.send(bytes, self.faults, &mut self.chance);
        }
    }

    fn killed(&mut self) -> bool {
        let killed = self.kill > 0 && self.chance.one_in(self.kill);
        if killed {
            self.kill_console();
        }
        killed
    }

    fn take(&mut self, event: Event) {
        self.events.push(event.clone());
        let (journal, rows): (u64, Vec<(u32, Option<Stored>)>) = match event {
            Event::Connected(_) if self.stop => return self.host.hold(),
            Event::Connected(ack) => {
                let last = self.last(ack.journal.0);
                return self.host.resume(last, last + 1);
            }
            Event::Records { journal, records } => {
                (journal.0, records.iter().map(|record| (record.seq, Some(record))).collect())
            }
            Event::Gap { journal, from, to } => (journal.0, (from..=to).map(|seq| (seq, None)).collect()),
            _ => return,
        };
        if self.killed() {
            return;
        }
        for (seq, row) in rows {
            assert_eq!(seq, self.last(journal) + 1, "in order, each once");
            self.book.entry(journal).or_default().push(row);
        }
        if self.slow {
            return;
        }
        let last = self.last(journal);
        if journal == self.memory.journal {
            self.memory.committed = last;
        }
        if !self.killed() {
            self.host.committed(last);
        }
    }

    /// Every record of the keypad is in the book, once and as it was written, and acknowledged.
    pub(in crate::link) fn assert_complete(&self) {
        let written = self.memory.next - 1;
        assert_eq!(self.committed().len() as u32, written);
        for (seq, row) in (1..).zip(self.committed()) {
            assert_eq!(row.as_ref(), Some(&wire_record(seq)));
        }
        assert_eq!(self.memory.acknowledged, written);
    }

    pub(in crate::link) fn count(&self, wanted: impl Fn(&Event) -> bool) -> usize {
        self.events.iter().filter(|event| wanted(event)).count()
    }
}
