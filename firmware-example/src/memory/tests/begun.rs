//! Beginning journals, and memories that do not say which they hold.

use super::super::faults::{Cut, Torn};
use super::*;

const SECOND: JournalId = JournalId(2);

#[test]
fn a_journal_is_not_begun_over_records_that_no_console_has() {
    let mut memory = begun();
    fill(&mut memory, 0..20);
    memory.acknowledge(15).unwrap();
    let mut store = memory.into_pages();
    let before = *store.content();
    let refused = Memory::begin(&mut store, layout(), SECOND, Consent::KeepRecords).unwrap_err();
    assert_eq!(refused, BeginError::Unacknowledged { journal: JOURNAL, records: 5 });
    assert!(*store.content() == before, "refusing changes nothing");
    let (memory, recovery) = Memory::begin(store, layout(), SECOND, Consent::GiveUpRecords).unwrap();
    assert_eq!((recovery.journal.foreign, recovery.journal.records), (20, 0), "the old pages are kept");
    assert_eq!((memory.boot(), memory.next()), (1, 1));
}

#[test]
fn pages_of_earlier_journals_are_neither_read_nor_in_the_way() {
    let mut memory = begun();
    fill(&mut memory, 0..10);
    memory.acknowledge(10).unwrap();
    // More journals than are remembered, each shorter than the one before.
    for id in 2..12 {
        let store = memory.into_pages();
        memory = Memory::begin(store, layout(), JournalId(id), Consent::KeepRecords).unwrap().0;
        let count = 12 - id as u32;
        for n in 0..count {
            assert_eq!(append(&mut memory, n), Ok(n + 1), "journal {id}");
            let (again, recovery) = reopen(memory);
            memory = again;
            assert_eq!((recovery.journal.damaged, recovery.journal.skipped), (0, 0), "journal {id}");
        }
        memory.acknowledge(count).unwrap();
        assert!(readable(&mut memory).into_iter().eq(1..=count), "journal {id}");
    }
    let store = memory.into_pages();
    let again = Memory::begin(store, layout(), JournalId(9), Consent::GiveUpRecords);
    assert_eq!(again.unwrap_err(), BeginError::KnownId(JournalId(9)), "its numbers were given once");
}

#[test]
fn a_begin_cut_anywhere_leaves_the_old_journal_or_the_new_one() {
    let mut memory = begun();
    fill(&mut memory, 0..10);
    memory.acknowledge(10).unwrap();
    let whole = memory.into_pages();
    let (mut old, mut new) = (0, 0);
    for (write, seed) in (0..6).flat_map(|write| (0..20).map(move |seed| (write, seed))) {
        for torn in Torn::ALL {
            let mut store = whole.clone();
            store.power_on();
            store.cut_at(Cut { write, torn, seed });
            let begun = Memory::begin(&mut store, layout(), SECOND, Consent::KeepRecords).map(drop);
            assert_eq!(begun.is_err(), store.is_off());
            store.power_on();
            let (mut memory, _) = Memory::open(store, layout()).unwrap();
            let id = memory.journal();
            if id == JOURNAL {
                old += 1;
                assert!(readable(&mut memory).into_iter().eq(1..=10) && memory.acknowledged() == 10);
            } else {
                new += 1;
                assert_eq!((id, memory.next(), memory.acknowledged()), (SECOND, 1, 0));
            }
            // It stays what it is.
            for _ in 0..4 {
                memory = reopen(memory).0;
                assert_eq!(memory.journal(), id);
            }
        }
    }
    assert!(old > 20 && new > 20, "{old} {new}");
}

#[test]
fn a_first_begin_cut_anywhere_can_be_begun_again() {
    for (write, seed) in (0..4).flat_map(|write| (0..20).map(move |seed| (write, seed))) {
        for torn in Torn::ALL {
            let mut store = Store::blank();
            store.cut_at(Cut { write, torn, seed });
            let begun = Memory::begin(&mut store, layout(), JOURNAL, Consent::KeepRecords).map(drop);
            assert_eq!(begun.is_err(), store.is_off());
            store.power_on();
            let memory = match Memory::open(&mut store, layout()) {
                Ok((memory, _)) => memory,
                Err(OpenError::Blank) => {
                    Memory::begin(&mut store, layout(), SECOND, Consent::KeepRecords).unwrap().0
                }
                Err(error) => panic!("{error:?}"),
            };
            assert_eq!(memory.next(), 1);
        }
    }
}

#[test]
fn a_memory_without_its_identity_takes_it_from_a_mark() {
    let mut memory = begun();
    fill(&mut memory, 0..5);
    memory.acknowledge(2).unwrap();
    Layout::IDENTITY.into_iter().for_each(|page| memory.pages.put(page, [0; PAGE]));
    let mut memory = reopen(memory).0;
    assert_eq!((readable(&mut memory), memory.acknowledged()), (std::vec![1, 2, 3, 4, 5], 2));
    let both =
        |memory: &Memory<Store>| Layout::IDENTITY.map(|page| memory.pages.content()[usize::from(page)]);
    let [identity, copy] = both(&memory);
    assert!(identity == copy && identity != [0; PAGE], "both are written again");
    memory.pages.put(Layout::IDENTITY[0], [0x33; PAGE]);
    assert_eq!(both(&reopen(memory).0), [identity; 2], "and one from the other");
}

