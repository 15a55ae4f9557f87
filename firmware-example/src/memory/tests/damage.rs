//! Pages that go bad.

use super::super::faults::{Cut, Torn};
use super::*;

const GARBAGE: Page = [0xa7; PAGE];

fn page_of(seq: u32) -> u16 {
    layout().record_page(seq)
}

#[test]
fn a_page_that_takes_no_write_is_passed_over_with_a_gap() {
    let mut memory = begun();
    fill(&mut memory, 0..3);
    memory.pages.stick(page_of(4));
    assert_eq!(append(&mut memory, 3), Ok(5));
    assert_eq!(memory.read(4).unwrap(), None);
    let (mut memory, recovery) = reopen(memory);
    assert_eq!((recovery.journal.newest, recovery.journal.skipped, memory.next()), (Some(5), 0, 6));
    assert_eq!(readable(&mut memory), [1, 2, 3, 5]);
    memory.acknowledge(5).unwrap();
    fill(&mut memory, 5..LAP + 2);
    memory.acknowledge(LAP + 2).unwrap();
    assert_eq!(
        (append(&mut memory, 99), append(&mut memory, 99)),
        (Ok(LAP + 3), Ok(LAP + 5)),
        "next lap too"
    );
}

#[test]
fn after_a_silent_bad_page_and_a_torn_one_no_number_is_given_again() {
    for torn in Torn::ALL {
        let mut memory = begun();
        fill(&mut memory, 0..2);
        for seq in 3..8 {
            memory.pages.stick(page_of(seq));
        }
        memory.pages.power_on();
        memory.pages.cut_at(Cut { write: 10, torn, seed: 3 });
        assert!(append(&mut memory, 2).is_err());
        memory.pages.power_on();
        let touched = memory.pages.content()[usize::from(page_of(8))] != [0xff; PAGE];
        let (memory, recovery) = reopen(memory);
        let whole = recovery.journal.newest == Some(8);
        assert_eq!(memory.next(), if touched { 9 } else { 3 }, "{torn:?}");
        assert_eq!(recovery.journal.skipped, if touched && !whole { 6 } else { 0 }, "{torn:?}");
    }
}

#[test]
fn a_memory_that_takes_nothing_any_more_says_so_each_time() {
    let mut memory = begun();
    fill(&mut memory, 0..2);
    (0..PAGES as u16).for_each(|page| memory.pages.stick(page));
    for _ in 0..5 {
        assert_eq!(append(&mut memory, 2), Err(AppendError::ReadBack { tried: 8 }));
    }
    assert_eq!(memory.acknowledge(2), Err(AcknowledgeError::ReadBack));
    assert_eq!(memory.acknowledged(), 2, "the console has them all the same");
    let (mut memory, recovery) = reopen(memory);
    assert!(!recovery.marks_written && !recovery.journal.copied);
    assert_eq!(readable(&mut memory), [1, 2]);
}

#[test]
fn a_bus_that_fails_for_a_while_costs_neither_a_number_nor_a_record() {
    let mut memory = begun();
    fill(&mut memory, 0..2);
    let cut = |memory: &mut Memory<Store>, seed| {
        memory.pages.power_on();
        memory.pages.cut_at(Cut { write: 0, torn: Torn::Garbage, seed });
    };
    cut(&mut memory, 0);
    assert!(matches!(append(&mut memory, 2), Err(AppendError::Storage(_))));
    for seed in 1..24 {
        cut(&mut memory, seed);
        assert!(matches!(memory.settle(), Err(AppendError::Storage(_))));
    }
    memory.pages.power_on();
    assert_eq!(memory.settle().unwrap().map(|record| record.seq), Some(3));
    assert_eq!((memory.settle(), append(&mut memory, 3)), (Ok(None), Ok(4)));
    let (mut memory, _) = reopen(memory);
    let contents: Vec<_> = records_after(&mut memory, 0).into_iter().map(|record| record.data).collect();
    assert!(contents.iter().map(|data| &**data).eq((0..4).map(content)), "{contents:?}");
}

#[test]
fn damage_is_reported_and_kept_until_its_number_is_acknowledged() {
    let mut memory = begun();
    fill(&mut memory, 0..10);
    memory.acknowledge(4).unwrap();
    memory.pages.put(page_of(3), GARBAGE);
    memory.pages.put(page_of(7), GARBAGE);
    memory.pages.put(page_of(25), GARBAGE);
    let (mut memory, recovery) = reopen(memory);
    let damage = |seq: u32, due, unacknowledged| Damage { page: page_of(seq), seq: due, unacknowledged };
    let expected = [damage(3, Some(3), false), damage(7, Some(7), true), damage(25, None, false)];
    assert_eq!((&recovery.journal.damage[..], recovery.journal.damaged), (&expected[..], 3));
    assert_eq!(readable(&mut memory), [1, 2, 4, 5, 6, 8, 9, 10]);
    fill(&mut memory, 10..20);
    memory.acknowledge(6).unwrap();
    for n in 20..LAP + 6 {
        memory.append(2, &content(n), n, Urgency::FinishLens).unwrap();
    }
    let last = memory.append(2, &[], 0, Urgency::FinishLens);
    assert_eq!(last, Err(AppendError::Full { unacknowledged: LAP }), "the page of 7 is not touched");
    assert_eq!(memory.pages.content()[usize::from(page_of(7))], GARBAGE);
    memory.acknowledge(7).unwrap();
    assert_eq!(memory.append(2, &[], 0, Urgency::FinishLens), Ok(LAP + 7));
}

