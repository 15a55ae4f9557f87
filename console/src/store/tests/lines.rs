//! A book as lines, there and back.

use super::{Ground, arrived, begin, fact, on_both_engines};
use crate::store::{Book, Counts, ImportError, Merged, Reader, Trouble};
use bevelbook_core::record::JournalId;
use std::fs;
use std::io::Cursor;

pub(in crate::store) fn lines(book: &Reader) -> String {
    let mut out = Vec::new();
    assert_eq!(book.export(&mut out, true).unwrap().1, []);
    String::from_utf8(out).unwrap()
}

/// A book with records of its own and of a keypad, a name, a conflict, and a record that is kept apart.
pub(super) fn full(ground: &Ground) -> Book {
    let mut book = begin(ground.place());
    book.append(&fact(Some(u64::MAX), "order: ünusual \"text\"")).unwrap();
    let mut apart = arrived(3, "order");
    apart.apart = Some("not a bench fact".into());
    book.import(JournalId(0xfedc_ba98_7654_3210), &[arrived(1, "cut"), arrived(2, ""), apart]).unwrap();
    book.append(&fact(None, "late")).unwrap();
    book.import(JournalId(0xfedc_ba98_7654_3210), &[arrived(1, "other")]).unwrap();
    book.set_person("p1", "Ottoline Quillfeather").unwrap();
    book
}

fn counts(records: u64, conflicts: u64, people: u64) -> Counts {
    Counts { records, conflicts, people }
}

fn out_and_in_and_out_gives_the_same_bytes(ground: &Ground) {
    let book = full(ground);
    let first = lines(&book);
    let mut other = begin(ground.other());
    let merged = other.import_lines(Cursor::new(first.as_bytes())).unwrap();
    assert_eq!(merged, Merged { new: counts(5, 1, 1), ..Merged::default() });
    assert_eq!(lines(&other), first);
    assert_eq!(other.check().unwrap().problems, Vec::<String>::new());
    assert_eq!(other.apart().unwrap().len(), 1, "what did not count does not count there");
    let again = other.import_lines(Cursor::new(first.as_bytes())).unwrap();
    assert_eq!(again, Merged { known: counts(5, 1, 1), ..Merged::default() });
    assert_eq!(lines(&other), first);
    let named = ground.in_folder("names.jsonl");
    book.export_to(&named, false).unwrap();
    let without = fs::read_to_string(&named).unwrap();
    assert!(!without.contains("Quillfeather") && without.lines().count() == first.lines().count() - 1);
}

fn two_books_come_together_and_what_differs_is_a_conflict(ground: &Ground) {
    let book = full(ground);
    let mut other = begin(ground.other());
    other.append(&fact(None, "their own")).unwrap();
    other.import(JournalId(0xfedc_ba98_7654_3210), &[arrived(2, "differs")]).unwrap();
    other.set_person("p1", "Ottoline Marrowby").unwrap();
    let merged = other.import_lines(Cursor::new(lines(&book).as_bytes())).unwrap();
    assert_eq!((merged.new, merged.known, merged.names_kept), (counts(4, 2, 0), counts(0, 0, 0), 1));
    assert_eq!(other.person("p1").unwrap().as_deref(), Some("Ottoline Marrowby"));
    assert_eq!(other.entries_after(0).unwrap().len(), 2 + 3);
    assert_eq!(other.check().unwrap().problems, Vec::<String>::new());
}

fn what_was_cut_short_changed_or_is_no_export_is_refused_with_its_line_and_nothing_is_taken_in(
    ground: &Ground,
) {
    let book = full(ground);
    let whole = lines(&book);
    let mut other = begin(ground.other());
    let all: Vec<&str> = whole.split_inclusive('\n').collect();
    let without = |n: usize| {
        all.iter().enumerate().filter(|(at, _)| *at != n).map(|(_, line)| *line).collect::<String>()
    };
    let long = format!("{}{}", all[0], "x".repeat(2 << 20));
    for (text, line, why) in [
        (String::new(), 1, "cut short"),
        ("hello\n".to_owned(), 1, "expected"),
        (all[1].to_owned(), 1, "not an export"),
        (all[0].replace("\"version\":1", "\"version\":7"), 1, "version 7"),
        (all[..4].concat(), 5, "cut short"),
        (whole[..whole.len() - 9].to_owned(), all.len(), "EOF"),
        (without(1), all.len() - 1, "lost or changed"),
        (without(4), all.len() - 1, "lost or changed"),
        (without(3), all.len() - 2, "no record that it is in conflict with"),
        (whole.replacen("\"kind\":9", "\"kind\":8", 1), all.len(), "lost or changed"),
        (whole.replacen("\"kind\":9", "\"kind\":900", 1), 3, "900"),
        (whole.replacen("\"seq\":1", "\"seq\":1,\"sql\":\"DROP\"", 1), 3, "sql"),
        (whole.replacen("fedcba9876543210", "fedcba987654321", 1), 4, "16 hexadecimal digits"),
        (whole.replacen("\"payload\":\"", "\"payload\":\"é", 1), 3, "hexadecimal"),
        (format!("{whole}more"), all.len(), "behind the closing line"),
        (long, 2, "longer than"),
    ] {
        let refused = other.import_lines(Cursor::new(text.as_bytes())).unwrap_err();
        let ImportError::Line { line: at, what } = refused else { panic!("{refused}") };
        assert_eq!(at, line as u64, "{what}");
        assert!(what.contains(why), "{what}");
    }
    let mut bytes = whole.into_bytes();
    bytes[40] = 0xff;
    assert!(other.import_lines(Cursor::new(&bytes)).is_err());
    assert_eq!((other.entries_after(0).unwrap(), other.people().unwrap()), (vec![], vec![]));
}

fn an_export_takes_the_place_of_an_earlier_one_and_of_nothing_else(ground: &Ground) {
    let book = full(ground);
    let target = ground.in_folder("out.jsonl");
    book.export_to(&target, true).unwrap();
    book.export_to(&target, true).unwrap();
    let letter = ground.in_folder("letter");
    fs::write(&letter, "Dear Ottoline").unwrap();
    for taken in std::iter::once(letter.as_path()).chain(book.place().as_file()) {
        let before = fs::read(taken).unwrap();
        assert!(matches!(book.export_to(taken, true).unwrap_err().trouble, Trouble::Taken(_)));
        assert_eq!(fs::read(taken).unwrap(), before);
    }
    #[cfg(unix)]
    assert_eq!(
        std::os::unix::fs::PermissionsExt::mode(&fs::metadata(&target).unwrap().permissions()) & 0o777,
        0o600
    );
}

on_both_engines!(
    out_and_in_and_out_gives_the_same_bytes,
    two_books_come_together_and_what_differs_is_a_conflict,
    what_was_cut_short_changed_or_is_no_export_is_refused_with_its_line_and_nothing_is_taken_in,
    an_export_takes_the_place_of_an_earlier_one_and_of_nothing_else,
);
