//! Cards that come, are replaced, and go.

use super::super::faults::{Cut, Fault, Torn};
use super::*;

const JOB: JobId = JobId(77);
const OTHER: JobId = JobId(78);

fn card(revision: u32) -> Vec<u8> {
    (0..70 + revision as usize * 3).map(|n| (n as u32 * 5 + revision * 89) as u8).collect()
}

fn held<P: Pages>(memory: &mut Memory<P>, job: JobId) -> Option<Vec<u8>>
where
    P::Error: core::fmt::Debug,
{
    memory.read_card(job, &mut [0; 128]).unwrap().map(<[u8]>::to_vec)
}

#[test]
fn a_card_of_any_length_is_kept() {
    for len in [0, 1, 63, 64, 65, 127, 128] {
        let mut memory = begun();
        let bytes: Vec<u8> = (0..len).map(|n| n ^ 0x95).collect();
        assert_eq!(memory.store_card(JOB, 1, 0, &bytes), Ok(true));
        let info = CardInfo { job: JOB, revision: 1, len: len.into(), includes: 0 };
        let (mut memory, recovery) = reopen(memory);
        assert_eq!((recovery.cards, recovery.damaged_cards), (1, 0));
        assert_eq!((memory.find_card(JOB), held(&mut memory, JOB)), (Some(info), Some(bytes)));
    }
}

#[test]
fn what_does_not_fit_or_is_not_newer_is_refused() {
    let mut memory = begun();
    assert_eq!(memory.store_card(JOB, 1, 0, &[1; 129]), Err(CardError::TooLong { len: 129, most: 128 }));
    memory.store_card(JOB, 5, 0, &card(5)).unwrap();
    assert_eq!(memory.store_card(JOB, 5, 0, &card(5)), Ok(false));
    assert_eq!(memory.store_card(JOB, 4, 0, &card(4)), Err(CardError::Older { held: 5, offered: 4 }));
    assert_eq!(memory.read_card(JOB, &mut [0; 84]), Err(CardError::Buffer { needed: 85 }));
    assert_eq!((memory.drop_card(JOB), memory.drop_card(JOB)), (Ok(true), Ok(false)));
    assert_eq!(memory.store_card(JOB, 4, 0, &card(4)), Ok(true), "dropped first, it goes back");
    assert_eq!(held(&mut memory, JOB), Some(card(4)));
}

#[test]
fn when_slots_run_out_the_oldest_card_is_named_and_replacing_still_works() {
    let mut memory = begun();
    memory.store_card(JOB, 1, 0, &card(1)).unwrap();
    memory.store_card(OTHER, 1, 0, &card(1)).unwrap();
    let full = CardError::Full { held: 2, oldest: JOB };
    assert_eq!(memory.store_card(JobId(79), 1, 0, &[]), Err(full));
    for revision in 2..12 {
        assert_eq!(memory.store_card(JOB, revision, 0, &card(revision)), Ok(true));
        assert_eq!(held(&mut memory, JOB), Some(card(revision)));
    }
    let full = CardError::Full { held: 2, oldest: OTHER };
    assert_eq!(memory.store_card(JobId(79), 1, 0, &[]), Err(full));
    memory.drop_card(OTHER).unwrap();
    assert_eq!(memory.store_card(JobId(79), 1, 0, &[]), Ok(true));
    let (memory, _) = reopen(memory);
    let mut jobs: Vec<_> = memory.cards().map(|card| card.job.0).collect();
    jobs.sort_unstable();
    assert_eq!(jobs, [77, 79]);
}

#[test]
fn a_card_replaced_with_a_cut_at_each_page_is_the_old_one_or_the_new_one() {
    let mut memory = begun();
    memory.store_card(OTHER, 1, 0, &card(9)).unwrap();
    memory.store_card(JOB, 1, 0, &card(1)).unwrap();
    let whole = memory.into_pages();
    let (mut old, mut new, mut cases) = (0, 0, 0);
    for seed in 0..40 {
        // Opening writes once; the card two pages, its first page, and the old first page.
        for (write, torn) in (0..5).flat_map(|write| Torn::ALL.map(|torn| (write, torn))) {
            let mut store = whole.clone();
            store.power_on();
            store.cut_at(Cut { write, torn, seed });
            let mut stored = Memory::open(&mut store, layout()).map(|(memory, _)| memory);
            let stored = stored.as_mut().is_ok_and(|memory| memory.store_card(JOB, 2, 0, &card(2)).is_ok());
            assert!(!stored && store.is_off());
            store.power_on();
            let mut memory = Memory::open(store, layout()).unwrap().0;
            let first = held(&mut memory, JOB).unwrap();
            assert!(first == card(1) || first == card(2), "write {write} {torn:?} seed {seed}");
            *if first == card(1) { &mut old } else { &mut new } += 1;
            // The bits that were half written read differently each time.
            for _ in 0..3 {
                memory = reopen(memory).0;
                let again = held(&mut memory, JOB).unwrap();
                assert!(again == first || (first == card(1) && again == card(2)), "{write} {torn:?} {seed}");
            }
            assert_eq!(held(&mut memory, OTHER), Some(card(9)));
            memory.store_card(JOB, 3, 0, &card(3)).unwrap();
            assert_eq!(held(&mut reopen(memory).0, JOB), Some(card(3)));
            cases += 1;
        }
    }
    assert!(old > 100 && new > 100 && cases == 1200, "{old} {new} {cases}");
}

