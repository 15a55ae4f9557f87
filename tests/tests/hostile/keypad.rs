//! A keypad on a line in memory that sends whatever it is told to, and takes every card.

use bevelbook::keypad::PipeEnd;
use bevelbook_core::link::{CardKept, HeldCard, KeypadSession, KeypadStore, Station, StoreError, pump};
use bevelbook_core::record::{Bench, JobId, JournalId, MAX_ENCODED, RecordId, Stored};

/// When it was started, in milliseconds of the line's time.
const STARTED_MS: u64 = 0;

pub(crate) struct Keypad {
    session: KeypadSession,
    memory: Memory,
}

impl Keypad {
    pub(crate) fn new(journal: JournalId) -> Self {
        let memory = Memory { journal, records: Vec::new(), acknowledged: 0, station: 0, cards: 0 };
        Self { session: KeypadSession::new("any", "1"), memory }
    }

    pub(crate) fn turn(&mut self, line: &mut PipeEnd, now_ms: u64) {
        pump(line, &mut (&mut self.session, &mut self.memory), now_ms).unwrap();
    }

    /// How many cards it took.
    pub(crate) const fn cards(&self) -> usize {
        self.memory.cards
    }

    pub(crate) const fn acknowledged(&self) -> u32 {
        self.memory.acknowledged
    }

    /// The identity of the next record.
    pub(crate) fn next_id(&self) -> RecordId {
        RecordId { journal: self.memory.journal, seq: self.memory.next() }
    }

    /// Logs bytes of any kind, now.
    pub(crate) fn log_bytes(&mut self, kind: u8, bytes: &[u8], now_ms: u64) -> RecordId {
        let id = self.next_id();
        let ticks = (now_ms - STARTED_MS) as u32;
        let data = heapless::Vec::from_slice(bytes).unwrap();
        self.memory.records.push(Stored { seq: id.seq, boot: 1, ticks, kind, data });
        id
    }

    /// Logs a fact, now.
    pub(crate) fn log(&mut self, fact: &Bench, now_ms: u64) -> RecordId {
        self.log_bytes(fact.kind(), fact.encode(&mut [0; MAX_ENCODED]).unwrap(), now_ms)
    }
}

struct Memory {
    journal: JournalId,
    records: Vec<Stored>,
    acknowledged: u32,
    station: u32,
    cards: usize,
}

impl KeypadStore for Memory {
    fn journal(&self) -> JournalId {
        self.journal
    }
    fn boot(&self) -> u32 {
        1
    }
    fn oldest(&self) -> u32 {
        1
    }
    fn next(&self) -> u32 {
        self.records.len() as u32 + 1
    }
    fn acknowledged(&self) -> u32 {
        self.acknowledged
    }
    fn read(&mut self, seq: u32) -> Result<Option<Stored>, StoreError> {
        Ok(self.records.get(seq as usize - 1).cloned())
    }
    fn acknowledge(&mut self, upto: u32) -> Result<(), StoreError> {
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
        30
    }
    fn held(&mut self, _: u8) -> Option<HeldCard> {
        None
    }
    fn store_card(&mut self, _: CardKept, _: &[u8]) -> Result<(), StoreError> {
        self.cards += 1;
        Ok(())
    }
    fn drop_card(&mut self, _: JobId) -> Result<(), StoreError> {
        Ok(())
    }
}
