//! A keypad whose records differ from the book's, until it is settled which count.

use super::*;
use crate::desk::{Desk, Keep};
use crate::work::{Fact as Told, WorkError};
use bevelbook_core::record::RecordId;

/// A record of the station in the journal of a keypad, at ticks of its own.
fn event(seq: u32, event: StationEvent) -> (Stored, Option<i64>) {
    let mut store = Store::new(10);
    store.next = seq;
    store.log(event);
    (Stored { ticks: 7, ..store.records[&seq].clone() }, None)
}

#[test]
fn a_record_that_differs_from_the_books_stops_the_acknowledging() {
    let mut rig = Rig::new(wheels(10, 9), |work| {
        work.take_in(JournalId(10), [forged(1, 99), forged(2, 99)]).unwrap();
    });
    rig.run(2000);
    assert!(rig.has(|note| matches!(note, Note::Conflict { record } if record.seq == 2)), "{:?}", rig.notes);
    assert_eq!(rig.store.acknowledged, 1);
    let mut rig = Rig::new(wheels(10, 9), |work| {
        let known = (Stored { ticks: 3000, ..forged(3, 8).0 }, None);
        assert_eq!(work.take_in(JournalId(10), [known]).unwrap().new, 1);
        assert_eq!(work.take_in(JournalId(10), [forged(3, 99)]).unwrap().conflicts, [3]);
    });
    for _ in 0..3 {
        rig.run(2000);
        let now = Now { ms: rig.ms, utc_ms: 1_000_000 };
        rig.bench.plugged(now);
    }
    assert_eq!(rig.store.acknowledged, 2, "{:?}", rig.notes);
}

#[test]
fn a_memory_that_was_put_back_and_wrote_on_is_told_apart_by_the_books_last_record() {
    let mut rig = Rig::new(wheels(10, 5), |_| ());
    rig.run(2000);
    let before = rig.notes.len();
    rig.bench.plugged(Now { ms: rig.ms, utc_ms: 1_000_000 });
    rig.run(2000);
    let again = &rig.notes[before..];
    assert!(
        !again.iter().any(|note| matches!(note, Note::Record { .. } | Note::Conflict { .. })),
        "{again:?}"
    );
    // An old copy, which goes on with other facts under numbers that the book has.
    let mut old = wheels(10, 3);
    (0..4).for_each(|_| old.log(StationEvent::Recalibrated));
    (rig.store, rig.keypad) = (old, KeypadSession::new("keypad", "1"));
    rig.bench.plugged(Now { ms: rig.ms, utc_ms: 1_000_000 });
    rig.run(2000);
    assert!(rig.has(|note| matches!(note, Note::Conflict { record } if record.seq == 5)), "{:?}", rig.notes);
    assert!(rig.store.acknowledged < 5, "{}", rig.store.acknowledged);
}

#[test]
fn numbers_without_a_record_behind_a_conflict_acknowledge_nothing() {
    let mut store = wheels(10, 9);
    (4..=7).for_each(|seq| drop(store.records.remove(&seq)));
    let mut rig = Rig::new(store, |work| drop(work.take_in(JournalId(10), [forged(3, 99)]).unwrap()));
    // The book has something else under number 3, and nothing behind it.
    let other = rig.work().take_in(JournalId(10), [forged(3, 98)]).unwrap();
    assert_eq!(other.conflicts, [3]);
    rig.run(4000);
    assert!(rig.has(|note| matches!(note, Note::Gap { from: 4, to: 7, .. })), "{:?}", rig.notes);
    assert_eq!(rig.store.acknowledged, 2, "record 3 is nowhere but in the keypad");
}

#[test]
fn a_conflict_that_comes_over_the_line_is_told_once_and_what_is_before_it_is_acknowledged() {
    let mut rig = Rig::new(wheels(10, 4), |_| ());
    rig.run(2000);
    assert_eq!(rig.store.acknowledged, 4);
    // Another keypad program wrote on from an old copy of the memory, while this console was away.
    let other = rig.work().take_in(JournalId(10), [forged(6, 99)]).unwrap();
    assert_eq!(other.new, 1);
    (0..4).for_each(|_| rig.store.log(StationEvent::Recalibrated));
    rig.run(4000);
    assert_eq!(rig.store.acknowledged, 5, "{:?}", rig.notes);
    let conflicts = rig.notes.iter().filter(|note| matches!(note, Note::Conflict { .. })).count();
    assert_eq!(conflicts, 1, "{:?}", rig.notes);
    rig.run(4000);
    assert_eq!(rig.store.acknowledged, 5);
}

