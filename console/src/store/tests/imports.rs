//! Records that arrive from other journals.

use super::super::{Entry, Error, Imported, Trouble};
use super::{Ground, arrived, begin, fact, on_both_engines};
use bevelbook_core::record::{JournalId, RecordId};

const KEYPAD: JournalId = JournalId(0xfedc_ba98_7654_3210);

fn sending_again_is_harmless(ground: &Ground) {
    let mut book = begin(ground.place());
    let batch = [arrived(0, "a"), arrived(1, "b")];
    assert_eq!(book.import(KEYPAD, &batch).unwrap(), Imported { new: 2, ..Imported::default() });
    let before = book.entries_after(0).unwrap();
    let mut again = batch.to_vec();
    again.push(arrived(2, "c"));
    again[0].job = Some(12); // now understood better, and still the same record
    assert_eq!(book.import(KEYPAD, &again).unwrap(), Imported { new: 1, known: 2, ..Imported::default() });
    let after = book.entries_after(0).unwrap();
    assert_eq!(after[..2], before);
    let last = &after[2];
    assert_eq!(
        (last.id, last.boot, last.ticks),
        (RecordId { journal: KEYPAD, seq: 2 }, Some(3), Some(u32::MAX))
    );
    assert_eq!(book.last_seq(KEYPAD).unwrap(), Some(2));
}

fn a_different_record_under_a_taken_number_is_kept_apart_once(ground: &Ground) {
    let mut book = begin(ground.place());
    book.import(KEYPAD, &[arrived(5, "first")]).unwrap();
    let liar = [arrived(5, "second"), arrived(6, "next")];
    let expected = Imported { new: 1, conflicts: vec![5], ..Imported::default() };
    assert_eq!(book.import(KEYPAD, &liar).unwrap(), expected);
    assert_eq!(book.import(KEYPAD, &liar[..1]).unwrap().conflicts, [5]);
    let kept = book.entry(RecordId { journal: KEYPAD, seq: 5 }).unwrap().unwrap();
    assert_eq!(kept.payload, b"first");
    let conflicts = book.conflicts().unwrap();
    assert_eq!(conflicts.len(), 1);
    assert_eq!((conflicts[0].id.journal, &conflicts[0].payload[..]), (KEYPAD, &b"second"[..]));
    let health = book.check().unwrap();
    assert_eq!((health.conflicts, health.records, health.problems), (1, 2, vec![]));
}

fn a_record_that_says_the_same_of_another_moment_is_another_record(ground: &Ground) {
    let mut book = begin(ground.place());
    let journal = JournalId(7);
    assert_eq!(book.import(journal, &[arrived(1, "the same")]).unwrap().new, 1);
    for (boot, ticks) in [(4, u32::MAX), (3, 5)] {
        let mut other = arrived(1, "the same");
        (other.record.boot, other.record.ticks) = (boot, ticks);
        assert_eq!(book.import(journal, &[other]).unwrap().conflicts, [1], "{boot} {ticks}");
    }
}

fn missing_numbers_are_shown_as_gaps(ground: &Ground) {
    let mut book = begin(ground.place());
    let batch: Vec<_> = [3, 4, 7, 9, 20].map(|seq| arrived(seq, "x")).to_vec();
    book.import(KEYPAD, &batch).unwrap();
    book.import(JournalId(1), &[arrived(5, "other")]).unwrap();
    assert_eq!(book.gaps(KEYPAD).unwrap(), [1..=2, 5..=6, 8..=8, 10..=19]);
    assert_eq!(book.gaps(JournalId(2)).unwrap(), []);
    let own = book.own_journal().unwrap();
    let mut expected = vec![(JournalId(1), false), (KEYPAD, false), (own, true)];
    expected.sort_unstable();
    assert_eq!(book.journals().unwrap(), expected);
}

fn nobody_else_may_add_to_the_console_journal(ground: &Ground) {
    let mut book = begin(ground.place());
    let own = book.own_journal().unwrap();
    book.append(&fact(None, "mine")).unwrap();
    let refused = book.import(own, &[arrived(2, "not mine")]).unwrap_err();
    assert!(
        matches!(refused, Error { trouble: Trouble::OwnJournal(id), .. } if id == RecordId { journal: own, seq: 2 })
    );
    assert_eq!(book.entries_after(0).unwrap().len(), 1);
}

fn a_record_kept_apart_has_its_number_and_tells_nothing(ground: &Ground) {
    let mut book = begin(ground.place());
    let mut batch = [arrived(1, "a"), arrived(2, "not for a keypad to say"), arrived(3, "c")];
    batch.iter_mut().for_each(|record| record.job = Some(12));
    batch[1].apart = Some("a keypad does not write orders".into());
    assert_eq!(book.import(KEYPAD, &batch).unwrap().new, 3);
    let facts = |entries: Vec<Entry>| entries.iter().map(|entry| entry.id.seq).collect::<Vec<_>>();
    assert_eq!(facts(book.entries_of_job(12).unwrap()), [1, 3]);
    assert_eq!(facts(book.entries_of_kind(200).unwrap()), [1, 3]);
    assert_eq!(facts(book.entries_after(0).unwrap()), [1, 3]);
    assert_eq!(facts(book.entries_of_journal(KEYPAD, 0..=9).unwrap()), [1, 2, 3]);
    assert_eq!((book.last_seq(KEYPAD).unwrap(), book.gaps(KEYPAD).unwrap()), (Some(3), vec![]));
    let apart = book.apart().unwrap();
    assert_eq!(book.entry(apart[0].id).unwrap().as_ref(), apart.first());
    assert_eq!(apart[0].apart, batch[1].apart);
    // Sent again it is known, whatever is thought of it then.
    batch[1].apart = None;
    assert_eq!(book.import(KEYPAD, &batch).unwrap().known, 3);
    batch[1].record.kind = 199;
    assert_eq!(book.import(KEYPAD, &batch).unwrap().conflicts, [2]);
    batch[1].job = None;
    batch[1].apart = Some("neither".into());
    assert_eq!(book.import(JournalId(4), &batch[1..2]).unwrap().new, 1);
    assert_eq!(book.entries_of_no_job().unwrap(), []);
}

on_both_engines!(
    sending_again_is_harmless,
    a_different_record_under_a_taken_number_is_kept_apart_once,
    a_record_that_says_the_same_of_another_moment_is_another_record,
    missing_numbers_are_shown_as_gaps,
    nobody_else_may_add_to_the_console_journal,
    a_record_kept_apart_has_its_number_and_tells_nothing,
);