#[test]
fn with_identity_and_marks_gone_nothing_is_given_up_without_consent() {
    let mut memory = begun();
    fill(&mut memory, 0..5);
    Layout::IDENTITY.into_iter().chain(Layout::MARKS).for_each(|page| memory.pages.put(page, [0x33; PAGE]));
    let mut store = memory.into_pages();
    let before = *store.content();
    // 5 records and 2 marks.
    assert_eq!(Memory::open(&mut store, layout()).unwrap_err(), OpenError::Unidentified { used: 7 });
    let refused = Memory::begin(&mut store, layout(), SECOND, Consent::KeepRecords).unwrap_err();
    assert_eq!(refused, BeginError::Unidentified { used: 7 });
    assert!(*store.content() == before, "refusing changes nothing");
}

#[test]
fn a_chip_that_held_something_else_takes_consent_and_is_then_like_new() {
    let mut store = Store::blank();
    (0..PAGES as u16).for_each(|page| store.put(page, core::array::from_fn(|n| n as u8 ^ page as u8)));
    let used = PAGES as u16 - 2;
    assert_eq!(Memory::open(&mut store, layout()).unwrap_err(), OpenError::Unidentified { used });
    let (mut memory, recovery) = Memory::begin(store, layout(), JOURNAL, Consent::GiveUpRecords).unwrap();
    assert_eq!(recovery.journal.blank, LAP as u16);
    assert_eq!(append(&mut memory, 0), Ok(1));
    let blank = Memory::open(Store::blank(), layout()).unwrap_err();
    assert_eq!(blank, OpenError::Blank);
    let small = Memory::open(FaultyPages::<47>::blank(), layout()).unwrap_err();
    assert_eq!(small, OpenError::TooSmall { needed: 48, have: 47 });
}

#[test]
fn cards_go_with_the_journal_whose_newest_records_they_leave_out() {
    let mut memory = begun();
    memory.store_card(JobId(1), 1, 0, &[9; 100]).unwrap();
    memory.store_card(JobId(2), 1, 0, &[8; 100]).unwrap();
    let (memory, recovery) =
        Memory::begin(memory.into_pages(), layout(), SECOND, Consent::KeepRecords).unwrap();
    assert_eq!((memory.cards().count(), recovery.cards, recovery.damaged_cards), (0, 0, 0));
}

#[test]
fn another_division_of_the_pages_takes_a_new_journal() {
    let mut memory = begun();
    fill(&mut memory, 0..5);
    memory.store_card(JobId(1), 1, 0, &[9; 100]).unwrap();
    let mut store = memory.into_pages();
    let other = Layout::new(PAGES as u16, 2, 3).unwrap();
    assert_eq!(Memory::open(&mut store, other).unwrap_err(), OpenError::OtherLayout(layout()));
    let refused = Memory::begin(&mut store, other, SECOND, Consent::KeepRecords).unwrap_err();
    assert_eq!(refused, BeginError::Unacknowledged { journal: JOURNAL, records: 5 });
    Memory::open(&mut store, layout()).unwrap().0.acknowledge(5).unwrap();
    let (mut memory, recovery) = Memory::begin(&mut store, other, SECOND, Consent::KeepRecords).unwrap();
    assert_eq!((recovery.journal.damaged, recovery.cards), (0, 0));
    assert_eq!(append(&mut memory, 0), Ok(1));
}

/// A chip with fewer pages than its driver says.
#[derive(Debug)]
struct Short(Store, u16);

impl Pages for Short {
    type Error = <Store as Pages>::Error;

    fn count(&self) -> u16 {
        self.0.count()
    }

    fn read(&mut self, page: u16, into: &mut Page) -> Result<(), Self::Error> {
        self.0.read(page % self.1, into)
    }

    fn write(&mut self, page: u16, from: &Page) -> Result<(), Self::Error> {
        self.0.write(page % self.1, from)
    }
}

#[test]
fn a_chip_that_is_smaller_than_its_driver_says_is_found_out_before_a_record_is_lost() {
    let wide = Layout::new(PAGES as u16, 0, 0).unwrap();
    let mut short = Short(Store::blank(), 32);
    let begun = Memory::begin(&mut short, wide, JOURNAL, Consent::KeepRecords).unwrap_err();
    let small = OpenError::TooSmall { needed: wide.pages(), have: 32 };
    assert_eq!(begun, BeginError::Open(small));
    assert_eq!(Memory::open(&mut short, wide).unwrap_err(), small);
    assert!(Memory::begin(Short(Store::blank(), PAGES as u16), wide, JOURNAL, Consent::KeepRecords).is_ok());
}
