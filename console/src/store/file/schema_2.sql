-- Schema 2 of the book: see schema.rs. Records and conflicts gain `apart` and `digest`, names a digest; the digests
-- chain (chain.rs). The rows of the tables renamed here are put into the new ones by schema_2.rs.

DROP TRIGGER record_not_updated;
DROP TRIGGER record_not_deleted;
DROP TRIGGER record_not_replaced;
DROP TRIGGER conflict_not_updated;
DROP TRIGGER conflict_not_deleted;
DROP TRIGGER conflict_not_replaced;
DROP INDEX record_of_job;
DROP INDEX record_of_kind;
DROP INDEX conflict_of_record;

ALTER TABLE record RENAME TO record_1;
ALTER TABLE conflict RENAME TO conflict_1;
ALTER TABLE person RENAME TO person_1;

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
    apart TEXT,
    digest BLOB NOT NULL CHECK (length(digest) = 16),
    UNIQUE (journal, seq)
) STRICT;

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
    apart TEXT,
    digest BLOB NOT NULL CHECK (length(digest) = 16),
    FOREIGN KEY (journal, seq) REFERENCES record (journal, seq)
) STRICT;

CREATE TABLE person (
    reference TEXT PRIMARY KEY,
    name TEXT NOT NULL,
    digest BLOB NOT NULL CHECK (length(digest) = 16)
) STRICT, WITHOUT ROWID;

CREATE TABLE chain (
    of TEXT PRIMARY KEY,
    links INTEGER NOT NULL CHECK (links > 0),
    digest BLOB NOT NULL CHECK (length(digest) = 16)
) STRICT, WITHOUT ROWID;

CREATE INDEX record_of_job ON record (job) WHERE apart IS NULL;

CREATE INDEX record_of_kind ON record (kind) WHERE apart IS NULL;

CREATE INDEX record_apart ON record (position) WHERE apart IS NOT NULL;

CREATE INDEX conflict_of_record ON conflict (journal, seq);

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

CREATE TRIGGER chain_only_grows BEFORE UPDATE ON chain
WHEN NEW.of <> OLD.of OR NEW.links <= OLD.links
BEGIN SELECT RAISE(ABORT, 'a chain only grows'); END;

CREATE TRIGGER chain_not_deleted BEFORE DELETE ON chain
BEGIN SELECT RAISE(ABORT, 'a chain is never deleted'); END;
