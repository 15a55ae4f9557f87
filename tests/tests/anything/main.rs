//! Whatever a book holds, every command that reads it answers: with what is there, or with what is damaged. It never
//! panics, whoever wrote the records: a former version, another program, an import.
//!
//! Facts that are possible in their bytes and nowhere else are drawn by chance, with fixed seeds, and put into a book
//! past every question that the console asks; then all its faces are looked at.
#![allow(clippy::unwrap_used, reason = "a test that cannot go on fails")]

mod bench;
#[path = "../holds/model/chance.rs"]
#[allow(dead_code, reason = "what the other tests need of it")]
mod chance;
mod desk;
#[path = "../hostile/keypad.rs"]
#[allow(dead_code, reason = "what the other tests need of it")]
mod keypad;

use bevelbook::desk::Desk;
use bevelbook::inspection::Inspection;
use bevelbook::keypad::{Bench as Attending, Now, pipe};
use bevelbook::plan::Plan;
use bevelbook::settings::Settings;
use bevelbook::store::{Book, NewEntry};
use bevelbook::work::{Job, Work, WorkError};
use bevelbook_core::record::{Bench, FIRST_DESK_KIND, JobId, JournalId, MAX_ENCODED, Stored};
use bevelbook_tests::{Output, Shop, usual_order};
use chance::Chance;
use serde_json::Value;

/// Jobs in a book.
const JOBS: u32 = 8;

/// Records of the bench and of the desk in each of them.
const RECORDS: usize = 60;

fn encoded(fact: &Bench) -> Vec<u8> {
    fact.encode(&mut [0; MAX_ENCODED]).unwrap().to_vec()
}

fn of_bench(fact: &Bench) -> NewEntry {
    let job = fact.job().map(|job| job.0);
    NewEntry { kind: fact.kind(), job, payload: encoded(fact), utc_ms: None }
}

/// A book with jobs in which anything was recorded.
fn shop(seed: u64) -> Shop {
    let shop = Shop::new();
    let opened = shop.run(usual_order(&[]));
    assert_eq!(opened.status, Some(0), "{opened:?}");
    let mut book = Book::open_or_begin(shop.book()).unwrap();
    let first = book.entries_of_kind(FIRST_DESK_KIND).unwrap().remove(0);
    let order: Value = serde_json::from_slice(&first.payload).unwrap();
    let mut chance = Chance(seed);
    let chance = &mut chance;
    let mut entries = Vec::new();
    for number in 2..=JOBS {
        let job = JobId(u64::from(number));
        let amendment = desk::amendment(chance, &order);
        entries.push(desk::order(chance, &order, number, job));
        for _ in 0..RECORDS {
            entries.push(match chance.below(12) {
                0 => amendment(chance, job),
                1 => desk::anything(chance, job, JOBS),
                _ => of_bench(&bench::anything(chance, job, first.id.journal)),
            });
        }
    }
    for _ in 0..RECORDS {
        entries.push(of_bench(&bench::station(chance)));
        entries.push(desk::of_no_job(chance));
    }
    let written: Result<(), WorkError> =
        book.write(|tx| entries.iter().try_for_each(|entry| Ok(tx.append(entry).map(drop)?)));
    written.unwrap();
    shop
}

/// Whether a command ended as the documentation says that commands end.
fn answers(shop: &Shop, args: &[&str]) -> Output {
    let output = shop.run(args);
    assert!(matches!(output.status, Some(0..=4)), "{args:?}: {:?} {:.2000}", output.status, output.stderr);
    assert!(!output.stderr.contains("panicked"), "{args:?}: {:.2000}", output.stderr);
    output
}

fn look_at_all(shop: &Shop) {
    let own = Work::open(shop.book(), Settings::defaults().unwrap()).unwrap().own_journal().unwrap();
    for json in [&["--json"][..], &[]] {
        for command in [
            &["job", "list"][..],
            &["job", "list", "--all"],
            &["job", "show", "K-17"],
            &["history"],
            &["history", "frame"],
            &["history", "cause"],
            &["station"],
            &["frames", "--all"],
            &["frames", "show", "Lindgren 7", "--rim", "metal"],
            &["frames", "show", "Lindgren 7", "--rim", "metal", "--size", "50-18"],
            &["keypad", "list"],
            &["keypad", "log", "00000000000000aa"],
            &["keypad", "log", &own.to_string()],
            &["book", "check"],
        ] {
            answers(shop, &[command, json].concat());
        }
        for number in 1..=JOBS {
            let number = &*number.to_string();
            for command in [
                &["job", "show", number][..],
                &["plan", number],
                &["inspect", number],
                &["sheet", number, "--out", "-"],
            ] {
                answers(shop, &[command, json].concat());
            }
        }
    }
}

/// The cards of all jobs are made, and go to a keypad.
fn attend(shop: &Shop) {
    let mut work = Work::open(shop.book(), Settings::defaults().unwrap()).unwrap();
    work.adopt(JournalId(0xaa), "any").unwrap();
    let now = |ms| Now { ms, utc_ms: 1_772_355_600_000 };
    let mut attending = Attending::new(work, now(0)).unwrap();
    let (mut near, mut far) = pipe();
    let mut keypad = keypad::Keypad::new(JournalId(0xaa));
    for turn in 1..400 {
        keypad.turn(&mut near, turn * 10);
        attending.turn(&mut far, now(turn * 10)).unwrap();
        while let Some(note) = attending.take_note() {
            assert!(!note.to_string().is_empty() && serde_json::to_value(&note).is_ok());
        }
    }
    assert!(keypad.cards() > 0, "no card was taken");
}

