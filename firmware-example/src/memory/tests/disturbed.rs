//! A bus that something disturbs: what is not answered is neither there nor not.

use super::super::faults::Fault;
use super::*;
use std::collections::BTreeMap;

/// Contents that were saved and contents that were refused.
#[derive(Default)]
struct Said {
    saved: BTreeMap<u32, Vec<u8>>,
    refused: Vec<Vec<u8>>,
}

/// Appends the content numbered `n`, and asks again until it is told what became of it.
fn append_told(memory: &mut Memory<Store>, n: u32, said: &mut Said) -> bool {
    let mut told = memory.append(2, &content(n), n, Urgency::FinishLens);
    let unsettled = told.is_err() && memory.is_unsettled();
    while memory.is_unsettled() {
        assert!(matches!(told, Err(AppendError::Storage(_))));
        assert_eq!(append(memory, 999), Err(AppendError::Unsettled), "nothing overtakes it");
        told = memory.settle().map(|record| record.unwrap().seq);
    }
    match told {
        Ok(seq) => assert!(said.saved.insert(seq, content(n)).is_none(), "a number twice"),
        Err(_) => said.refused.push(content(n)),
    }
    unsettled
}

#[test]
fn a_record_whose_answers_are_lost_is_saved_once_or_refused_and_never_there() {
    let (mut unsettled, mut refused) = (0, 0);
    for seed in 0..400 {
        let (mut memory, mut said) = (begun(), Said::default());
        memory.pages.seed(seed);
        // Some pages take nothing any more.
        (0..seed % 4).for_each(|n| memory.pages.stick(layout().record_page((seed + n * 5) as u32 % LAP)));
        memory.pages.disturb_writes(2 + seed % 5);
        memory.pages.leave_unanswered(if seed % 2 == 0 { 0 } else { 3 + seed % 30 });
        for n in 0..LAP + 8 {
            unsettled += u32::from(append_told(&mut memory, n, &mut said));
        }
        refused += said.refused.len();
        memory.pages.disturb_writes(0);
        memory.pages.leave_unanswered(0);
        for _ in 0..2 {
            let found = records_after(&mut memory, 0);
            let found: BTreeMap<u32, Vec<u8>> =
                found.into_iter().map(|record| (record.seq, record.data.to_vec())).collect();
            assert_eq!(found, said.saved, "seed {seed}");
            memory = reopen(memory).0;
        }
    }
    assert!(unsettled > 1000 && refused > 100, "{unsettled} were open, {refused} refused");
}

#[test]
fn what_is_open_when_power_goes_is_there_once_or_not_at_all() {
    let mut there = 0;
    for seed in 0..400 {
        let mut memory = begun();
        fill(&mut memory, 0..3);
        memory.pages.seed(seed);
        memory.pages.disturb_writes(1);
        let told = append(&mut memory, 3);
        let next = memory.next();
        memory.pages.disturb_writes(0);
        let (mut memory, _) = reopen(memory);
        let found = records_after(&mut memory, 0);
        let times = found.iter().filter(|record| *record.data == *content(3)).count();
        match told {
            Ok(seq) => assert_eq!((seq, times), (4, 1)),
            Err(_) => {
                assert_eq!(next, 4, "its number was given to nothing");
                there += times;
                assert!(times < 2);
            }
        }
        let seq = append(&mut memory, 4).unwrap();
        assert!(seq > 3 && records_after(&mut memory, 0).len() == 4 + times);
    }
    assert!((50..350).contains(&there), "{there}");
}

#[test]
fn a_start_that_is_not_answered_decides_nothing() {
    let (mut failed, mut opened) = (0, 0);
    for seed in 0..300 {
        let mut memory = begun();
        for n in 0..LAP + 9 {
            memory.append(2, &content(n), n, Urgency::FinishLens).unwrap();
            memory.acknowledge((n + 1).saturating_sub(6)).unwrap();
        }
        memory.store_card(JobId(1), 1, 0, &content(7)).unwrap();
        let (before, next) = (records_after(&mut memory, 0), memory.next());
        let mut pages = memory.into_pages();
        pages.seed(seed);
        pages.leave_unanswered(20 + seed % 180);
        pages.disturb_writes(seed % 4);
        for _ in 0..5 {
            match Memory::open(&mut pages, layout()) {
                Ok((mut memory, recovery)) => {
                    opened += 1;
                    assert_eq!((recovery.journal.damaged, recovery.damaged_cards), (0, 0));
                    assert_eq!((memory.next(), memory.acknowledged(), memory.oldest()), (next, 35, 10));
                    assert!(memory.find_card(JobId(1)).is_some());
                    memory.pages.leave_unanswered(0);
                    assert_eq!(records_after(&mut memory, 0), before);
                    memory.pages.leave_unanswered(20 + seed % 180);
                }
                Err(error) => {
                    failed += 1;
                    assert!(matches!(error, OpenError::Storage(_)), "{error:?}");
                }
            }
        }
        pages.leave_unanswered(0);
        pages.disturb_writes(0);
        let (mut memory, recovery) = Memory::open(&mut pages, layout()).unwrap();
        assert_eq!((recovery.journal.damaged, recovery.damaged_cards, memory.next()), (0, 0, next));
        assert_eq!(records_after(&mut memory, 0), before);
    }
    assert!(failed > 300 && opened > 50, "{failed} starts failed, {opened} did not");
}

/// A memory of which one page takes a write only by half, once: a bit of it then reads both ways, until the next write.
struct Fading {
    store: Store,
    page: u16,
    writes: u32,
    reads: u32,
}

impl Pages for Fading {
    type Error = Fault;

    fn count(&self) -> u16 {
        self.store.count()
    }

    fn read(&mut self, page: u16, into: &mut Page) -> Result<(), Fault> {
        self.store.read(page, into)?;
        if page == self.page && self.writes == 1 {
            self.reads += 1;
            into[20] ^= (self.reads % 2) as u8;
        }
        Ok(())
    }

    fn write(&mut self, page: u16, from: &Page) -> Result<(), Fault> {
        self.writes += u32::from(page == self.page);
        self.store.write(page, from)
    }
}

#[test]
fn what_a_page_took_by_half_never_reads_as_the_record_that_went_to_the_next() {
    let mut memory = begun();
    fill(&mut memory, 0..3);
    let store = memory.into_pages();
    let fading = Fading { store, page: layout().record_page(4), writes: 0, reads: 0 };
    let (mut memory, _) = Memory::open(fading, layout()).unwrap();
    assert_eq!(append(&mut memory, 3), Ok(5));
    assert!((0..20).all(|_| readable(&mut memory) == [1, 2, 3, 5]));
    let (mut memory, recovery) = reopen(memory);
    assert_eq!((readable(&mut memory), recovery.journal.damaged), (std::vec![1, 2, 3, 5], 0));
}
