//! A keypad that sends what no bench can say: all of it is kept, told and acknowledged, and none of it is believed.
//!
//! The console's own commands look at the book afterwards. Before there was a gate each of these was taken in: a keypad
//! renamed keypads and filed jobs, took an order out of the book, and stated a dial without a step.
#![allow(clippy::unwrap_used, reason = "a test that cannot go on fails")]

mod keypad;

use bevelbook::desk::{Adoption, Closing, Desk, Filing};
use bevelbook::keypad::{Bench as Attending, Note, Now, PipeEnd, pipe};
use bevelbook::settings::Settings;
use bevelbook::store::{Book, Error, Received};
use bevelbook::work::Work;
use bevelbook_core::frame::PupillaryDistance;
use bevelbook_core::prescription::Eye;
use bevelbook_core::record::{
    Bench, CentreDistance, Entered, JobId, JournalId, LensId, MAX_ENCODED, NewLens, Opened, PairId, Pass,
    RecordId, StationEvent, Stored, Void,
};
use bevelbook_core::sizing::{Basis, Counting, Dial, Dialled, Outcome, Rim};
use bevelbook_core::units::Length;
use bevelbook_tests::{Shop, usual_order};
use keypad::Keypad;
use serde_json::Value;

const JOURNAL: JournalId = JournalId(0xaa);

/// How long ago the line's time began: what is logged at first comes before what a command does.
const AGO_MS: i64 = 60_000;

/// A shop with two jobs, and a keypad that it has adopted.
struct Ends {
    shop: Shop,
    attending: Attending,
    keypad: Keypad,
    near: PipeEnd,
    far: PipeEnd,
    ms: u64,
    /// When the line's time began, in milliseconds since 1970.
    begun_utc_ms: i64,
    /// The jobs, and the records that opened them.
    orders: Vec<(JobId, RecordId)>,
    notes: Vec<Note>,
}

impl Ends {
    fn new() -> Self {
        let shop = Shop::new();
        for customer in ["K-17", "K-18"] {
            assert_eq!(shop.run(usual_order(&[["--customer", customer]])).status, Some(0));
        }
        assert_eq!(
            shop.run(["keypad", "add", &JOURNAL.to_string(), "--name", "bench", "--yes"]).status,
            Some(0)
        );
        let work = Work::open(shop.book(), Settings::defaults().unwrap()).unwrap();
        let orders = work.jobs().unwrap().whole.iter().map(|job| (job.id, job.lines[0].id)).collect();
        let now_utc_ms = std::time::UNIX_EPOCH.elapsed().unwrap().as_millis() as i64;
        let begun_utc_ms = now_utc_ms - AGO_MS;
        let attending = Attending::new(work, Now { ms: 0, utc_ms: begun_utc_ms }).unwrap();
        let (near, far) = pipe();
        let keypad = Keypad::new(JOURNAL);
        let mut ends =
            Self { shop, attending, keypad, near, far, ms: 0, begun_utc_ms, orders, notes: Vec::new() };
        ends.settle();
        assert!(ends.keypad.cards() > 0, "{:?}", ends.notes);
        ends
    }

    fn settle(&mut self) {
        for _ in 0..100 {
            self.ms += 25;
            let now = Now { ms: self.ms, utc_ms: self.begun_utc_ms + self.ms as i64 };
            self.keypad.turn(&mut self.near, self.ms);
            self.attending.turn(&mut self.far, now).unwrap();
            self.notes.extend(std::iter::from_fn(|| self.attending.take_note()));
        }
    }

    fn log(&mut self, fact: &Bench) -> RecordId {
        self.keypad.log(fact, self.ms)
    }

    /// All is acknowledged; the numbers that were told to be kept apart, and why.
    fn kept_apart(&mut self) -> Vec<(u32, String)> {
        self.settle();
        assert_eq!(self.keypad.acknowledged() + 1, self.keypad.next_id().seq, "{:?}", self.notes);
        let told = |note: &Note| match note {
            Note::KeptApart { record, keypad, why } if keypad == "bench" => Some((record.seq, why.clone())),
            _ => None,
        };
        let told: Vec<(u32, String)> = self.notes.iter().filter_map(told).collect();
        // The log says the same.
        let log = self.json(&["keypad", "log", "bench"]);
        let logged = |row: &Value| Some((row["seq"].as_u64()? as u32, row["apart"].as_str()?.to_owned()));
        let logged: Vec<(u32, String)> = log.as_array().unwrap().iter().filter_map(logged).collect();
        assert_eq!(told, logged);
        let check = self.shop.run(["book", "check", "--json"]);
        assert_eq!(
            (check.status, check.json()["apart"].as_u64()),
            (Some(0), Some(told.len() as u64)),
            "{check:?}"
        );
        told
    }

    fn json(&self, command: &[&str]) -> Value {
        let output = self.shop.run(command.iter().chain(&["--json"]));
        assert_eq!(output.status, Some(0), "{command:?}: {output:?}");
        output.json()
    }

    fn lens(&self, job: usize) -> LensId {
        PairId::first(self.orders[job].0).lens(Eye::Right)
    }
}

