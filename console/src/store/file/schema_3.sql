-- Schema 3 of the book: see schema.rs. What is found without reading the records; all of it follows from them.

CREATE TABLE found_by (
    word TEXT NOT NULL,
    job INTEGER NOT NULL,
    PRIMARY KEY (word, job)
) STRICT, WITHOUT ROWID;

CREATE INDEX found_by_job ON found_by (job);

CREATE TABLE found_upto (
    one INTEGER PRIMARY KEY CHECK (one = 1),
    version INTEGER NOT NULL,
    position INTEGER NOT NULL
) STRICT;

CREATE TABLE leap (
    journal INTEGER NOT NULL,
    seq INTEGER NOT NULL,
    PRIMARY KEY (journal, seq)
) STRICT, WITHOUT ROWID;

CREATE TRIGGER record_leaps AFTER INSERT ON record
WHEN NEW.seq > 1 AND NOT EXISTS (SELECT 1 FROM record WHERE journal = NEW.journal AND seq = NEW.seq - 1)
BEGIN INSERT INTO leap (journal, seq) VALUES (NEW.journal, NEW.seq); END;

INSERT INTO leap (journal, seq)
SELECT journal, seq
FROM (SELECT journal, seq, lag(seq, 1, 0) OVER (PARTITION BY journal ORDER BY seq) AS before FROM record)
WHERE before < seq - 1;

DROP INDEX record_of_job;

CREATE INDEX record_of_job ON record (job, journal, seq) WHERE apart IS NULL;

DROP INDEX record_of_kind;

CREATE INDEX record_of_kind ON record (kind) WHERE kind >= 128 AND apart IS NULL;
