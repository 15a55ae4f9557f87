//! The book as a file: copied, put back, too new, not a book, private, backed up.

use super::super::migrate::migrate;
use super::super::schema::{KNOWN, MIGRATIONS, Migration};
use crate::store::engine::Conn;
use crate::store::tests::{begin, fact, place};
use crate::store::value::values;
use crate::store::{Book, Error, Trouble};
use bevelbook_core::record::RecordId;
use std::fs;
use std::path::Path;
use std::thread;
use std::thread::sleep;
use std::time::Duration;

fn numbers(book: &Book) -> Vec<RecordId> {
    book.entries_after(0).unwrap().iter().map(|e| e.id).collect()
}

#[test]
fn a_copied_book_begins_a_journal_and_keeps_the_records() {
    let (folder, path) = place();
    let mut book = begin(&path);
    book.append(&fact(None, "before")).unwrap();
    let (own, before) = (book.own_journal().unwrap(), book.entries_after(0).unwrap());
    drop(book);
    let elsewhere = folder.path().join("elsewhere.db");
    fs::copy(&path, &elsewhere).unwrap();
    let mut copy = Book::open(&elsewhere).unwrap();
    let new = copy.own_journal().unwrap();
    assert_ne!(new, own);
    assert_eq!(copy.entries_after(0).unwrap(), before);
    assert_eq!(copy.append(&fact(None, "after")).unwrap(), RecordId { journal: new, seq: 1 });
    drop(copy);
    assert_eq!(Book::open(&elsewhere).unwrap().own_journal().unwrap(), new, "begun once");
    assert_eq!(Book::open(&path).unwrap().own_journal().unwrap(), own, "the first book goes on");
}

#[test]
fn an_older_copy_put_in_the_books_place_does_not_reuse_numbers() {
    let (folder, path) = place();
    let mut book = begin(&path);
    book.append(&fact(None, "kept")).unwrap();
    drop(book);
    let older = folder.path().join("older.db");
    fs::copy(&path, &older).unwrap();
    let mut book = Book::open(&path).unwrap();
    let lost = book.append(&fact(None, "lost")).unwrap();
    drop(book);
    // The file's birth counts in whole seconds, and its inode may be handed out again.
    sleep(Duration::from_millis(1100));
    fs::remove_file(&path).unwrap();
    fs::copy(&older, &path).unwrap();
    let mut book = Book::open(&path).unwrap();
    assert_ne!(book.append(&fact(None, "new")).unwrap().journal, lost.journal);
}

#[test]
fn a_newer_schema_is_refused_naming_both_versions() {
    let (_folder, path) = place();
    let mut running = begin(&path);
    let other = rusqlite::Connection::open(&path).unwrap();
    other.pragma_update(None, "user_version", 7).unwrap();
    drop(other);
    let told = Book::open(&path).unwrap_err().to_string();
    assert!(
        told.contains("schema 7") && told.contains(&format!("up to {KNOWN}")) && told.contains("book.db"),
        "{told}"
    );
    let late = running.append(&fact(None, "by an old console")).unwrap_err();
    assert!(matches!(late, Error { trouble: Trouble::NewerSchema { found: 7, known: KNOWN }, .. }));
}

#[test]
fn an_older_book_is_backed_up_and_then_migrated_once() {
    let (folder, path) = place();
    let mut book = begin(&path);
    book.append(&fact(None, "old")).unwrap();
    let before = numbers(&book);
    let mut migrations = MIGRATIONS.to_vec();
    migrations
        .push(Migration { sql: "CREATE TABLE cache (id INTEGER PRIMARY KEY) STRICT;", then: |_| Ok(()) });
    migrate(&book.reader.conn, &path, &migrations).unwrap();
    migrate(&book.reader.conn, &path, &migrations).unwrap();
    let tables: i64 =
        book.reader.conn.value("SELECT count(*) FROM sqlite_schema WHERE name = \'cache\'", &[]).unwrap();
    assert_eq!(tables, 1);
    drop(book);
    assert!(
        matches!(Book::open(&path), Err(Error { trouble: Trouble::NewerSchema { found, .. }, .. }) if found == KNOWN + 1)
    );
    let backup = Book::open(folder.path().join(format!("book.db.schema-{KNOWN}"))).unwrap();
    assert_eq!(numbers(&backup), before);
}

#[test]
fn a_migration_that_fails_leaves_the_book_as_it_was() {
    let (_folder, path) = place();
    let mut book = begin(&path);
    let mut migrations = MIGRATIONS.to_vec();
    let sql = "CREATE TABLE cache (id INTEGER PRIMARY KEY) STRICT; SELECT nonsense;";
    migrations.push(Migration { sql, then: |_| Ok(()) });
    assert!(migrate(&book.reader.conn, &path, &migrations).is_err());
    assert_eq!(book.append(&fact(None, "goes on")).unwrap().seq, 1);
    assert_eq!(book.check().unwrap().problems, Vec::<String>::new());
}