fn pass(lens: LensId, counting: Counting, milli: i32) -> Bench {
    let dialled = Dialled { basis: Basis::Diameter, counting, amount: Length::from_milli(milli) };
    Bench::Pass(Pass { advised: None, lens, dialled, outcome: Outcome::JustTooBig, past: false })
}

#[test]
fn kinds_of_the_desk_count_from_a_console_alone() {
    let mut ends = Ends::new();
    let [(first, _), (second, _)] = ends.orders[..] else { unreachable!() };
    let renamed = Adoption { journal: JOURNAL, name: "\u{1b}[2J".into() };
    let adopted = Adoption { journal: JournalId(0xbb), name: "x".into() };
    for fact in [
        Desk::Closing(Closing { how: "x".into(), verdict: None, despite: None }),
        Desk::Filing(Filing { from: first }),
        Desk::Adoption(renamed),
        Desk::Adoption(adopted),
    ] {
        let bytes = fact.encode().unwrap();
        ends.keypad.log_bytes(fact.kind(), &bytes[..bytes.len().min(48)], ends.ms);
    }
    let apart = ends.kept_apart();
    assert_eq!(apart.iter().map(|(seq, _)| *seq).collect::<Vec<_>>(), [1, 2, 3, 4]);
    assert_eq!(apart[0].1, "only a console writes records of kind 134");
    let keypads = ends.json(&["keypad", "list"]);
    assert_eq!(keypads["keypads"].as_array().unwrap().len(), 1);
    assert_eq!(keypads["keypads"][0]["keypad"], "bench");
    assert_eq!(ends.json(&["job", "list"]).as_array().unwrap().len(), 2);
    assert_ne!(first, second);
}

#[test]
fn what_a_former_version_took_in_of_the_desk_is_believed_no_more() {
    let ends = Ends::new();
    let (job, opening) = ends.orders[0];
    let closing = Desk::Closing(Closing { how: "x".into(), verdict: None, despite: None });
    let void = Bench::Void(Void { job: Some(job), target: opening });
    let mut buffer = [0; MAX_ENCODED];
    let bytes = [
        (closing.kind(), closing.encode().unwrap()),
        (void.kind(), void.encode(&mut buffer).unwrap().to_vec()),
    ];
    let received: Vec<Received> = (1..)
        .zip(bytes)
        .map(|(seq, (kind, data))| {
            let record =
                Stored { seq, boot: 1, ticks: 1, kind, data: heapless::Vec::from_slice(&data).unwrap() };
            Received { record, job: Some(job.0), utc_ms: None, apart: None }
        })
        .collect();
    let mut book = Book::open(ends.shop.book()).unwrap();
    let taken: Result<_, Error> = book.write(|tx| tx.import(JOURNAL, &received));
    assert_eq!(taken.unwrap().new, 2);
    assert_eq!(ends.json(&["job", "list"]).as_array().unwrap().len(), 2);
    assert_eq!(ends.json(&["job", "show", "1"])["closed"], false);
}

#[test]
fn a_kind_that_nobody_knows_yet_is_kept_as_it_came() {
    let mut ends = Ends::new();
    ends.keypad.log_bytes(0x7f, &[1, 2, 3], ends.ms);
    ends.keypad.log_bytes(2, &[1, 2, 3], ends.ms);
    let apart = ends.kept_apart();
    assert_eq!(apart, [(2, "the fields of a record of kind 2 are damaged".to_owned())]);
}

#[test]
fn a_keypad_undoes_facts_of_the_bench_and_nothing_of_the_desk() {
    let mut ends = Ends::new();
    let lens = ends.lens(0);
    let [(job, opening), _] = ends.orders[..] else { unreachable!() };
    let own = ends.log(&pass(lens, Counting::Absolute, 400));
    let undone = ends.log(&Bench::Void(Void { job: Some(job), target: own }));
    ends.log(&Bench::Void(Void { job: Some(job), target: opening }));
    ends.log(&Bench::Void(Void { job: None, target: RecordId { seq: opening.seq + 2, ..opening } }));
    ends.log(&Bench::Void(Void { job: Some(job), target: undone }));
    let apart = ends.kept_apart();
    let adoption = RecordId { seq: opening.seq + 2, ..opening };
    assert_eq!(
        apart,
        [
            (3, format!("it would undo record {opening}, which only a console can undo")),
            (4, format!("it would undo record {adoption}, which only a console can undo")),
            (5, format!("it would undo record {undone}, which is itself an undoing")),
        ]
    );
    assert_eq!(ends.json(&["job", "list"]).as_array().unwrap().len(), 2);
    assert_eq!(ends.json(&["keypad", "list"])["keypads"].as_array().unwrap().len(), 1);
    let records = ends.json(&["job", "show", "1"])["records"].clone();
    assert_eq!(records[1]["void"], true, "the pass of its own: {records}");
    assert_eq!(records[0]["void"], false);
}

