//! What commands take in a book of many years: `cargo run --release -p bevelbook-tests --bin grown`.
//!
//! `grown [--records N] [--open N] [--intake N] [--folder PATH] [--console PATH] [--only WORDS]` makes an invented book in the folder, once, and
//! runs each command on a copy of it: milliseconds (the least of five runs, or of two where that takes long), those of them on a
//! processor, and the most memory held. Then the intake of a keypad's records through the bench, beside plain inserts with the same
//! pragmas, table and batches; `--intake 0` leaves it out. It measures and asserts nothing; `--console` is another build to compare with; `--only` those commands alone.
//!
//! With `--server` a PostgreSQL of its own keeps the same book in the folder, and each command is run there too: milliseconds, and
//! how often it waited for the server. Then intake there by several consoles at once, beside a plain client, how soon another console
//! sees a record, and what idle benches ask.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "it measures, and ends where it cannot"
)]

mod book;
mod line;
mod server;

use bevelbook::settings::Settings;
use bevelbook::store::Place;
use bevelbook::work::Work;
use bevelbook_core::record::JobId;
use bevelbook_server::{Database, Proxy, Server};
use nix::sys::resource::{UsageWho, getrusage};
use nix::sys::time::{TimeVal, TimeValLike};
use rusqlite::Connection;
use std::ffi::OsStr;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::Instant;

/// Commands as they are typed; `#` is an open job's number, `C` its customer, `T` its tray, `@` some record of a keypad.
const COMMANDS: &[&str] = &[
    "job list",
    "job list --json",
    "job list --all",
    "history month",
    "job show #",
    "job show T",
    "job show C",
    "job show nobody",
    "plan #",
    "inspect #",
    "sheet # --out -",
    "station",
    "frames",
    "keypad list",
    "record pass # r 0.05 just",
    "record reading # l --direct pl --centred",
    "record pd # 62.5",
    "record note # pads-missing",
    "record void 0ed6e:@",
    "station new-wheel",
    "job amend # --tray 77777 --why moved",
    "job new --like #",
    "job close # --despite so",
    "job remake # r --cause slipped --bearer shop",
    "book where",
    "book check",
];

/// What takes longer than this is run twice.
const LONG_MS: f64 = 5000.0;

