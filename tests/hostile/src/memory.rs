//! The keypad's memory through any operations and power cuts.
//!
//! A record that was saved stays, as it was, until it is acknowledged; what could not be told saved or not is there as it
//! was, or not at all; nothing else is ever read.

use crate::input::Script;
use bevelbook_core::record::{JobId, JournalId, MAX_ENCODED};
use bevelbook_keypad::memory::faults::{Cut, Fault, FaultyPages, Torn};
use bevelbook_keypad::memory::{AppendError, Consent, Layout, Memory, OpenError, Page, Pages, Urgency};
use std::cell::RefCell;
use std::collections::BTreeMap;
use std::rc::Rc;

/// Two identity pages, two marks, a spare, two for the station, three cards of three pages, 32 pages of journal.
pub(crate) const PAGES: usize = 48;

pub(crate) type Store = FaultyPages<PAGES>;

pub(crate) fn layout() -> Layout {
    Layout::new(PAGES as u16, 3, 3).expect("a division of these pages")
}

pub(crate) const JOURNAL: JournalId = JournalId(0x51f0_77aa_0b3c_9d12);

/// What a record says, and whether it was told that it is saved.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Written {
    data: Vec<u8>,
    saved: bool,
}

/// Pages that stay at hand when the memory on them fails.
#[derive(Clone, Debug)]
struct Chip(Rc<RefCell<Store>>);

impl Pages for Chip {
    type Error = Fault;

    fn count(&self) -> u16 {
        self.0.borrow().count()
    }

    fn read(&mut self, page: u16, into: &mut Page) -> Result<(), Fault> {
        self.0.borrow_mut().read(page, into)
    }

    fn write(&mut self, page: u16, from: &Page) -> Result<(), Fault> {
        self.0.borrow_mut().write(page, from)
    }
}

struct Bench {
    chip: Chip,
    memory: Memory<Chip>,
    written: BTreeMap<u32, Vec<Written>>,
    /// The most that was ever acknowledged; after a cut the memory may know of less.
    acknowledged: u32,
    many: u8,
}

pub(crate) fn cuts(bytes: &[u8]) {
    let chip = Chip(Rc::new(RefCell::new(Store::blank())));
    let (memory, _) = Memory::begin(chip.clone(), layout(), JOURNAL, Consent::KeepRecords).unwrap();
    let mut bench = Bench { chip, memory, written: BTreeMap::new(), acknowledged: 0, many: 0 };
    let mut script = Script(bytes);
    while !script.is_done() {
        bench.step(&mut script);
    }
    bench.start(None);
}

impl Bench {
    fn step(&mut self, script: &mut Script<'_>) {
        match script.byte() % 8 {
            0..=2 => self.append(script),
            3 => self.acknowledge(script.byte()),
            4 => self.power(Some(cut(script))),
            5 => {
                let cut = script.byte().is_multiple_of(2).then(|| cut(script));
                self.start(cut);
            }
            6 => self.store_card(script),
            _ => {
                if self.memory.drop_card(JobId(u64::from(script.byte() % 3))).is_err() {
                    self.start(None);
                }
            }
        }
    }

    /// The power is there, until `cut`.
    fn power(&mut self, cut: Option<Cut>) {
        let mut pages = self.chip.0.borrow_mut();
        pages.power_on();
        if let Some(cut) = cut {
            pages.cut_at(cut);
        }
    }

    /// The power goes and comes again; `cut` may cut what is written at the start.
    fn start(&mut self, cut: Option<Cut>) {
        self.power(cut);
        let opened = match Memory::open(self.chip.clone(), layout()) {
            Err(OpenError::Storage(_)) => {
                self.power(None);
                Memory::open(self.chip.clone(), layout())
            }
            opened => opened,
        };
        self.memory = opened.expect("a journal was begun, and the power is there").0;
        self.power(None);
        self.compare();
    }

    fn append(&mut self, script: &mut Script<'_>) {
        self.many = self.many.wrapping_add(1);
        let many = self.many;
        let data: Vec<u8> =
            (0..1 + usize::from(script.byte()) % MAX_ENCODED).map(|at| many ^ at as u8).collect();
        let urgency = if script.byte().is_multiple_of(2) { Urgency::Ordinary } else { Urgency::FinishLens };
        let before = self.memory.next();
        match self.memory.append(2, &data, 9, urgency) {
            Ok(seq) => {
                assert!(seq >= before, "{seq} was given before");
                self.written.insert(seq, vec![Written { data, saved: true }]);
            }
            Err(AppendError::Storage(_)) => {
                // On which of them it was when the power went is not told.
                for seq in before..self.memory.next().max(before + 1) {
                    let there = self.written.entry(seq).or_default();
                    there.push(Written { data: data.clone(), saved: false });
                }
                self.start(None);
            }
            Err(AppendError::Full { .. }) => {}
            Err(other) => panic!("{other:?}"),
        }
    }

    fn acknowledge(&mut self, back: u8) {
        let next = self.memory.next();
        let upto = (next - 1).saturating_sub(u32::from(back % 8));
        if upto < self.memory.acknowledged() {
            return;
        }
        self.acknowledged = self.acknowledged.max(upto);
        if self.memory.acknowledge(upto).is_err() {
            self.start(None);
        }
    }

    fn store_card(&mut self, script: &mut Script<'_>) {
        let (job, revision) = (JobId(u64::from(script.byte() % 3)), script.counted());
        let content = [job.0 as u8 ^ revision as u8; 100];
        let before = self.memory.find_card(job).map(|card| card.revision);
        if self.memory.store_card(job, revision, 0, &content).is_err() {
            self.start(None);
        }
        let now = self.memory.find_card(job);
        assert!(now.is_none_or(|card| card.revision == revision || Some(card.revision) == before));
        if let Some(card) = now {
            let mut buffer = [0; 128];
            let read = self.memory.read_card(job, &mut buffer).expect("a card that is held is whole");
            assert_eq!(read, Some(&[job.0 as u8 ^ card.revision as u8; 100][..]));
        }
    }

    /// Everything that was saved and not acknowledged is there, and nothing that was not written.
    fn compare(&mut self) {
        let (next, known) = (self.memory.next(), self.memory.acknowledged());
        assert!(known < next && known <= self.acknowledged, "{known} of {}", self.acknowledged);
        for seq in 1..next {
            let read = self.memory.read(seq).expect("the power is there");
            let there = self.written.get(&seq).cloned().unwrap_or_default();
            match read {
                Some(record) => {
                    assert_eq!(record.seq, seq);
                    assert!(
                        there.iter().any(|written| written.data == *record.data),
                        "{record:?} is invented"
                    );
                }
                None if seq > self.acknowledged => {
                    assert!(!there.iter().any(|written| written.saved), "{seq} is lost");
                }
                None => {}
            }
        }
        let last = self.written.iter().rfind(|(_, all)| all.iter().any(|written| written.saved));
        assert!(last.is_none_or(|(last, _)| *last < next), "numbers are given again");
    }
}

fn cut(script: &mut Script<'_>) -> Cut {
    let torn = Torn::ALL[usize::from(script.byte()) % Torn::ALL.len()];
    Cut { write: u32::from(script.byte() % 12), torn, seed: u64::from(script.number()) }
}
