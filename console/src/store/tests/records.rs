//! What goes in comes out, and stays.

use super::super::engine::Conn;
use super::super::value::values;
use super::super::{Book, Error, Trouble};
use super::{begin, fact, place};
use bevelbook_core::record::RecordId;
use std::path::Path;

#[test]
fn what_was_written_is_read_back_in_order_after_reopening() {
    let (_folder, path) = place();
    let mut book = begin(&path);
    let own = book.own_journal().unwrap();
    for (job, text) in
        [(Some(u64::MAX), "order"), (None, "new wheel"), (Some(4), "mark"), (Some(u64::MAX), "cut")]
    {
        book.append(&fact(job, text)).unwrap();
    }
    drop(book);
    let book = Book::open(&path).unwrap();
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

#[test]
fn an_error_inside_a_write_undoes_all_of_it_and_frees_its_numbers() {
    let (_folder, path) = place();
    let mut book = begin(&path);
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

#[test]
fn a_record_is_neither_changed_nor_deleted_nor_replaced() {
    let (_folder, path) = place();
    let mut book = begin(&path);
    let id = book.append(&fact(Some(1), "as dialled")).unwrap();
    let before = book.entries_after(0).unwrap();
    let journal = id.journal.0.cast_signed();
    let replace_numbered = format!(
        "INSERT OR REPLACE INTO record (journal, seq, kind, payload) VALUES ({journal}, 1, 1, x'00')"
    );
    let replace_placed = format!(
        "INSERT OR REPLACE INTO record (position, journal, seq, kind, payload) VALUES ({}, {journal}, 2, 1, x'00')",
        before[0].position
    );
    // As this program opens the book, and as another program might.
    let other = Conn::File(rusqlite::Connection::open(&path).unwrap());
    other.batch("PRAGMA recursive_triggers = OFF").unwrap();
    for conn in [&book.reader.conn, &other] {
        for (sql, why) in [
            ("UPDATE record SET payload = x'00'", "a record is never changed"),
            ("DELETE FROM record", "a record is never deleted"),
            (replace_numbered.as_str(), "a record is never replaced"),
            (replace_placed.as_str(), "a record is never replaced"),
        ] {
            let refused = conn.execute(sql, values![]).unwrap_err();
            assert!(refused.to_string().contains(why), "{sql}: {refused}");
        }
    }
    assert_eq!(book.entries_after(0).unwrap(), before);
}

#[test]
fn a_book_that_is_looked_into_takes_no_write() {
    let (_folder, path) = place();
    let mut book = begin(&path);
    book.append(&fact(Some(1), "kept")).unwrap();
    for in_use in [true, false] {
        let refused = Book::look(&path).unwrap().append(&fact(Some(1), "not this")).unwrap_err();
        assert!(matches!(refused.trouble, Trouble::ReadOnly), "{refused}");
        if in_use {
            drop(std::mem::replace(&mut book, begin(&path.with_file_name("other.db"))));
        }
    }
    assert_eq!(Book::look(&path).unwrap().entries_after(0).unwrap().len(), 1);
}

#[test]
fn a_journal_at_its_last_number_says_so() {
    let (_folder, path) = place();
    let mut book = begin(&path);
    let own = book.own_journal().unwrap();
    let sql = "INSERT INTO record (journal, seq, kind, payload, digest)
               VALUES (?1, 4294967295, 1, x'00', zeroblob(16))";
    book.reader.conn.execute(sql, values![own]).unwrap();
    assert!(matches!(
        book.append(&fact(None, "one more")),
        Err(Error { trouble: Trouble::JournalFull(_), .. })
    ));
}

#[test]
fn a_forgotten_name_is_in_no_file_of_the_book() {
    let (folder, path) = place();
    let mut book = begin(&path);
    book.set_person("p1", "Ottoline Quillfeather").unwrap();
    book.set_person("p2", "Barnaby Thistlewood").unwrap();
    book.set_person("p1", "Ottoline Marrowby").unwrap();
    assert_eq!(book.person("p1").unwrap().as_deref(), Some("Ottoline Marrowby"));
    let holds = |name: &str| {
        std::fs::read_dir(folder.path()).unwrap().any(|file| {
            let bytes = std::fs::read(file.unwrap().path()).unwrap();
            bytes.windows(name.len()).any(|w| w == name.as_bytes())
        })
    };
    assert!(holds("Marrowby"));
    assert!(book.forget_person("p1").unwrap());
    assert_eq!(book.person("p1").unwrap(), None);
    assert!(!holds("Marrowby") && !holds("Quillfeather"));
    assert!(holds("Thistlewood"));
    assert!(!book.forget_person("p1").unwrap());
}
