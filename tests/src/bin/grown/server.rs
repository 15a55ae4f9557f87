//! The grown book on a PostgreSQL: the same rows as in the file, and what is measured of a server alone.

use crate::book::KEYPADS;
use crate::line::records;
use bevelbook::settings::Settings;
use bevelbook::store::{Book, Place};
use bevelbook::work::Work;
use bevelbook_core::record::{JobId, JournalId};
use bevelbook_server::{Database, Server};
use postgres::{Client, Config, NoTls};
use rusqlite::Connection;
use rusqlite::types::ValueRef;
use std::fmt::Write as _;
use std::io::Write as _;
use std::path::Path;
use std::str::FromStr as _;
use std::sync::Barrier;
use std::time::{Duration, Instant};

/// As a shop's server is: what it acknowledges is on the disk.
pub(crate) fn start() -> Server {
    let setup = Server::setup().setting("shared_buffers", "512MB").setting("max_wal_size", "4GB");
    setup.start().expect("a PostgreSQL")
}

pub(crate) fn place(url: &str) -> Place {
    Place::named(url.into()).expect("an address")
}

/// The tables, and their columns that both engines have.
const TABLES: [(&str, &str); 7] = [
    ("journal", "id, begun_here"),
    ("record", "position, journal, seq, kind, job, payload, boot, ticks, utc_ms, apart, digest"),
    ("person", "reference, name, digest"),
    ("chain", "of, links, digest"),
    ("found_by", "word, job"),
    ("found_upto", "one, version, position"),
    ("leap", "journal, seq"),
];

/// Begins a book on the server and copies the rows of a file into it; their size there in MiB.
pub(crate) fn fill(database: &Database<'_>, whole: &Path) -> i64 {
    Book::begin(place(&database.url())).unwrap();
    let (file, mut client) = (Connection::open(whole).unwrap(), database.client());
    // No trigger and no reference is asked: the rows come from a book.
    client.batch_execute("SET search_path = bevelbook; SET session_replication_role = replica").unwrap();
    for (table, columns) in TABLES {
        let mut copy = client.copy_in(&format!("COPY {table} ({columns}) FROM STDIN")).unwrap();
        let mut rows = file.prepare(&format!("SELECT {columns} FROM {table} ORDER BY 1")).unwrap();
        let count = rows.column_count();
        let (mut rows, mut line) = (rows.query([]).unwrap(), String::new());
        while let Some(row) = rows.next().unwrap() {
            for at in 0..count {
                spell(&mut line, row.get_ref(at).unwrap());
                line.push(if at + 1 == count { '\n' } else { '\t' });
            }
            if line.len() > 1 << 16 {
                copy.write_all(line.as_bytes()).unwrap();
                line.clear();
            }
        }
        copy.write_all(line.as_bytes()).unwrap();
        copy.finish().unwrap();
    }
    client.batch_execute("VACUUM ANALYZE").unwrap();
    client.query_one("SELECT pg_database_size(current_database()) >> 20", &[]).unwrap().get(0)
}

/// A value as COPY takes it.
fn spell(line: &mut String, value: ValueRef<'_>) {
    match value {
        ValueRef::Null => line.push_str("\\N"),
        ValueRef::Integer(number) => line.push_str(&number.to_string()),
        ValueRef::Real(number) => line.push_str(&number.to_string()),
        ValueRef::Text(text) => {
            let text = std::str::from_utf8(text).unwrap().replace('\\', "\\\\");
            line.push_str(&text.replace('\t', "\\t").replace('\n', "\\n").replace('\r', "\\r"));
        }
        ValueRef::Blob(bytes) => {
            line.push_str("\\\\x");
            for byte in bytes {
                let _ = write!(line, "{byte:02x}");
            }
        }
    }
}

/// Consoles that take in at once, each from a keypad of its own; records a second of all of them.
pub(crate) fn by_consoles(
    url: &str,
    jobs: &[JobId],
    consoles: u32,
    many: u32,
    batch: usize,
    turn: u64,
) -> f64 {
    let ready = Barrier::new(consoles as usize + 1);
    let begun = std::thread::scope(|scope| {
        for console in 0..consoles {
            let ready = &ready;
            scope.spawn(move || {
                let journal = JournalId(0xc055_0000_0000_0000 | turn << 16 | u64::from(console));
                let mut work = Work::open(place(url), Settings::defaults().unwrap()).unwrap();
                let last = work.last_of(journal).unwrap();
                let records = records(jobs, last + 1, many / consoles);
                ready.wait();
                for batch in records.chunks(batch) {
                    let dated = batch.iter().map(|record| (record.clone(), Some(1_750_000_000_000)));
                    work.take_in(journal, dated).unwrap();
                }
            });
        }
        ready.wait();
        Instant::now()
    });
    f64::from(many / consoles * consoles) / begun.elapsed().as_secs_f64()
}

