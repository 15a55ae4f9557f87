-- Schema 1 of the book: see schema.rs. Never edited once a book exists: a change is a further migration.

CREATE TABLE journal (
    id INTEGER PRIMARY KEY,
    begun_here INTEGER NOT NULL CHECK (begun_here IN (0, 1))
) STRICT;

CREATE TABLE home (
    one INTEGER PRIMARY KEY CHECK (one = 1),
    journal INTEGER NOT NULL REFERENCES journal (id),
    fingerprint INTEGER NOT NULL
) STRICT;

CREATE TABLE record (
    position INTEGER PRIMARY KEY AUTOINCREMENT,
    journal INTEGER NOT NULL REFERENCES journal (id),
    seq INTEGER NOT NULL CHECK (seq BETWEEN 0 AND 4294967295),
    kind INTEGER NOT NULL CHECK (kind BETWEEN 0 AND 255),
    job INTEGER,
    payload BLOB NOT NULL,
    boot INTEGER CHECK (boot BETWEEN 0 AND 4294967295),
    ticks INTEGER CHECK (ticks BETWEEN 0 AND 4294967295),
    utc_ms INTEGER,
    UNIQUE (journal, seq)
) STRICT;

CREATE INDEX record_of_job ON record (job);

CREATE INDEX record_of_kind ON record (kind);

CREATE TABLE conflict (
    position INTEGER PRIMARY KEY AUTOINCREMENT,
    journal INTEGER NOT NULL,
    seq INTEGER NOT NULL,
    kind INTEGER NOT NULL CHECK (kind BETWEEN 0 AND 255),
    job INTEGER,
    payload BLOB NOT NULL,
    boot INTEGER CHECK (boot BETWEEN 0 AND 4294967295),
    ticks INTEGER CHECK (ticks BETWEEN 0 AND 4294967295),
    utc_ms INTEGER,
    FOREIGN KEY (journal, seq) REFERENCES record (journal, seq)
) STRICT;

CREATE INDEX conflict_of_record ON conflict (journal, seq);

CREATE TABLE person (
    reference TEXT PRIMARY KEY,
    name TEXT NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TRIGGER record_not_updated BEFORE UPDATE ON record
BEGIN SELECT RAISE(ABORT, 'a record is never changed'); END;

CREATE TRIGGER record_not_deleted BEFORE DELETE ON record
BEGIN SELECT RAISE(ABORT, 'a record is never deleted'); END;

CREATE TRIGGER record_not_replaced BEFORE INSERT ON record
WHEN EXISTS (SELECT 1 FROM record WHERE journal = NEW.journal AND seq = NEW.seq)
  OR EXISTS (SELECT 1 FROM record WHERE position = NEW.position)
BEGIN SELECT RAISE(ABORT, 'a record is never replaced'); END;

CREATE TRIGGER conflict_not_updated BEFORE UPDATE ON conflict
BEGIN SELECT RAISE(ABORT, 'a conflict is never changed'); END;

CREATE TRIGGER conflict_not_deleted BEFORE DELETE ON conflict
BEGIN SELECT RAISE(ABORT, 'a conflict is never deleted'); END;

CREATE TRIGGER conflict_not_replaced BEFORE INSERT ON conflict
WHEN EXISTS (SELECT 1 FROM conflict WHERE position = NEW.position)
BEGIN SELECT RAISE(ABORT, 'a conflict is never replaced'); END;
