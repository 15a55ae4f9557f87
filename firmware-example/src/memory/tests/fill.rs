//! A journal that fills, runs around and is emptied.

use super::*;

#[test]
fn a_full_journal_refuses_and_says_so_and_the_reserve_finishes_the_lens() {
    let mut memory = begun();
    let reserve = u32::from(RESERVE);
    for n in 0..LAP - reserve {
        assert_eq!(append(&mut memory, n), Ok(n + 1));
    }
    let full = |unacknowledged| Err(AppendError::Full { unacknowledged });
    assert_eq!(append(&mut memory, 99), full(LAP - reserve));
    for n in LAP - reserve..LAP {
        assert_eq!(append(&mut memory, 99), full(n));
        assert_eq!(memory.append(2, &content(n), n, Urgency::FinishLens), Ok(n + 1));
    }
    assert_eq!(memory.append(2, &[], 0, Urgency::FinishLens), full(LAP));
    let (mut memory, _) = reopen(memory);
    assert_eq!(memory.append(2, &[], 0, Urgency::FinishLens), full(LAP), "a new start changes nothing");
    let records = records_after(&mut memory, 0);
    assert!(records.iter().zip(0..).all(|(record, n)| *record.data == *content(n)) && records.len() == 32);

    memory.acknowledge(1).unwrap();
    assert_eq!(append(&mut memory, 99), full(LAP - 1));
    assert_eq!(memory.append(2, &[7], 0, Urgency::FinishLens), Ok(LAP + 1));
    memory.acknowledge(LAP + 1).unwrap();
    assert_eq!(append(&mut memory, 100), Ok(LAP + 2));
    assert_eq!(memory.unacknowledged(), 1);
}

#[test]
fn a_record_too_long_is_refused_and_takes_no_number() {
    let mut memory = begun();
    assert_eq!(memory.append(2, &[1; 49], 0, Urgency::Ordinary), Err(AppendError::TooLong(49)));
    assert_eq!(memory.append(2, &[1; 48], 0, Urgency::Ordinary), Ok(1));
}

#[test]
fn laps_go_round_and_the_last_lap_stays_readable() {
    let mut memory = begun();
    for n in 0..LAP * 5 + 3 {
        assert_eq!(append(&mut memory, n), Ok(n + 1));
        memory.acknowledge(n + 1).unwrap();
        if n % 13 == 0 {
            let boot = memory.boot();
            memory = reopen(memory).0;
            assert_eq!(memory.boot(), boot + 1);
        }
        let oldest = (n + 2).saturating_sub(LAP).max(1);
        assert_eq!((memory.oldest(), memory.next()), (oldest, n + 2));
        assert_eq!(*memory.read(oldest).unwrap().unwrap().data, *content(oldest - 1));
        assert_eq!(memory.read(n + 2).unwrap(), None);
        assert_eq!(oldest.checked_sub(1).and_then(|seq| memory.read(seq).unwrap()), None, "overwritten");
    }
    assert!(readable(&mut memory).into_iter().eq(LAP * 4 + 4..LAP * 5 + 4));
}

#[test]
fn only_what_was_written_and_not_yet_acknowledged_can_be_acknowledged() {
    let mut memory = begun();
    fill(&mut memory, 0..5);
    memory.acknowledge(3).unwrap();
    let writes = memory.pages.writes();
    memory.acknowledge(3).unwrap();
    assert_eq!(memory.pages.writes(), writes, "said again, it is not written again");
    for upto in [2, 6, u32::MAX] {
        let expected = AcknowledgeError::OutOfRange { upto, acknowledged: 3, next: 6 };
        assert_eq!(memory.acknowledge(upto), Err(expected));
    }
    assert_eq!((reopen(memory).0.acknowledged()), 3);
}

#[test]
fn a_day_of_200_passes_without_a_console_then_all_of_them_once_in_order() {
    let layout = Layout::new(512, 16, 12).unwrap();
    let pages = FaultyPages::<512>::blank();
    let mut memory = Memory::begin(pages, layout, JOURNAL, Consent::KeepRecords).unwrap().0;
    for n in 0..200 {
        append(&mut memory, n).unwrap();
        if n % 50 == 49 {
            memory = reopen(memory).0;
        }
    }
    assert_eq!(memory.unacknowledged(), 200);
    let mut pulled = Vec::new();
    while memory.unacknowledged() > 0 {
        let after = memory.acknowledged();
        let batch: Vec<_> = records_after(&mut memory, after).into_iter().take(7).collect();
        let last = batch.last().unwrap().seq;
        pulled.extend(batch);
        memory.acknowledge(last).unwrap();
        memory = if last % 3 == 0 { reopen(memory).0 } else { memory };
    }
    assert!(pulled.iter().map(|record| record.seq).eq(1..=200));
    assert!(pulled.iter().zip(0..).all(|(record, n)| *record.data == *content(n) && record.ticks == n));
    assert!(pulled.iter().zip(0..200u16).all(|(record, n)| record.boot == u32::from(1 + n / 50)));
}

#[test]
fn when_numbers_are_used_up_it_says_so_instead_of_starting_over() {
    let mut memory = begun();
    memory.journal.boot = u16::MAX;
    assert_eq!(append(&mut memory, 0), Err(AppendError::Spent { next: 1, boot: u16::MAX }));
    memory.journal.boot = 1;
    (memory.journal.evidence, memory.journal.next) = (u32::MAX - 1, u32::MAX);
    assert_eq!(append(&mut memory, 0), Err(AppendError::Spent { next: u32::MAX, boot: 1 }));
}
