//! A name that is forgotten, searched for by its bytes.

use crate::store::tests::{begin, fact, place};
use crate::store::{Book, Forgotten};
use jiff::civil::date;
use std::fs;
use std::path::{Path, PathBuf};

/// The files below a folder that hold a text.
fn holding(folder: &Path, text: &str) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for file in fs::read_dir(folder).unwrap().map(|file| file.unwrap().path()) {
        if file.is_dir() {
            found.extend(holding(&file, text));
        } else if fs::read(&file).unwrap().windows(text.len()).any(|bytes| bytes == text.as_bytes()) {
            found.push(file);
        }
    }
    found.sort();
    found
}

#[test]
fn it_is_in_no_file_of_the_book_any_more_and_the_records_are_all_there() {
    let (folder, path) = place();
    let mut book = begin(&path);
    book.append(&fact(Some(1), "cut for p1")).unwrap();
    book.set_person("p1", "Ottoline Quillfeather").unwrap();
    book.set_person("p2", "Barnaby Thistlewood").unwrap();
    let backup = book.back_up(date(2026, 11, 1).at(8, 0, 0, 0), 9).unwrap().unwrap();
    book.set_person("p1", "Ottoline Marrowby").unwrap();
    book.append(&fact(Some(1), "fits")).unwrap();
    let later = book.back_up(date(2026, 11, 2).at(8, 0, 0, 0), 9).unwrap().unwrap();
    drop(book);
    Book::restore(&path, &backup, "now", false).unwrap();
    fs::copy(&later, folder.path().join("book.db.schema-1")).unwrap();
    let mut book = Book::open(&path).unwrap();
    assert_eq!(holding(folder.path(), "Quillfeather").len(), 2, "the book and a backup");
    assert_eq!(holding(folder.path(), "Marrowby").len(), 3, "a backup, the former book, an older copy");
    let forgotten = book.forget("p1").unwrap();
    assert_eq!((forgotten.was_here, forgotten.rewritten.len(), forgotten.left), (true, 4, vec![]));
    assert_eq!(holding(folder.path(), "Quillfeather"), Vec::<PathBuf>::new());
    assert_eq!(holding(folder.path(), "Marrowby"), Vec::<PathBuf>::new());
    assert_eq!(holding(folder.path(), "Thistlewood").len(), 5);
    for (file, records) in
        [(&backup, 1), (&later, 2), (&folder.path().join("book.db.before-now"), 2), (&path, 1)]
    {
        let book = Book::look(file).unwrap();
        assert_eq!(book.check().unwrap().problems, Vec::<String>::new());
        assert_eq!(book.entries_after(0).unwrap().len(), records, "{file:?}");
    }
    let again = book.forget("p1").unwrap();
    assert_eq!(again, Forgotten { tidied: true, ..Forgotten::default() });
}

#[test]
fn a_copy_that_cannot_be_read_is_named() {
    let (folder, path) = place();
    let mut book = begin(&path);
    book.set_person("p1", "Ottoline Quillfeather").unwrap();
    let spoilt = folder.path().join("book.db.before-then");
    fs::write(&spoilt, "Ottoline Quillfeather ".repeat(300)).unwrap();
    let forgotten = book.forget("p1").unwrap();
    assert_eq!((forgotten.was_here, forgotten.rewritten), (true, vec![]));
    assert_eq!(forgotten.left.len(), 1);
    assert_eq!(holding(folder.path(), "Quillfeather"), [spoilt]);
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
    assert_eq!(book.forget_person("p1").unwrap(), (true, true));
    assert_eq!(book.person("p1").unwrap(), None);
    assert!(!holds("Marrowby") && !holds("Quillfeather"));
    assert!(holds("Thistlewood"));
    assert_eq!(book.forget_person("p1").unwrap(), (false, true));
}
