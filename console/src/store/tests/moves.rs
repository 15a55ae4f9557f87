//! A whole book goes into another one, of the same engine and of the other.

use super::lines::{full, lines};
use super::{Ground, arrived, begin, fact, on_both_engines};
use crate::store::value::values;
use crate::store::{Book, Counts, Entry, Merged, Reader, Trouble, Upto};
use bevelbook_core::record::JournalId;
use std::collections::BTreeSet;
use std::ops::ControlFlow;

const KEYPAD: JournalId = JournalId(0xfedc_ba98_7654_3210);

/// What a book holds, as far as it may not differ in another one.
#[derive(Debug, PartialEq)]
struct Held {
    lines: String,
    places: Vec<Entry>,
    ends: Vec<(String, i64, [u8; 16])>,
    gaps: Vec<std::ops::RangeInclusive<u32>>,
    words: BTreeSet<(u64, String)>,
    upto: Option<Upto>,
    /// Journals with records, and whether a console began them.
    journals: Vec<(JournalId, bool)>,
}

fn held(book: &Reader) -> Held {
    let mut words = BTreeSet::new();
    book.each_word(|job, word| {
        words.insert((job, word.to_owned()));
        ControlFlow::Continue(())
    })
    .unwrap();
    let ends = "SELECT of, links, digest FROM chain ORDER BY of";
    let mut journals = book.journals().unwrap();
    journals.retain(|(journal, _)| book.last_seq(*journal).unwrap().is_some());
    Held {
        lines: lines(book),
        places: [book.entries_after(0), book.apart(), book.conflicts()].map(Result::unwrap).concat(),
        ends: book.rows(ends, values![], |r| Ok((r.get(0)?, r.get(1)?, r.get(2)?))).unwrap(),
        gaps: book.gaps(KEYPAD).unwrap(),
        words,
        upto: book.found_upto().unwrap(),
        journals,
    }
}

fn sound(book: &Book) {
    assert_eq!(book.check().unwrap().problems, Vec::<String>::new(), "{}", book.place());
}

fn a_book_goes_into_a_file_and_from_there_into_an_empty_book_with_nothing_lost(ground: &Ground) {
    let mut book = full(ground);
    book.import(KEYPAD, &[arrived(9, "late"), arrived(12, "later"), arrived(11, "between")]).unwrap();
    let refused: Result<(), _> = book.write(|tx| {
        tx.append(&fact(None, "undone"))?;
        Err(Trouble::Missing.at(tx.place()))
    });
    assert!(refused.is_err());
    book.write::<_, crate::store::Error>(|tx| {
        tx.words().add(u64::MAX, "tray \u{fc} 4")?;
        tx.words().add(7, "open")?;
        let position = tx.last_position()?;
        tx.words().follow(Upto { version: 3, position })
    })
    .unwrap();
    let before = held(&book);
    assert_eq!((before.gaps.len(), before.words.len(), before.journals.len()), (2, 2, 2));
    let mut file = begin(ground.in_folder("moved.db"));
    let came = Merged { new: Counts { records: 8, conflicts: 1, people: 1 }, ..Merged::default() };
    assert_eq!(file.import_book(&book).unwrap(), came);
    assert_eq!(held(&file), before);
    sound(&file);
    let mut back = begin(ground.other());
    assert_eq!(back.import_book(&Book::look(ground.in_folder("moved.db")).unwrap()).unwrap(), came);
    assert_eq!(held(&back), before);
    sound(&back);
    let again = Merged { known: came.new, ..Merged::default() };
    assert_eq!(back.import_book(&file).unwrap(), again);
    assert_eq!(held(&back), before);
    // And it goes on behind what came.
    let next = back.append(&fact(Some(7), "next")).unwrap();
    assert_eq!(next.seq, 1, "the console's own journal");
    assert!(back.entries_after(before.upto.unwrap().position).unwrap().len() == 1);
    sound(&back);
}