fn main() {
    let args: Vec<String> = std::env::args().skip(1).collect();
    let given = |name: &str| args.iter().position(|arg| arg == name).and_then(|at| args.get(at + 1));
    if let Some(command) = given("--measured") {
        return measured(command, &args[2..]);
    }
    let number = |name, usual: u32| given(name).map_or(usual, |text| text.parse().expect("a number"));
    let (records, open, intake) =
        (number("--records", 1_000_000), number("--open", 4000), number("--intake", 4000));
    let folder =
        given("--folder").map_or_else(|| bevelbook_tests::build::target("grown").unwrap(), PathBuf::from);
    let console = given("--console").map_or_else(|| bevelbook_tests::console().to_owned(), PathBuf::from);
    std::fs::create_dir_all(&folder).unwrap();
    let whole = folder.join(format!("book-{records}-{open}.db"));
    if !whole.exists() {
        let part = folder.join("making.db");
        let _ = std::fs::remove_file(&part);
        book::make(&part, records.into(), open as usize).unwrap();
        // Opened to be written to, it gets what its jobs are found by.
        drop(Work::open(&part, Settings::defaults().unwrap()).unwrap());
        std::fs::rename(&part, &whole).unwrap();
    }
    let copy = folder.join("copy.db");
    let renew = || {
        ["", "-wal", "-shm"]
            .iter()
            .for_each(|end| drop(std::fs::remove_file(format!("{}{end}", copy.display()))));
        std::fs::copy(&whole, &copy).unwrap();
        // Whatever a build makes of an older book at its first opening is a row of its own.
        run(&console, &copy, "station")
    };
    let first = renew();
    let served = args.iter().any(|arg| arg == "--server").then(server::start);
    let served = served.as_ref().map(|server| Served::of(server, &whole));
    let (jobs, tray, customer) = someone(&copy, open);
    println!("{} records, {open} jobs open, {} MiB", count(&copy), copy.metadata().unwrap().len() >> 20);
    let more = if served.is_some() { ["server ms", "waits"] } else { [""; 2] };
    println!("{:<48} {:>9} {:>9} {:>9} {:>9} {:>9}", "", "ms", "cpu ms", "MiB", more[0], more[1]);
    row("first opening", &first, None);
    let only = given("--only").map_or("", String::as_str);
    for (at, command) in COMMANDS.iter().enumerate().filter(|(_, command)| command.contains(only)) {
        let (mut least, mut there) = ([f64::INFINITY, f64::INFINITY, 0.0], (f64::INFINITY, 0));
        let typed = |turn: usize| {
            let number = jobs[100 * at + turn].0.to_string();
            let words = command.replace('#', &number).replace('T', &format!("T{tray}"));
            words.replace('C', &customer).replace('@', &(100 + 10 * turn).to_string())
        };
        for turn in 0..5 {
            let words = typed(turn);
            let [ms, cpu, mib] = run(&console, &copy, &words);
            least = [least[0].min(ms), least[1].min(cpu), least[2].max(mib)];
            if let Some(served) = &served {
                let [ms, ..] = run_at(&console, served.database.url().as_ref(), &copy, &words);
                // Counted with a job that nobody did it to yet.
                there = (there.0.min(ms), served.waits(&console, &copy, &typed(turn + 50)));
            }
            // The first write of a day makes the day's backup too.
            if turn > 0 && least[0] > LONG_MS {
                break;
            }
        }
        row(command, &least, served.as_ref().map(|_| there));
    }
    learned(&copy, jobs[0].1);
    if intake == 0 {
        return;
    }
    let ids: Vec<JobId> = jobs.iter().map(|(_, id)| *id).collect();
    let (mut first_ms, mut taken, mut plain, mut batch) = (f64::INFINITY, 0.0_f64, 0.0_f64, 0.0);
    // In turn, the best of three: the disk is not always as quick.
    for _ in 0..3 {
        renew();
        let line::Taken { first_card_ms, per_s, batch: size } =
            line::through_the_bench(&Place::from(&copy), &ids, intake).unwrap();
        (first_ms, taken, batch) = (first_ms.min(first_card_ms), taken.max(per_s), size);
        renew();
        plain = plain.max(line::by_plain_inserts(&copy, &ids, intake, batch.round() as u32).unwrap());
    }
    println!("{:<48} {first_ms:>9.1}", "bench: first card");
    let ratio = taken / plain;
    println!(
        "intake {taken:.0} records/s in batches of {batch:.1}; plain inserts {plain:.0}; ratio {ratio:.2}"
    );
    for batch in [7, 32] {
        renew();
        let by_itself = line::taken_in(&Place::from(&copy), &ids, intake, batch).unwrap();
        println!("intake without keypad and line, in batches of {batch}: {by_itself:.0} records/s");
    }
    if let Some(served) = &served {
        served.measure(&ids, intake);
    }
}

/// The grown book on a server, and a way there that counts.
struct Served<'s> {
    database: Database<'s>,
    proxy: Proxy,
}

impl<'s> Served<'s> {
    fn of(server: &'s Server, whole: &Path) -> Self {
        let (database, proxy) = (server.database(), Proxy::before(server));
        let begun = Instant::now();
        let mib = server::fill(&database, whole);
        println!("on the server {mib} MiB, copied there in {:.0} s", begun.elapsed().as_secs_f64());
        Self { database, proxy }
    }

    /// How often a command waits for the server.
    fn waits(&self, console: &Path, copy: &Path, words: &str) -> usize {
        let _ = self.proxy.waited();
        let _ = run_at(console, self.proxy.url(self.database.name()).as_ref(), copy, words);
        self.proxy.waited()
    }

    fn measure(&self, jobs: &[JobId], many: u32) {
        let (database, url) = (&self.database, self.database.url());
        let (commits, way) = server::disk_and_way(database);
        println!("server: {commits:.0} commits/s, {way:.3} ms for the shortest question");
        for batch in [7, 32] {
            let through = line::taken_in(&server::place(&url), jobs, many, batch).unwrap();
            let plain = server::by_plain_client(database, jobs, many, batch);
            println!("server: intake in batches of {batch}: {through:.0} records/s; plain client {plain:.0}");
        }
        for (turn, consoles) in [1, 5, 20].into_iter().enumerate() {
            let per_s = server::by_consoles(&url, jobs, consoles, many, 7, turn as u64);
            println!("server: {consoles} consoles at once, in batches of 7: {per_s:.0} records/s");
        }
        let place = server::place(&url);
        let line::Taken { first_card_ms, per_s, batch } =
            line::through_the_bench(&place, jobs, many).unwrap();
        println!(
            "server: bench: first card {first_card_ms:.0} ms, {per_s:.0} records/s in batches of {batch:.1}"
        );
        for told in [true, false] {
            let (median, worst) = server::seen_after(&url, jobs, told);
            let how = if told { "told" } else { "by asking alone" };
            println!(
                "server: another console sees a record after {median:.0} ms, at worst {worst:.0} ms, {how}"
            );
        }
        println!("server: 20 idle benches ask {:.1} statements/s", server::idle(database, &url, 20));
    }
}