#[test]
fn a_file_that_is_no_book_is_refused_unharmed() {
    let (folder, path) = place();
    let text = folder.path().join("letter.txt");
    fs::write(&text, "Dear Ottoline, ".repeat(400)).unwrap();
    let short = folder.path().join("short.txt");
    fs::write(&short, "hm").unwrap();
    let database = folder.path().join("other.db");
    let other = rusqlite::Connection::open(&database).unwrap();
    other.execute_batch("CREATE TABLE tools (name TEXT); INSERT INTO tools VALUES ('pliers')").unwrap();
    drop(other);
    let book = begin(&path);
    let empty = folder.path().join("empty.db");
    fs::write(&empty, "").unwrap();
    for file in [&text, &short, &database, &empty] {
        let (bytes, mode) = (fs::read(file).unwrap(), fs::metadata(file).unwrap().permissions());
        for refused in [
            Book::open(file).map(drop),
            Book::look(file).map(drop),
            Book::open_or_begin(file).map(drop),
            book.backup_to(file),
        ] {
            assert!(
                matches!(refused, Err(Error { trouble: Trouble::NotABook { .. }, .. })),
                "{file:?}: {refused:?}"
            );
        }
        assert_eq!(fs::read(file).unwrap(), bytes);
        assert_eq!(fs::metadata(file).unwrap().permissions(), mode);
    }
    let told = Book::open(folder.path());
    assert!(matches!(told, Err(Error { trouble: Trouble::NotABook { .. }, .. })), "{told:?}");
    let nowhere = folder.path().join("nowhere.db");
    assert!(matches!(Book::open(&nowhere), Err(Error { trouble: Trouble::Missing, .. })));
    assert!(!nowhere.exists());
    let names = fs::read_dir(folder.path()).unwrap().count();
    assert_eq!(names, 7, "four files, the book and its two log files, nothing else");
}

#[cfg(unix)]
#[test]
fn the_book_is_for_its_owner_only() {
    use std::os::unix::fs::PermissionsExt;
    let mode = |p: &Path| fs::metadata(p).unwrap().permissions().mode() & 0o777;
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("new/folder/book.db");
    let mut book = begin(&path);
    book.append(&fact(None, "x")).unwrap();
    let backup = path.with_file_name("backup.db");
    book.backup_to(&backup).unwrap();
    assert_eq!(mode(path.parent().unwrap()), 0o700);
    for file in [&path, &path.with_file_name("book.db-wal"), &path.with_file_name("book.db-shm"), &backup] {
        assert_eq!(mode(file), 0o600, "{file:?}");
    }
    drop(book);
    fs::set_permissions(&path, fs::Permissions::from_mode(0o664)).unwrap();
    drop(begin(&path));
    assert_eq!(mode(&path), 0o600);
}

#[test]
fn a_backup_opens_has_everything_and_writes_under_a_new_journal() {
    let (folder, path) = place();
    let mut book = begin(&path);
    for n in 0..50 {
        book.append(&fact(Some(n % 3), &"reading ".repeat(100))).unwrap();
    }
    book.set_person("p1", "Ottoline Quillfeather").unwrap();
    let target = folder.path().join("backup.db");
    book.backup_to(&target).unwrap();
    book.append(&fact(None, "later")).unwrap();
    let raw = rusqlite::Connection::open(&target).unwrap();
    let homes: i64 = raw.query_row("SELECT count(*) FROM home", [], |r| r.get(0)).unwrap();
    assert_eq!(homes, 0, "wherever it is put back, it begins a journal");
    drop(raw);
    let backup = Book::open(&target).unwrap();
    let all = book.entries_after(0).unwrap();
    assert_eq!(backup.entries_after(0).unwrap(), all[..50]);
    assert_eq!(backup.person("p1").unwrap(), book.person("p1").unwrap());
    assert_ne!(backup.own_journal().unwrap(), book.own_journal().unwrap());
    assert_eq!(backup.check().unwrap().problems, Vec::<String>::new());
    drop(backup);
    book.backup_to(&target).unwrap();
    assert_eq!(numbers(&Book::open(&target).unwrap()).len(), 51, "a backup is replaced by the next");
    assert!(matches!(book.backup_to(&path), Err(Error { trouble: Trouble::Itself, .. })));
    assert!(matches!(
        book.backup_to(&folder.path().join("no/b.db")),
        Err(Error { trouble: Trouble::File { .. }, .. })
    ));
    let parts = fs::read_dir(folder.path())
        .unwrap()
        .filter(|f| f.as_ref().unwrap().file_name().to_string_lossy().contains(".part-"));
    assert_eq!(parts.count(), 0);
}

#[test]
fn a_record_is_not_replaced_whoever_opens_the_file() {
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
fn a_backup_being_read_by_another_program_is_waited_for() {
    let (folder, path) = place();
    let backup = folder.path().join("backup.db");
    begin(&path).backup_to(&backup).unwrap();
    // A backup has no write-ahead log yet, and a reader stands in the way of beginning one.
    let reader = rusqlite::Connection::open(&backup).unwrap();
    reader.execute_batch("BEGIN; SELECT count(*) FROM record").unwrap();
    thread::scope(|s| {
        let opening = s.spawn(|| Book::open(&backup).map(drop));
        sleep(Duration::from_millis(300));
        assert!(!opening.is_finished());
        reader.execute_batch("COMMIT").unwrap();
        opening.join().unwrap().unwrap();
    });
}
