-- Schema 1 of a book on a server: see tables.rs. Never edited once a book exists: a change is a further migration.

CREATE SCHEMA IF NOT EXISTS bevelbook;

SET LOCAL search_path TO bevelbook;

CREATE TABLE book (
    one BIGINT PRIMARY KEY CHECK (one = 1),
    mark TEXT NOT NULL CHECK (mark = 'bevelbook'),
    version BIGINT NOT NULL,
    writes BIGINT NOT NULL
);

CREATE TABLE journal (
    id BIGINT PRIMARY KEY,
    begun_here BOOLEAN NOT NULL
);

CREATE TABLE console (
    fingerprint BIGINT PRIMARY KEY,
    journal BIGINT NOT NULL UNIQUE REFERENCES journal (id)
);

CREATE TABLE record (
    position BIGINT PRIMARY KEY CHECK (position > 0),
    journal BIGINT NOT NULL REFERENCES journal (id),
    seq BIGINT NOT NULL CHECK (seq BETWEEN 0 AND 4294967295),
    kind BIGINT NOT NULL CHECK (kind BETWEEN 0 AND 255),
    job BIGINT,
    payload BYTEA NOT NULL,
    boot BIGINT CHECK (boot BETWEEN 0 AND 4294967295),
    ticks BIGINT CHECK (ticks BETWEEN 0 AND 4294967295),
    utc_ms BIGINT,
    apart TEXT,
    digest BYTEA NOT NULL CHECK (octet_length(digest) = 16),
    UNIQUE (journal, seq)
);

CREATE INDEX record_of_job ON record (job, journal, seq) WHERE apart IS NULL;

CREATE INDEX record_of_kind ON record (kind, position) WHERE kind >= 128 AND apart IS NULL;

CREATE INDEX record_apart ON record (position) WHERE apart IS NOT NULL;

CREATE TABLE conflict (
    position BIGINT PRIMARY KEY CHECK (position > 0),
    journal BIGINT NOT NULL,
    seq BIGINT NOT NULL,
    kind BIGINT NOT NULL CHECK (kind BETWEEN 0 AND 255),
    job BIGINT,
    payload BYTEA NOT NULL,
    boot BIGINT CHECK (boot BETWEEN 0 AND 4294967295),
    ticks BIGINT CHECK (ticks BETWEEN 0 AND 4294967295),
    utc_ms BIGINT,
    apart TEXT,
    digest BYTEA NOT NULL CHECK (octet_length(digest) = 16),
    FOREIGN KEY (journal, seq) REFERENCES record (journal, seq)
);

CREATE INDEX conflict_of_record ON conflict (journal, seq);

CREATE TABLE person (
    reference TEXT COLLATE "C" PRIMARY KEY,
    name TEXT NOT NULL,
    digest BYTEA NOT NULL CHECK (octet_length(digest) = 16)
);

-- The server counts how often a value is there, and keeps samples. Of names it keeps none: they could not be forgotten.
ALTER TABLE person ALTER COLUMN reference SET STATISTICS 0, ALTER COLUMN name SET STATISTICS 0,
    ALTER COLUMN digest SET STATISTICS 0;

CREATE TABLE chain (
    of TEXT COLLATE "C" PRIMARY KEY,
    links BIGINT NOT NULL CHECK (links > 0),
    digest BYTEA NOT NULL CHECK (octet_length(digest) = 16)
);

CREATE TABLE found_by (
    word TEXT COLLATE "C" NOT NULL,
    job BIGINT NOT NULL,
    PRIMARY KEY (word, job)
);

CREATE INDEX found_by_job ON found_by (job);

CREATE TABLE found_upto (
    one BIGINT PRIMARY KEY CHECK (one = 1),
    version BIGINT NOT NULL CHECK (version BETWEEN 0 AND 4294967295),
    position BIGINT NOT NULL CHECK (position >= 0)
);

CREATE TABLE leap (
    journal BIGINT NOT NULL,
    seq BIGINT NOT NULL,
    PRIMARY KEY (journal, seq)
);

-- Whoever sets a search path of his own makes no function mean anything else: each has its own, and tables their schema.

CREATE FUNCTION never_changed() RETURNS trigger LANGUAGE plpgsql SET search_path = pg_catalog, pg_temp AS $$
BEGIN
    RAISE EXCEPTION 'a % is never changed or deleted', TG_TABLE_NAME USING ERRCODE = 'restrict_violation';
END $$;

CREATE TRIGGER record_never_changed BEFORE UPDATE OR DELETE ON record
FOR EACH ROW EXECUTE FUNCTION never_changed();