/// A keypad with 8 records, whose sixth is another in the book: it says that the station was recalibrated.
fn differing() -> Rig {
    let mut rig = Rig::new(wheels(10, 4), |_| ());
    rig.run(2000);
    let other = rig.work().take_in(JournalId(10), [event(6, StationEvent::Recalibrated)]).unwrap();
    assert_eq!(other.new, 1);
    (0..4).for_each(|_| rig.store.log(StationEvent::NewWheel));
    rig.run(4000);
    assert_eq!(rig.store.acknowledged, 5, "{:?}", rig.notes);
    rig
}

/// What holds of a journal.
fn holds(work: &Work, journal: JournalId) -> Vec<StationEvent> {
    let event = |line: &crate::work::Line| match line.fact {
        Told::Bench(Fact::Station(event)) if !line.void => Some(event),
        _ => None,
    };
    work.log_of(journal).unwrap().iter().filter_map(event).collect()
}

#[test]
fn once_it_is_settled_the_keypads_later_records_come_in() {
    for keep in [Keep::Book, Keep::Arrived] {
        let mut rig = differing();
        let record = RecordId { journal: JournalId(10), seq: 6 };
        let waiting = rig.work().conflicts().unwrap();
        assert_eq!((waiting.len(), waiting[0].book.id, waiting[0].settled), (1, record, None));
        rig.work().settle(record, keep).unwrap();
        rig.run(3000);
        assert_eq!(rig.store.acknowledged, 8, "{keep:?}: {:?}", rig.notes);
        rig.store.log(StationEvent::NewWheel);
        rig.run(3000);
        assert_eq!(rig.store.acknowledged, 9, "{keep:?}: {:?}", rig.notes);

        let mut work = rig.work();
        let conflict = rig.store.records[&6].clone();
        let again = work.take_in(JournalId(10), [(conflict, None)]).unwrap();
        assert_eq!((again.known, again.conflicts), (1, vec![]), "it is known and passed over");
        assert_eq!(work.journal(JournalId(10)).unwrap().conflict, None);
        let (keypads, own) = (holds(&work, JournalId(10)), holds(&work, work.own_journal().unwrap()));
        let recalibrated = keypads.contains(&StationEvent::Recalibrated);
        match keep {
            Keep::Book => {
                assert!(recalibrated && keypads.len() == 9 && own.is_empty(), "{keypads:?} {own:?}");
            }
            Keep::Arrived => {
                assert!(
                    !recalibrated && keypads.len() == 8 && own == [StationEvent::NewWheel],
                    "{keypads:?} {own:?}"
                );
            }
        }
        assert_eq!(work.conflicts().unwrap()[0].settled, Some(keep));
        let health = Work::check(work.place()).unwrap();
        assert_eq!((health.problems, health.conflicts, health.unsettled), (vec![], 1, 0));
        assert!(
            matches!(work.settle(record, keep), Err(WorkError::NothingToSettle(_))),
            "it is settled once"
        );
        let settlement = work.log_of(work.own_journal().unwrap()).unwrap();
        let settlement =
            settlement.iter().find(|line| matches!(line.fact, Told::Desk(Desk::Settlement(_)))).unwrap();
        assert!(matches!(work.void(settlement.id), Err(WorkError::NotVoidable { .. })), "and stays so");

        // Yet another record under the number waits for a decision of its own.
        let third = event(6, StationEvent::NewWheel);
        assert_eq!(work.take_in(JournalId(10), [third]).unwrap().conflicts, [6]);
        assert_eq!(work.journal(JournalId(10)).unwrap().conflict, Some(6));
    }
}

#[test]
fn what_the_console_cannot_log_is_not_kept_and_can_be_set_aside() {
    let mut rig = differing();
    let record = RecordId { journal: JournalId(10), seq: 5 };
    rig.work().take_in(JournalId(10), [forged(5, 99)]).unwrap();
    assert!(matches!(rig.work().settle(record, Keep::Arrived), Err(WorkError::NotTaken { .. })));
    assert_eq!(rig.work().journal(JournalId(10)).unwrap().conflict, Some(5), "nothing is half done");
    rig.work().settle(record, Keep::Book).unwrap();
    assert_eq!(rig.work().journal(JournalId(10)).unwrap().conflict, Some(6));
    rig.run(3000);
    assert_eq!(rig.store.acknowledged, 5);
}