#[test]
fn a_slot_that_goes_bad_is_left_for_another() {
    let mut memory = begun();
    memory.store_card(JOB, 1, 0, &card(1)).unwrap();
    memory.pages.stick(layout().card_page(1, 2));
    let page = layout().card_page(1, 2);
    assert_eq!(memory.store_card(JOB, 2, 0, &card(2)), Err(CardError::ReadBack { page }));
    assert_eq!(held(&mut memory, JOB), Some(card(1)));
    assert_eq!(memory.store_card(JOB, 2, 0, &card(2)), Ok(true), "in the third slot");
    memory.pages.put(layout().card_page(2, 1), [0x44; PAGE]);
    assert_eq!(memory.read_card(JOB, &mut [0; 128]), Err(CardError::Damaged(JOB)));
    let (memory, recovery) = reopen(memory);
    assert_eq!((recovery.cards, recovery.damaged_cards, memory.find_card(JOB)), (0, 1, None));
}

#[test]
fn a_chip_that_falls_silent_while_a_card_is_replaced_takes_no_slot_for_good() {
    for seed in 0..200 {
        let mut memory = begun();
        memory.store_card(JOB, 1, 0, &card(1)).unwrap();
        memory.store_card(OTHER, 1, 0, &card(1)).unwrap();
        memory.pages.seed(seed);
        memory.pages.disturb_writes(2);
        let _ = memory.store_card(JOB, 2, 0, &card(2));
        memory.pages.disturb_writes(0);
        assert_eq!(memory.store_card(JOB, 3, 0, &card(3)), Ok(true), "seed {seed}");
        assert_eq!((held(&mut memory, JOB), held(&mut memory, OTHER)), (Some(card(3)), Some(card(1))));
        memory.pages.disturb_writes(2);
        let _ = memory.store_card(JOB, 4, 0, &card(4));
        memory.pages.disturb_writes(0);
        assert_eq!((memory.drop_card(JOB), held(&mut memory, JOB)), (Ok(true), None), "seed {seed}");
    }
}

/// Pages of which one is not read as it is, so many times.
struct Misread<'p> {
    pages: &'p mut Store,
    page: u16,
    times: u8,
}

impl Pages for Misread<'_> {
    type Error = Fault;

    fn count(&self) -> u16 {
        self.pages.count()
    }

    fn read(&mut self, page: u16, into: &mut Page) -> Result<(), Fault> {
        self.pages.read(page, into)?;
        if page == self.page && self.times > 0 {
            self.times -= 1;
            into[5] ^= 1;
        }
        Ok(())
    }

    fn write(&mut self, page: u16, from: &Page) -> Result<(), Fault> {
        self.pages.write(page, from)
    }
}

#[test]
fn a_card_that_is_misread_is_read_again() {
    let mut memory = begun();
    memory.store_card(JOB, 1, 0, &card(1)).unwrap();
    let mut pages = memory.into_pages();
    let misread = Misread { pages: &mut pages, page: layout().card_page(0, 2), times: 3 };
    let (mut memory, recovery) = Memory::open(misread, layout()).unwrap();
    assert_eq!((recovery.cards, recovery.damaged_cards), (1, 0));
    memory.pages.times = 3;
    assert_eq!(held(&mut memory, JOB), Some(card(1)));
}

#[test]
fn a_card_that_no_start_could_read_does_not_win_over_the_one_that_took_its_place() {
    for offered in [6, 5, 4] {
        let mut memory = begun();
        memory.store_card(JOB, 1, 0, &card(1)).unwrap();
        memory.store_card(OTHER, 1, 0, &card(1)).unwrap();
        // The last of them lies in the first slot, and the next one will in the third.
        (2..=5).for_each(|revision| _ = memory.store_card(JOB, revision, 0, &card(revision)).unwrap());
        let mut pages = memory.into_pages();
        let misread = Misread { pages: &mut pages, page: layout().card_page(0, 2), times: 90 };
        let (mut memory, recovery) = Memory::open(misread, layout()).unwrap();
        assert_eq!((recovery.cards, recovery.damaged_cards), (1, 1));
        assert_eq!(memory.store_card(JOB, offered, 3, &card(offered)), Ok(true));
        drop(memory);
        // It reads well again.
        let (mut memory, recovery) = Memory::open(pages, layout()).unwrap();
        let found = memory.find_card(JOB).map(|card| (card.revision, card.includes));
        assert_eq!((recovery.damaged_cards, found), (0, Some((offered, 3))));
        assert_eq!(held(&mut memory, JOB), Some(card(offered)));
        assert_eq!(memory.cards.held(), 2, "none is left of the one before");
    }
}