/// A keypad sent anything too: bytes of every kind.
fn take_in(shop: &Shop, seed: u64) {
    let mut work = Work::open(shop.book(), Settings::defaults().unwrap()).unwrap();
    let mut chance = Chance(seed);
    for seq in 1..=200 {
        let job = JobId(1 + chance.below(JOBS as usize) as u64);
        let mut kind = bench::anything(&mut chance, job, JournalId(0xaa)).kind();
        let mut data = encoded(&bench::anything(&mut chance, job, JournalId(0xaa)));
        if chance.once_in(2) {
            kind = chance.below(256) as u8;
            data = (0..chance.below(MAX_ENCODED)).map(|_| chance.below(256) as u8).collect();
        }
        let data = heapless::Vec::from_slice(&data).unwrap();
        let (boot, ticks) = (chance.edge() as u32, chance.edge() as u32);
        let utc_ms = chance.one(&[None, Some(i64::MAX), Some(i64::MIN), Some(0)]);
        work.take_in(JournalId(0xaa), [(Stored { seq, boot, ticks, kind, data }, utc_ms)]).unwrap();
    }
}

fn run(seed: u64) {
    let shop = shop(seed);
    attend(&shop);
    take_in(&shop, seed);
    look_at_all(&shop);
}

#[test]
fn whatever_a_book_holds_every_command_answers() {
    run(0);
}

/// Plans, inspections and limits of orders that read.
fn plan_and_inspect(seed: u64, orders: usize) {
    let shop = with_facts(|_| Vec::new());
    let work = Work::open(shop.book(), Settings::defaults().unwrap()).unwrap();
    let settings = work.settings().clone();
    let usual = work.jobs().unwrap().whole.remove(0);
    let json = serde_json::to_value(&usual.order).unwrap();
    let mut chance = Chance(seed);
    let chance = &mut chance;
    let mut planned = 0;
    for _ in 0..orders {
        let entry = desk::order(chance, &json, 1, usual.id);
        let Ok(Desk::Order(order)) = Desk::decode(entry.kind, &entry.payload) else { continue };
        let mut job = Job { order: *order, ..usual.clone() };
        (0..20).for_each(|_| job.state.apply(&bench::anything(chance, job.id, JournalId(1))));
        let dial = bench::dial(chance);
        planned += usize::from(Plan::of(&job.order, &settings, Some(&dial), [None; 2]).is_ok());
        let _ = Inspection::of(&job, &settings.tolerances().unwrap());
    }
    assert!(planned > orders / 10, "{planned}");
}

#[test]
fn orders_that_nobody_would_take_are_planned_or_refused() {
    plan_and_inspect(1, 1000);
}

#[test]
#[ignore = "long; tests/run --long"]
fn long_run() {
    (1..30).for_each(run);
    (2..30).for_each(|seed| plan_and_inspect(seed, 3000));
}

/// A shop with one job in which all of these facts stand, and one beside it.
fn with_facts(facts: impl Fn(JobId) -> Vec<Bench>) -> Shop {
    let shop = Shop::new();
    for customer in ["K-17", "K-18"] {
        assert_eq!(shop.run(usual_order(&[["--customer", customer]])).status, Some(0));
    }
    let mut book = Book::open_or_begin(shop.book()).unwrap();
    let job = JobId(book.entries_of_kind(FIRST_DESK_KIND).unwrap()[0].job.unwrap());
    let entries: Vec<NewEntry> = facts(job).iter().map(of_bench).collect();
    let written: Result<(), WorkError> =
        book.write(|tx| entries.iter().try_for_each(|entry| Ok(tx.append(entry).map(drop)?)));
    written.unwrap();
    shop
}

#[test]
fn thousands_of_passes_that_take_off_a_metre_each_leave_every_command_working() {
    let shop = with_facts(|job| bench::take_off_for_ever(job, 3000));
    for command in [&["job", "list"][..], &["job", "show", "1"], &["plan", "1"], &["inspect", "1"]] {
        answers(&shop, command);
    }
    attend(&shop);
    let listed = shop.run(["job", "list", "--json"]).json();
    assert_eq!(listed.as_array().map(Vec::len), Some(2), "{listed}");
}

#[test]
fn a_text_of_any_length_is_listed_beside_the_others() {
    let shop = with_facts(|_| Vec::new());
    let mut book = Book::open_or_begin(shop.book()).unwrap();
    let first = book.entries_of_kind(FIRST_DESK_KIND).unwrap().remove(0);
    let long = "x".repeat(65_536);
    let changes = serde_json::json!({ "customer": long, "tray": long, "frame": { "model": long } });
    let payload = serde_json::to_vec(&serde_json::json!({ "changes": changes, "why": long })).unwrap();
    let amended = NewEntry { kind: FIRST_DESK_KIND + 1, job: first.job, payload, utc_ms: None };
    book.write(|tx| tx.append(&amended).map_err(WorkError::from)).unwrap();
    for command in [&["job", "list"][..], &["job", "show", "1"], &["plan", "1"], &["inspect", "1"]] {
        answers(&shop, command);
    }
    let listed = shop.run(["job", "list"]).stdout;
    assert_eq!(listed.lines().count(), 3, "{listed:.500}");
    assert!(listed.lines().all(|line| line.chars().count() < 250), "{listed:.500}");
}