/// How long it takes to learn from what was sized: from the last jobs of the whole shop, and from those with frames like
/// that of `job`.
fn learned(book: &Path, job: JobId) {
    let work = Work::look(book, Settings::defaults().unwrap()).unwrap();
    let least = |what: &str, read: &dyn Fn() -> usize| {
        let turns = (0..5).map(|_| {
            let begun = Instant::now();
            (read(), begun.elapsed())
        });
        let (many, took) = turns.min_by_key(|(_, took)| *took).unwrap();
        println!("{:<48} {:>9.1}", format!("{what}: {many} jobs"), 1000.0 * took.as_secs_f64());
    };
    least("sized lately", &|| work.sized_lately(5000).unwrap().len());
    let frame = work.job(job).unwrap().order.frame;
    least("sized in such frames", &|| work.sized_of(&frame).unwrap().len());
}

/// Numbers and identities of open jobs, and a tray and a customer of one.
fn someone(book: &Path, open: u32) -> (Vec<(i64, JobId)>, String, String) {
    let conn = Connection::open(book).unwrap();
    let sql = "SELECT json_extract(CAST(payload AS TEXT), '$.number'), job, json_extract(CAST(payload AS TEXT), '$.tray'),
               json_extract(CAST(payload AS TEXT), '$.customer') FROM record WHERE kind = 128 ORDER BY position DESC LIMIT ?1";
    let row = |r: &rusqlite::Row<'_>| {
        Ok((r.get::<_, i64>(0)?, JobId(r.get::<_, i64>(1)?.cast_unsigned()), r.get(2)?, r.get(3)?))
    };
    let rows: Vec<(i64, JobId, String, String)> =
        conn.prepare(sql).unwrap().query_map([open], row).unwrap().map(Result::unwrap).collect();
    let customer = rows.iter().find(|row| rows.iter().filter(|other| other.3 == row.3).count() == 1).unwrap();
    (rows.iter().map(|row| (row.0, row.1)).collect(), customer.2.clone(), customer.3.clone())
}

fn count(book: &Path) -> i64 {
    Connection::open(book).unwrap().query_row("SELECT count(*) FROM record", [], |r| r.get(0)).unwrap()
}

fn row(command: &str, [ms, cpu, mib]: &[f64; 3], there: Option<(f64, usize)>) {
    let there = there.map_or(String::new(), |(ms, waits)| format!(" {ms:>9.1} {waits:>9}"));
    println!("{command:<48} {ms:>9.1} {cpu:>9.1} {mib:>9.1}{there}");
}

/// Milliseconds, those of them on a processor, and MiB of one run, taken by a process of its own, whose only child it is.
fn run(console: &Path, book: &Path, words: &str) -> [f64; 3] {
    run_at(console, book.as_ref(), book, words)
}

/// The same of a book anywhere, with the settings beside a file.
fn run_at(console: &Path, place: &OsStr, book: &Path, words: &str) -> [f64; 3] {
    let mut command = Command::new(std::env::current_exe().unwrap());
    command.arg("--measured").arg(console).args(words.split(' ')).env("BEVELBOOK_BOOK", place);
    command.env("BEVELBOOK_SETTINGS", book.with_extension("toml"));
    let said = String::from_utf8(command.output().unwrap().stdout).unwrap();
    let figures: Vec<f64> = said.split_whitespace().map(|figure| figure.parse().expect("a figure")).collect();
    if !(0.0..=1.0).contains(&figures[3]) && !words.contains("nobody") {
        eprintln!("`{words}` ends with {}", figures[3]);
    }
    [figures[0], figures[1], figures[2]]
}

fn measured(console: &str, words: &[String]) {
    let mut command = Command::new(console);
    command.args(words).stdin(Stdio::null()).stdout(Stdio::piped()).stderr(Stdio::piped());
    let begun = Instant::now();
    let status = command.output().unwrap().status.code().unwrap_or(-1);
    let ms = begun.elapsed().as_secs_f64() * 1000.0;
    let usage = getrusage(UsageWho::RUSAGE_CHILDREN).unwrap();
    let micros: i64 = [usage.user_time(), usage.system_time()].iter().map(TimeVal::num_microseconds).sum();
    println!("{ms} {} {} {status}", micros as f64 / 1000.0, usage.max_rss() as f64 / 1024.0);
}