/// The same records by a plain client: a statement of many rows for each batch, which commits by itself; records in a second.
pub(crate) fn by_plain_client(database: &Database<'_>, jobs: &[JobId], many: u32, batch: usize) -> f64 {
    let mut client = database.client();
    client.batch_execute("SET search_path = bevelbook").unwrap();
    let journal = KEYPADS[0].0.cast_signed();
    let row = client
        .query_one(
            "SELECT max(seq), (SELECT max(position) FROM record) FROM record WHERE journal = $1",
            &[&journal],
        )
        .unwrap();
    let (last, mut position): (i64, i64) = (row.get(0), row.get(1));
    let records = records(jobs, last as u32 + 1, many);
    let insertion = |rows: usize| {
        let row = |at: usize| {
            let values: Vec<String> = (1..=8).map(|n| format!("${}", 8 * at + n)).collect();
            format!("({}, decode('00000000000000000000000000000000', 'hex'))", values.join(", "))
        };
        let rows: Vec<String> = (0..rows).map(row).collect();
        format!(
            "INSERT INTO record (position, journal, seq, kind, job, payload, boot, ticks, digest) VALUES {}",
            rows.join(", ")
        )
    };
    let whole = client.prepare(&insertion(batch)).unwrap();
    let begun = Instant::now();
    let chunks = records.chunks_exact(batch);
    let done = many as usize - chunks.remainder().len();
    for batch in chunks {
        let mut values: Vec<Box<dyn postgres::types::ToSql + Sync>> = Vec::new();
        for record in batch {
            position += 1;
            let job = record.fact().ok().and_then(|fact| fact.job()).map(|job| job.0.cast_signed());
            values.push(Box::new(position));
            values.push(Box::new(journal));
            values.push(Box::new(i64::from(record.seq)));
            values.push(Box::new(i64::from(record.kind)));
            values.push(Box::new(job));
            values.push(Box::new(record.data.to_vec()));
            values.push(Box::new(i64::from(record.boot)));
            values.push(Box::new(i64::from(record.ticks)));
        }
        let values: Vec<&(dyn postgres::types::ToSql + Sync)> = values.iter().map(AsRef::as_ref).collect();
        client.execute(&whole, &values).unwrap();
    }
    done as f64 / begun.elapsed().as_secs_f64()
}

/// Commits in a second of the least write there is, and the milliseconds of the shortest question.
pub(crate) fn disk_and_way(database: &Database<'_>) -> (f64, f64) {
    let mut client = database.client();
    client
        .batch_execute(
            "CREATE TABLE IF NOT EXISTS probe (n int); DELETE FROM probe; INSERT INTO probe VALUES (0)",
        )
        .unwrap();
    let per_s = |client: &mut Client, sql: &str, times: u32| {
        let statement = client.prepare(sql).unwrap();
        let begun = Instant::now();
        for _ in 0..times {
            client.execute(&statement, &[]).unwrap();
        }
        f64::from(times) / begun.elapsed().as_secs_f64()
    };
    let commits = per_s(&mut client, "UPDATE probe SET n = n + 1", 500);
    (commits, 1000.0 / per_s(&mut client, "SELECT 1", 2000))
}

/// How long after a commit another console sees it, the median and the worst in ms, where it looks each 50 ms, as a bench does, and is
/// told by the server, or has to ask.
pub(crate) fn seen_after(url: &str, jobs: &[JobId], told: bool) -> (f64, f64) {
    let look = Duration::from_millis(50);
    let journal = JournalId(0xfee1_0000_0000_0001 | u64::from(told) << 32);
    let open = || Work::open(place(url), Settings::defaults().unwrap()).unwrap();
    let (mut writer, follower) = (open(), open());
    let mut client = Config::from_str(url).unwrap().connect(NoTls).unwrap();
    let mut version = move |told: bool| match told {
        true => follower.version().unwrap(),
        false => client.query_one("SELECT writes FROM bevelbook.book", &[]).unwrap().get(0),
    };
    let mut after = Vec::new();
    let mut known = version(told);
    for record in records(jobs, 1, 100) {
        let (committed, seen) = std::thread::scope(|scope| {
            let version = &mut version;
            let reader = scope.spawn(move || {
                while version(told) == known {
                    std::thread::sleep(look);
                }
                Instant::now()
            });
            // At no fixed time of the other's turn.
            std::thread::sleep(Duration::from_millis(20 + u64::from(record.seq) * 7 % 50));
            writer.take_in(journal, [(record, Some(1_750_000_000_000))]).unwrap();
            (Instant::now(), reader.join().unwrap())
        });
        known = version(told);
        after.push(1000.0 * seen.saturating_duration_since(committed).as_secs_f64());
    }
    after.sort_by(f64::total_cmp);
    (after[after.len() / 2], after[after.len() - 1])
}

/// Statements in a second that benches ask of which nobody does anything, each of which looks every 50 ms.
pub(crate) fn idle(database: &Database<'_>, url: &str, benches: u32) -> f64 {
    let mut client = database.client();
    let asked = |client: &mut Client| -> i64 {
        client.batch_execute("SELECT pg_stat_clear_snapshot()").unwrap();
        let sql = "SELECT xact_commit FROM pg_stat_database WHERE datname = current_database()";
        client.query_one(sql, &[]).unwrap().get(0)
    };
    let works: Vec<Work> =
        (0..benches).map(|_| Work::open(place(url), Settings::defaults().unwrap()).unwrap()).collect();
    let look = || {
        for work in &works {
            work.version().unwrap();
        }
    };
    look();
    std::thread::sleep(Duration::from_secs(2));
    let (before, begun) = (asked(&mut client), Instant::now());
    while begun.elapsed() < Duration::from_secs(20) {
        look();
        std::thread::sleep(Duration::from_millis(50));
    }
    // The server adds up what a session did some time later.
    std::thread::sleep(Duration::from_secs(2));
    (asked(&mut client) - before) as f64 / 20.0
}