#[test]
fn damage_ahead_of_a_full_journal_hides_no_record_that_waits() {
    let mut memory = begun();
    for n in 0..LAP + 10 {
        if n == LAP {
            memory.acknowledge(10).unwrap();
        }
        fill(&mut memory, n..n + 1);
    }
    // The records 11 to 42 wait; the page of 18 is where 50 would go.
    memory.pages.put(page_of(18), GARBAGE);
    let (mut memory, recovery) = reopen(memory);
    assert_eq!((recovery.journal.skipped, memory.next(), memory.oldest()), (8, 51, 11));
    assert!(readable(&mut memory).into_iter().eq((11..=42).filter(|seq| *seq != 18)));
    assert_eq!(append(&mut memory, 0), Err(AppendError::Full { unacknowledged: 40 }));
    memory.acknowledge(42).unwrap();
    assert_eq!(append(&mut memory, 0), Ok(51));
    assert_eq!(readable(&mut reopen(memory).0).last(), Some(&51));
}

#[test]
fn a_record_on_the_wrong_page_does_not_count() {
    let mut memory = begun();
    fill(&mut memory, 0..5);
    let stray = memory.pages.content()[usize::from(page_of(2))];
    memory.pages.put(page_of(20), stray);
    let (mut memory, recovery) = reopen(memory);
    assert_eq!((recovery.journal.records, recovery.journal.damaged), (5, 1));
    assert_eq!(readable(&mut memory), [1, 2, 3, 4, 5]);
}

#[test]
fn with_both_marks_bad_nothing_is_taken_to_be_acknowledged() {
    let mut memory = begun();
    for n in 0..LAP + 5 {
        append(&mut memory, n).unwrap();
        memory.acknowledge(n + 1).unwrap();
    }
    let boot = memory.boot();
    Layout::MARKS.into_iter().for_each(|page| memory.pages.put(page, GARBAGE));
    memory = reopen(memory).0;
    assert_eq!(memory.boot(), boot + BOOT_LEAP + 1);
    assert_eq!((memory.acknowledged(), memory.unacknowledged()), (0, LAP));
    let full = Err(AppendError::Full { unacknowledged: LAP });
    assert_eq!(memory.append(2, &[], 0, Urgency::FinishLens), full, "until a console says what it has");
    memory.acknowledge(LAP + 5).unwrap();
    assert_eq!(append(&mut memory, 77), Ok(LAP + 6));
    memory = reopen(memory).0;
    assert_eq!((memory.boot(), memory.acknowledged()), (boot + BOOT_LEAP + 2, LAP + 5));
}

#[test]
fn an_acknowledged_number_is_not_given_again_when_its_page_is_lost() {
    let mut memory = begun();
    fill(&mut memory, 0..5);
    memory.acknowledge(5).unwrap();
    [4, 5].map(page_of).into_iter().for_each(|page| memory.pages.put(page, [0xff; PAGE]));
    memory.pages.put(Layout::SPARE, [0xff; PAGE]);
    assert_eq!(reopen(memory).0.next(), 6);
}

#[test]
fn a_record_half_written_but_once_shown_is_never_lost_again() {
    let mut shown = 0;
    for seed in 0..200 {
        let mut memory = begun();
        fill(&mut memory, 0..3);
        memory.pages.power_on();
        memory.pages.cut_at(Cut { write: 0, torn: Torn::Weak, seed });
        assert!(append(&mut memory, 3).is_err());
        memory.pages.power_on();
        memory = reopen(memory).0;
        let first = readable(&mut memory);
        shown += u32::from(first.contains(&4));
        for _ in 0..10 {
            memory = reopen(memory).0;
            assert!(readable(&mut memory).starts_with(&first), "seed {seed}");
        }
    }
    assert!((50..200).contains(&shown), "both cases were met: {shown} of 200");
}

#[test]
fn a_record_half_written_and_passed_over_is_never_shown_later() {
    let mut passed_over = 0;
    for seed in 0..400 {
        let mut memory = begun();
        fill(&mut memory, 0..3);
        memory.pages.power_on();
        memory.pages.cut_at(Cut { write: 0, torn: Torn::Weak, seed });
        assert!(append(&mut memory, 3).is_err());
        memory.pages.power_on();
        memory = reopen(memory).0;
        if memory.read(4).unwrap().is_some() || append(&mut memory, 4).unwrap() == 4 {
            continue;
        }
        passed_over += 1;
        for _ in 0..20 {
            assert_eq!((0..20).find_map(|_| memory.read(4).unwrap()), None, "seed {seed}");
            memory = reopen(memory).0;
        }
    }
    assert!(passed_over > 50, "the case was met: {passed_over} of 400");
}