#[test]
fn a_void_that_comes_before_the_desk_record_it_names_bears_on_nothing() {
    let mut ends = Ends::new();
    let [(job, opening), (_, last)] = ends.orders[..] else { unreachable!() };
    // The adoption stands behind the orders, the choices behind that; an amendment will be the next.
    let amendment = RecordId { seq: last.seq + 3, ..opening };
    ends.log(&Bench::Void(Void { job: Some(job), target: amendment }));
    assert_eq!(ends.kept_apart(), [], "what it names is not there yet");
    let amended = ends.shop.run(["job", "amend", "1", "--tray", "9", "--why", "moved"]);
    assert_eq!(amended.status, Some(0), "{amended:?}");
    let shown = ends.json(&["job", "show", "1"]);
    let record =
        shown["records"].as_array().unwrap().iter().find(|record| record["record"] == amendment.to_string());
    assert_eq!(record.unwrap()["void"], false, "{shown}");
    assert_eq!(shown["tray"], "9");
}

#[test]
fn what_no_bench_can_say_leaves_the_station_and_the_lenses_as_they_are() {
    let mut ends = Ends::new();
    assert_eq!(
        ends.shop.run(["station", "dial", "--basis", "diameter", "--absolute", "--step", "0.05"]).status,
        Some(0)
    );
    let lens = ends.lens(0);
    let dial = |step| {
        let step = Length::from_milli(step);
        Bench::Station(StationEvent::Dial(Dial { basis: Basis::Radius, counting: Counting::Absolute, step }))
    };
    let pd = PupillaryDistance::Binocular(Length::ZERO);
    let take_off = Counting::TakeOff { from: Length::from_milli(500) };
    for fact in [
        dial(0),
        dial(1_000_000),
        pass(lens, Counting::Absolute, 1_000_000),
        pass(lens, take_off, -50),
        pass(LensId { number: 0, ..lens }, Counting::Absolute, 400),
        Bench::CentreDistance(CentreDistance {
            entered: Entered::READ,
            pair: PairId::first(lens.job),
            centres: pd,
            heights: None,
        }),
        Bench::NewLens(NewLens { lens: LensId { number: 255, ..lens } }),
        Bench::Opened(Opened { job: lens.job, rim: Rim::Plastic }),
    ] {
        ends.log(&fact);
    }
    ends.log(&pass(lens, Counting::Absolute, 400));
    let apart = ends.kept_apart();
    assert_eq!(
        apart.iter().map(|(seq, _)| *seq).collect::<Vec<_>>(),
        (1..=8).collect::<Vec<_>>(),
        "{apart:?}"
    );
    assert_eq!(apart[0].1, "0 is not a step above 0 and at most 1 mm");
    assert_eq!(apart[6].1, "it goes on with lens 255 of the right eye, which has had 1");
    assert_eq!(ends.json(&["station"])["dial"]["step_mm"], 0.05);
    let shown = ends.json(&["job", "show", "1"]);
    assert_eq!(shown["records"].as_array().unwrap().len(), 2, "the order and the one pass: {shown}");
    let text = ends.shop.run(["keypad", "log", "bench"]).stdout;
    assert!(text.contains("KEPT APART, it does not count: 0 is not a step"), "{text}");
    let refused = ends.shop.run(["record", "void", "aa:1"]);
    assert_eq!(refused.status, Some(3), "{refused:?}");
    let refused = ends.shop.run(["record", "void", "00000000000000aa:1"]);
    assert!(refused.status == Some(2) && refused.stderr.contains("kept apart"), "{refused:?}");
}

#[test]
fn a_closed_job_takes_what_was_logged_while_it_was_open_and_a_new_lens_or_a_reopening_opens_it() {
    let mut ends = Ends::new();
    let (lens, other) = (ends.lens(0), ends.lens(1));
    // Logged now, and sent when the job is closed.
    ends.log(&pass(lens, Counting::Absolute, 400));
    assert_eq!(ends.shop.run(["job", "close", "1", "--despite", "a test"]).status, Some(0));
    assert_eq!(ends.kept_apart(), []);
    ends.ms += 2 * AGO_MS as u64;
    ends.log(&pass(lens, Counting::Absolute, 300));
    ends.log(&pass(other, Counting::Absolute, 300));
    assert_eq!(ends.kept_apart(), [(2, "job 1 was closed by then, or may have been".to_owned())]);
    let second = LensId { number: 2, ..lens };
    ends.log(&Bench::NewLens(NewLens { lens: second }));
    ends.log(&pass(second, Counting::Absolute, 400));
    assert_eq!(ends.kept_apart().len(), 1);
    let shown = ends.json(&["job", "show", "1"]);
    assert_eq!(
        (&shown["closed"], &shown["lens_numbers"][0]),
        (&Value::Bool(false), &Value::from(2)),
        "{shown}"
    );
    // So does opening it again without one.
    assert_eq!(ends.shop.run(["job", "close", "1", "--despite", "a test"]).status, Some(0));
    let again = ["job", "reopen", "1", "--for", "complaint", "--why", "a test"];
    assert_eq!(ends.shop.run(again).status, Some(0));
    ends.log(&pass(second, Counting::Absolute, 300));
    assert_eq!(ends.kept_apart().len(), 1);
}
