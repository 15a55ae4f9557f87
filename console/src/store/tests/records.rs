//! What goes in comes out, and stays.

use super::super::value::values;
use super::super::{Book, Error, Trouble};
use super::{Ground, arrived, begin, fact, on_both_engines};
use bevelbook_core::record::{JournalId, RecordId};
use std::path::Path;

fn what_was_written_is_read_back_in_order_after_reopening(ground: &Ground) {
    let mut book = begin(ground.place());
    let own = book.own_journal().unwrap();
    for (job, text) in
        [(Some(u64::MAX), "order"), (None, "new wheel"), (Some(4), "mark"), (Some(u64::MAX), "cut")]
    {
        book.append(&fact(job, text)).unwrap();
    }
    drop(book);
    let book = Book::open(ground.place()).unwrap();
    assert_eq!(book.own_journal().unwrap(), own);
    let all = book.entries_after(0).unwrap();
    let seqs: Vec<_> = all.iter().map(|e| e.id).collect();
    assert_eq!(seqs, [1, 2, 3, 4].map(|seq| RecordId { journal: own, seq }));
    assert!(all.windows(2).all(|pair| pair[0].position < pair[1].position));
    let texts = |job| book.entries_of_job(job).unwrap().into_iter().map(|e| e.payload).collect::<Vec<_>>();
    assert_eq!(texts(u64::MAX), [b"order".to_vec(), b"cut".to_vec()]);
    assert_eq!(texts(5), Vec::<Vec<u8>>::new());
    assert_eq!(book.entries_of_no_job().unwrap(), [all[1].clone()]);
    assert_eq!(book.entries_after(all[2].position).unwrap(), [all[3].clone()]);
    assert_eq!(book.entry(all[2].id).unwrap().as_ref(), Some(&all[2]));
    assert_eq!(book.entries_of_journal(own, 2..=3).unwrap(), all[1..3]);
    assert_eq!(book.last_seq(own).unwrap(), Some(4));
    let written = fact(Some(4), "mark");
    assert_eq!((all[2].kind, all[2].utc_ms, all[2].boot), (written.kind, written.utc_ms, None));
}

fn an_error_inside_a_write_undoes_all_of_it_and_frees_its_numbers(ground: &Ground) {
    let mut book = begin(ground.place());
    let refused: Result<(), Error> = book.write(|tx| {
        tx.append(&fact(Some(1), "half"))?;
        assert_eq!(tx.entries_of_job(1)?.len(), 1, "a write sees what it has done");
        Err(Trouble::Missing.at(Path::new("stop")))
    });
    assert!(refused.is_err());
    assert_eq!(book.entries_after(0).unwrap(), []);
    let (told, given) = book
        .write::<_, Error>(|tx| {
            let told = tx.next_id()?;
            Ok((told, tx.append(&fact(Some(1), "whole"))?))
        })
        .unwrap();
    assert_eq!((told, given.seq), (given, 1));
}

fn a_book_that_is_looked_into_takes_no_write(ground: &Ground) {
    let mut book = begin(ground.place());
    book.append(&fact(Some(1), "kept")).unwrap();
    for in_use in [true, false] {
        let refused = Book::look(ground.place()).unwrap().append(&fact(Some(1), "not this")).unwrap_err();
        assert!(matches!(refused.trouble, Trouble::ReadOnly | Trouble::Refused(_)), "{refused}");
        if in_use {
            drop(std::mem::replace(&mut book, begin(ground.other())));
        }
    }
    assert_eq!(Book::look(ground.place()).unwrap().entries_after(0).unwrap().len(), 1);
}

fn a_journal_at_its_last_number_says_so(ground: &Ground) {
    let mut book = begin(ground.place());
    let own = book.own_journal().unwrap();
    let sql = "INSERT INTO record (position, journal, seq, kind, payload, digest)
               VALUES (1, ?1, 4294967295, 1, ?2, ?2)";
    book.reader.conn.execute(sql, values![own, &[0; 16]]).unwrap();
    assert!(matches!(
        book.append(&fact(None, "one more")),
        Err(Error { trouble: Trouble::JournalFull(_), .. })
    ));
}

fn a_record_is_neither_changed_nor_deleted(ground: &Ground) {
    let mut book = begin(ground.place());
    book.append(&fact(Some(1), "as dialled")).unwrap();
    book.import(JournalId(7), &[arrived(1, "arrived"), arrived(1, "otherwise")]).unwrap();
    let said = |book: &Book| (book.entries_after(0).unwrap(), book.conflicts().unwrap());
    let before = said(&book);
    for table in ["record", "conflict"] {
        for sql in [format!("UPDATE {table} SET kind = 1"), format!("DELETE FROM {table}")] {
            let refused = book.reader.conn.execute(&sql, &[]).unwrap_err().to_string();
            assert!(refused.contains(&format!("a {table} is never")), "{sql}: {refused}");
        }
    }
    for sql in [
        "UPDATE chain SET links = links - 1",
        "UPDATE chain SET of = 'other', links = links + 1",
        "DELETE FROM chain",
    ] {
        let refused = book.reader.conn.execute(sql, &[]).unwrap_err().to_string();
        assert!(refused.contains("a chain "), "{sql}: {refused}");
    }
    assert_eq!(said(&book), before);
    assert_eq!(book.check().unwrap().problems, Vec::<String>::new());
}

fn a_name_is_set_corrected_and_forgotten(ground: &Ground) {
    let mut book = begin(ground.place());
    for (reference, name) in
        [("p1", "Ottoline Quillfeather"), ("p2", "Barnaby Thistlewood"), ("p1", "Ottoline Marrowby")]
    {
        book.set_person(reference, name).unwrap();
    }
    assert_eq!(book.person("p1").unwrap().as_deref(), Some("Ottoline Marrowby"));
    assert!(book.forget_person("p1").unwrap().0);
    assert!(!book.forget_person("p1").unwrap().0);
    assert_eq!(book.people().unwrap(), [("p2".to_owned(), "Barnaby Thistlewood".to_owned())]);
    assert_eq!(book.check().unwrap().problems, Vec::<String>::new());
}

on_both_engines!(
    what_was_written_is_read_back_in_order_after_reopening,
    an_error_inside_a_write_undoes_all_of_it_and_frees_its_numbers,
    a_book_that_is_looked_into_takes_no_write,
    a_journal_at_its_last_number_says_so,
    a_record_is_neither_changed_nor_deleted,
    a_name_is_set_corrected_and_forgotten,
);