CREATE TRIGGER record_never_emptied BEFORE TRUNCATE ON record
FOR EACH STATEMENT EXECUTE FUNCTION never_changed();

CREATE TRIGGER conflict_never_changed BEFORE UPDATE OR DELETE ON conflict
FOR EACH ROW EXECUTE FUNCTION never_changed();

CREATE TRIGGER conflict_never_emptied BEFORE TRUNCATE ON conflict
FOR EACH STATEMENT EXECUTE FUNCTION never_changed();

CREATE TRIGGER chain_never_deleted BEFORE DELETE ON chain
FOR EACH ROW EXECUTE FUNCTION never_changed();

CREATE TRIGGER chain_never_emptied BEFORE TRUNCATE ON chain
FOR EACH STATEMENT EXECUTE FUNCTION never_changed();

-- Nobody's write makes the numbers end that all others' writes go on from: a write counts as one, a position follows the
-- last, and a chain grows by no more than a write can hold.

CREATE FUNCTION counts_as_one() RETURNS trigger LANGUAGE plpgsql SET search_path = pg_catalog, pg_temp AS $$
BEGIN
    IF NEW.writes <> OLD.writes + 1 THEN
        RAISE EXCEPTION 'a write counts as one' USING ERRCODE = 'restrict_violation';
    END IF;
    RETURN NEW;
END $$;

CREATE TRIGGER book_counts_writes BEFORE UPDATE OF writes ON book
FOR EACH ROW EXECUTE FUNCTION counts_as_one();

CREATE FUNCTION only_grows() RETURNS trigger LANGUAGE plpgsql SET search_path = pg_catalog, pg_temp AS $$
DECLARE
    before BIGINT := coalesce((SELECT links FROM bevelbook.chain WHERE of = NEW.of), 0);
BEGIN
    IF NEW.of <> OLD.of OR NEW.links <= before THEN
        RAISE EXCEPTION 'a chain only grows' USING ERRCODE = 'restrict_violation';
    END IF;
    IF NEW.links - before > 1000000000 THEN
        RAISE EXCEPTION 'a chain grows by what was written' USING ERRCODE = 'restrict_violation';
    END IF;
    RETURN NEW;
END $$;

CREATE TRIGGER chain_only_grows BEFORE INSERT OR UPDATE ON chain
FOR EACH ROW EXECUTE FUNCTION only_grows();

CREATE FUNCTION follows_the_last() RETURNS trigger LANGUAGE plpgsql SET search_path = pg_catalog, pg_temp AS $$
DECLARE
    follows BOOLEAN := NEW.position = 1;
BEGIN
    IF TG_TABLE_NAME = 'record' THEN
        follows := follows OR EXISTS (SELECT 1 FROM bevelbook.record WHERE position = NEW.position - 1);
    ELSE
        follows := follows OR EXISTS (SELECT 1 FROM bevelbook.conflict WHERE position = NEW.position - 1);
    END IF;
    IF NOT follows THEN
        RAISE EXCEPTION 'a % follows the last one', TG_TABLE_NAME USING ERRCODE = 'restrict_violation';
    END IF;
    RETURN NULL;
END $$;

CREATE TRIGGER record_follows_the_last AFTER INSERT ON record
FOR EACH ROW EXECUTE FUNCTION follows_the_last();

CREATE TRIGGER conflict_follows_the_last AFTER INSERT ON conflict
FOR EACH ROW EXECUTE FUNCTION follows_the_last();

-- Leaps are noted with the owner's right: who writes records has none to table leap.

CREATE FUNCTION note_leap() RETURNS trigger LANGUAGE plpgsql SECURITY DEFINER SET search_path = pg_catalog, pg_temp AS $$
BEGIN
    IF NEW.seq > 1
        AND NOT EXISTS (SELECT 1 FROM bevelbook.record WHERE journal = NEW.journal AND seq = NEW.seq - 1)
    THEN
        INSERT INTO bevelbook.leap (journal, seq) VALUES (NEW.journal, NEW.seq);
    END IF;
    RETURN NULL;
END $$;

CREATE TRIGGER record_leaps AFTER INSERT ON record
FOR EACH ROW EXECUTE FUNCTION note_leap();

-- Who may what is granted by name (rights.rs); to everybody, nothing.

REVOKE ALL ON SCHEMA bevelbook FROM PUBLIC;

REVOKE ALL ON ALL TABLES IN SCHEMA bevelbook FROM PUBLIC;

REVOKE ALL ON ALL FUNCTIONS IN SCHEMA bevelbook FROM PUBLIC;

INSERT INTO book (one, mark, version, writes) VALUES (1, 'bevelbook', 1, 0);