fn a_book_comes_together_with_one_that_has_records(ground: &Ground) {
    let book = full(ground);
    let mut other = begin(ground.other());
    other.append(&fact(None, "their own")).unwrap();
    other.import(KEYPAD, &[arrived(2, "differs")]).unwrap();
    other.set_person("p1", "Ottoline Marrowby").unwrap();
    let merged = other.import_book(&book).unwrap();
    let counts = |records, conflicts, people| Counts { records, conflicts, people };
    assert_eq!((merged.new, merged.known, merged.names_kept), (counts(4, 2, 0), counts(0, 0, 0), 1));
    assert_eq!(other.person("p1").unwrap().as_deref(), Some("Ottoline Marrowby"));
    let places: Vec<i64> = other.entries_after(0).unwrap().iter().map(|entry| entry.position).collect();
    assert!(places.is_sorted() && places.len() == 5, "{places:?}");
    sound(&other);
}

fn a_book_is_not_taken_into_itself(ground: &Ground) {
    let mut book = full(ground);
    let before = held(&book);
    let refused = book.import_book(&Book::look(ground.place()).unwrap()).unwrap_err();
    assert!(matches!(refused.trouble, Trouble::Itself), "{refused}");
    assert_eq!(held(&book), before);
}

fn of_a_book_that_is_not_sound_nothing_is_taken(ground: &Ground) {
    let book = full(ground);
    ground.hand("UPDATE person SET name = 'Somebody Else'");
    let mut other = begin(ground.other());
    let refused = other.import_book(&book).unwrap_err();
    assert!(matches!(refused.trouble, Trouble::Unsound { .. }), "{refused}");
    assert_eq!(&refused.place, book.place());
    let told = refused.to_string();
    assert!(told.contains("the name behind \"p1\" was changed") && told.contains("book export"), "{told}");
    assert!(other.is_empty().unwrap() && other.people().unwrap().is_empty());
    let backup = ground.in_folder("backup.db");
    assert!(book.place().as_file().is_some() || book.backup_to(&backup).is_err());
    assert!(!backup.exists());
}

fn a_backup_is_a_file_that_has_everything(ground: &Ground) {
    let mut book = full(ground);
    let backup = ground.in_folder("backup.db");
    book.backup_to(&backup).unwrap();
    let first = std::fs::metadata(&backup).unwrap().len();
    book.append(&fact(None, &"more".repeat(3000))).unwrap();
    book.backup_to(&backup).unwrap();
    assert!(std::fs::metadata(&backup).unwrap().len() > first, "the earlier one is replaced");
    let copy = Book::look(&backup).unwrap();
    assert_eq!(held(&copy), held(&book));
    assert_eq!(copy.home().unwrap(), None);
    sound(&copy);
    let mode = std::fs::read_dir(ground.folder()).unwrap().count();
    assert!(mode <= 4, "nothing is left beside it");
}

fn a_letter_that_no_server_keeps_is_refused_in_a_name_and_in_a_reason(ground: &Ground) {
    let mut book = begin(ground.place());
    for (reference, name) in [("p\0", "Ottoline"), ("p1", "Otto\0line")] {
        let refused = book.set_person(reference, name).unwrap_err();
        assert!(matches!(refused.trouble, Trouble::Nul { .. }), "{refused}");
    }
    let mut apart = arrived(1, "with a \0 in what it says");
    book.import(KEYPAD, &[apart.clone()]).unwrap();
    apart.record.seq = 2;
    apart.apart = Some("why\0".into());
    assert!(matches!(book.import(KEYPAD, &[apart]).unwrap_err().trouble, Trouble::Nul { .. }));
    assert_eq!(book.entries_after(0).unwrap()[0].payload, b"with a \0 in what it says");
}

on_both_engines!(
    a_book_goes_into_a_file_and_from_there_into_an_empty_book_with_nothing_lost,
    a_book_comes_together_with_one_that_has_records,
    a_book_is_not_taken_into_itself,
    of_a_book_that_is_not_sound_nothing_is_taken,
    a_backup_is_a_file_that_has_everything,
    a_letter_that_no_server_keeps_is_refused_in_a_name_and_in_a_reason,
);
