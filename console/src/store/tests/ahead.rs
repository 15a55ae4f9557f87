//! What is asked before it is wanted.

use super::{Ground, arrived, begin, fact, on_both_engines};
use crate::store::{Book, Error, Reader};
use bevelbook_core::record::JournalId;

/// All that a few questions are answered.
fn asked(reader: &Reader) -> impl PartialEq + std::fmt::Debug + use<> {
    (
        [1, u64::MAX].map(|job| reader.entries_of_job(job).unwrap_or_default()),
        reader.entries_of_no_job().unwrap_or_default(),
        reader.found_by("tray o'brien \\").unwrap_or_default(),
        reader.found_by_beginning("tray ").unwrap_or_default(),
        reader.last_seq_of_job(1, JournalId(0xb0a)).unwrap_or_default(),
        reader.follows_all(1).unwrap_or_default(),
        reader.count_of_kind(200).unwrap_or_default(),
    )
}

fn what_was_asked_ahead_is_what_is_answered_then(ground: &Ground) {
    let mut book = begin(ground.place());
    for (job, text) in [(Some(1), "mark"), (None, "\\x00'\0 a wheel"), (Some(u64::MAX), "")] {
        book.append(&fact(job, text)).unwrap();
    }
    book.import(JournalId(0xb0a), &[arrived(7, "one")]).unwrap();
    book.write::<_, Error>(|tx| tx.words().add(1, "tray o'brien \\")).unwrap();
    let plainly = asked(&book);
    let in_a_moment = book.at_one_moment::<_, Error>(|| {
        book.ahead(|reader| drop(asked(reader)))?;
        Ok(asked(&book))
    });
    assert_eq!(in_a_moment.unwrap(), plainly);
    let in_a_write = book.write_ahead::<_, Error>(|reader| drop(asked(reader)), |tx| Ok(asked(tx)));
    assert_eq!(in_a_write.unwrap(), plainly);
}

fn a_write_that_asked_ahead_sees_what_it_has_done_since(ground: &Ground) {
    let mut book = begin(ground.place());
    let written = book.write_ahead::<_, Error>(
        |reader| drop(asked(reader)),
        |tx| {
            assert_eq!((tx.entries_of_job(1)?, tx.found_by("tray o'brien \\")?), (vec![], vec![]));
            tx.append(&fact(Some(1), "mark"))?;
            tx.words().add(1, "tray o'brien \\")?;
            assert_eq!((tx.entries_of_job(1)?.len(), tx.found_by("tray o'brien \\")?), (1, vec![1]));
            tx.ahead(|reader| drop(asked(reader)))?;
            tx.append(&fact(Some(1), "cut"))?;
            assert_eq!(tx.entries_of_job(1)?.len(), 2);
            Ok(asked(tx))
        },
    );
    assert_eq!(written.unwrap(), asked(&book));
}

fn what_was_asked_ahead_is_forgotten_when_that_is_over(ground: &Ground) {
    let book = begin(ground.place());
    let mut other = Book::open(ground.place()).unwrap();
    book.at_one_moment::<_, Error>(|| {
        // A moment begins when something is asked.
        assert_eq!(book.entries_of_no_job()?, []);
        book.ahead(|reader| drop(asked(reader)))?;
        other.append(&fact(Some(1), "mark"))?;
        assert_eq!(book.entries_of_job(1)?, [], "it is still that moment");
        Ok(())
    })
    .unwrap();
    assert_eq!(book.entries_of_job(1).unwrap().len(), 1);
    // Outside of a moment nothing is kept.
    book.ahead(|reader| drop(asked(reader))).unwrap();
    other.append(&fact(Some(1), "cut")).unwrap();
    assert_eq!(book.entries_of_job(1).unwrap().len(), 2);
}

on_both_engines![
    what_was_asked_ahead_is_what_is_answered_then,
    a_write_that_asked_ahead_sees_what_it_has_done_since,
    what_was_asked_ahead_is_forgotten_when_that_is_over,
];
