//! Records that a keypad sends, and files that are given for a book.

use crate::input::Script;
use bevelbook::desk::{Frame, LensChoice, Order};
use bevelbook::inspection::Inspection;
use bevelbook::plan::Plan;
use bevelbook::settings::Settings;
use bevelbook::work::{Fact, Sets, Work};
use bevelbook_core::frame::{FrameSize, PupillaryDistance};
use bevelbook_core::prescription::{Eye, EyeOrder, Wanted};
use bevelbook_core::record::{
    Bench, Flow, JobId, JournalId, Ledger, LensId, Logged, MAX_ENCODED, RecordId, StationEvent, StationId,
    Stored, Told, Void,
};
use bevelbook_core::sizing::{Basis, Counting, Dial, Dialled, Rim};
use bevelbook_core::units::Length;
use std::collections::HashSet;
use std::fs;
use std::path::{Path, PathBuf};
use tempfile::TempDir;

pub(crate) const KEYPAD: JournalId = JournalId(77);

/// The job that the hostile records mostly tell of.
pub(crate) const JOB: JobId = JobId(0x0123_4567_89ab_cdef);

/// Records: how often, a kind, a length and so many bytes each; at most `most` of them.
fn records(bytes: &[u8], most: usize) -> Vec<Stored> {
    let mut script = Script(bytes);
    let mut records = Vec::new();
    while !script.is_done() {
        let times = match script.byte() {
            few @ 0..0xf0 => usize::from(few % 4) + 1,
            many => usize::from(many - 0xef) * 150,
        };
        let kind = script.byte();
        let data: heapless::Vec<u8, MAX_ENCODED> = script.bytes().iter().copied().take(MAX_ENCODED).collect();
        for _ in 0..times.min(most - records.len()) {
            let seq = records.len() as u32 + 1;
            records.push(Stored { seq, boot: 1, ticks: seq, kind, data: data.clone() });
        }
    }
    records
}

/// Whatever records say, what holds of them can be worked out, gone on with and told.
pub(crate) fn facts(bytes: &[u8]) {
    let known: Vec<Logged> =
        records(bytes, 4000).iter().filter_map(|record| record.logged(KEYPAD).ok()).collect();
    for Logged { fact, .. } in &known {
        let mut buffer = [0; MAX_ENCODED];
        let encoded = fact.encode(&mut buffer).expect("it came in so many bytes");
        assert_eq!(Bench::decode(fact.kind(), encoded).as_ref(), Ok(fact));
        assert!(!Fact::Bench(*fact).describe(Rim::Metal).is_empty());
    }
    let told = known.iter().map(|logged| Told::from(*logged));
    let ledger = Ledger::over(told.clone(), Sets::default());
    let jobs: HashSet<JobId> = known.iter().filter_map(|logged| logged.fact.job()).collect();
    for job in jobs {
        let state = ledger.job(job, told.clone());
        for wanted in [Wanted::Lens, Wanted::Balance { known: false }, Wanted::Nothing { known: true }] {
            let _ = (state.next([wanted, Wanted::Lens], Flow::COMMON), state.measured());
        }
        for eye in Eye::BOTH {
            let sizing = state.lens(eye).sizing;
            for basis in Basis::ALL {
                let _ = sizing.present(basis);
                let dialled =
                    Dialled { basis, counting: Counting::Absolute, amount: Length::from_milli(100) };
                if let Err(refusal) = sizing.guard(&dialled) {
                    assert!(!refusal.to_string().is_empty());
                }
            }
            let _ = ledger.lens(LensId { job, eye, number: 1 }, told.clone());
        }
    }
    let _ = ledger.dial(StationId::FIRST, told);
}

/// An order of a pair, or of one lens.
fn order(left: &str) -> Order {
    let mm = Length::from_milli;
    let frame = Frame {
        material: "steel".into(),
        ..Frame::new(
            "Lindgren 7",
            FrameSize { a: mm(50_000), b: mm(38_000), dbl: mm(18_000), ed: None },
            Rim::Metal,
        )
    };
    let eyes = ["-1.25 -0.75 x 15", left].map(|text| EyeOrder::parse(text).expect("an order"));
    let pd = PupillaryDistance::parse("31.5/31").expect("a distance");
    let lens = LensChoice { material: "cr39".into(), ..LensChoice::default() };
    Order::new("K-17".into(), eyes, pd, frame, lens)
}

/// A folder that need not reach a disk, where there is one.
fn folder() -> TempDir {
    tempfile::tempdir_in("/dev/shm").or_else(|_| tempfile::tempdir()).expect("a folder")
}

pub(crate) fn open(path: &Path) -> Result<Work, bevelbook::work::WorkError> {
    Work::open(path, Settings::defaults().expect("defaults"))
}

/// A book with a dial, two jobs and an adopted keypad, closed.
pub(crate) fn shop() -> (TempDir, PathBuf) {
    let folder = folder();
    let path = folder.path().join("book.db");
    let mut work = open(&path).expect("a new book");
    let dial = Dial { basis: Basis::Diameter, counting: Counting::Absolute, step: Length::from_milli(50) };
    work.log_station(StationEvent::Dial(dial)).expect("a statement");
    for left in ["-1.50 -0.50 x 170", "none, old -1.50 DS"] {
        drop(work.open_job(order(left), Some("Ada Lovelace")).expect("an order"));
    }
    work.adopt(KEYPAD, "bench").expect("an adoption");
    (folder, path)
}

/// Reads all that a console shows.
pub(crate) fn look(work: &Work) {
    let Ok(jobs) = work.jobs() else { return };
    for job in &jobs.whole {
        job.lines.iter().for_each(|line| assert!(!line.fact.describe(job.order.frame.rim).is_empty()));
        if let Ok(tolerances) = work.settings().tolerances() {
            assert!(!job.status(&tolerances).to_string().is_empty());
            let _ = Inspection::of(job, &tolerances).verdict();
        }
        let _ = Plan::of(&job.order, work.settings(), work.station().ok().flatten().as_ref(), [None; 2]);
        let _ = (work.sized_of(&job.order.frame), work.sized_lately(u32::MAX));
    }
    for damaged in &jobs.damaged {
        assert!(!damaged.to_string().is_empty());
    }
    let _ = (work.unfiled(), work.keypads(), work.sized_lately(u32::MAX), work.station_epochs());
    for journal in work.journals().unwrap_or_default() {
        let _ = (work.log_of(journal), work.journal(journal), work.station_for(journal), work.dated(journal));
    }
}

/// Lets a record tell of the order `job`, and a void name a record of the console's `own` journal: ids that no bytes hit.
fn aim(record: &mut Stored, job: JobId, own: JournalId) {
    let Ok(fact) = record.fact() else { return };
    let aimed = match fact {
        Bench::Void(void) => {
            let seq = void.target.seq % 8;
            Bench::Void(Void { job: Some(job), target: RecordId { journal: own, seq } })
        }
        fact if fact.job() == Some(JOB) => fact.filed_under(job),
        fact => fact,
    };
    let mut buffer = [0; MAX_ENCODED];
    record.data = aimed.encode(&mut buffer).expect("it came in so many bytes").iter().copied().collect();
}

/// Whatever an adopted keypad sends: orders stay as they are, nothing is damaged, and the book is sound.
pub(crate) fn intake(bytes: &[u8]) {
    let (_folder, path) = shop();
    let mut work = open(&path).expect("a book");
    let ordered = |work: &Work| {
        let jobs = work.jobs().expect("the book is read");
        assert!(jobs.damaged.is_empty(), "{:?}", jobs.damaged);
        jobs.whole.into_iter().map(|job| (job.id, job.order)).collect::<Vec<_>>()
    };
    let (before, keypads) = (ordered(&work), work.keypads().expect("the book is read"));
    let own = work.own_journal().expect("the book has one");
    let mut records = records(bytes, 300);
    for record in &mut records {
        let job = before[record.seq as usize % before.len()].0;
        aim(record, job, own);
    }
    let last = records.len() as u32;
    work.take_in(KEYPAD, records.into_iter().map(|record| (record, None))).expect("the book takes them");
    assert_eq!(ordered(&work), before);
    assert_eq!(work.keypads().expect("the book is read"), keypads);
    assert_eq!(work.last_of(KEYPAD).expect("the book is read"), last);
    look(&work);
    drop(work);
    assert_eq!(Work::check(&path).expect("a check").problems, Vec::<String>::new());
}

/// Any file given for a book is read, or refused with its name; so is a book of which some bytes were changed.
pub(crate) fn file(bytes: &[u8]) {
    let folder = folder();
    let path = folder.path().join("book.db");
    fs::write(&path, bytes).expect("a file");
    match Work::look(&path, Settings::defaults().expect("defaults")) {
        Ok(work) => look(&work),
        Err(error) => assert!(error.to_string().contains("book"), "it names the file: {error}"),
    }
    assert!(fs::read(&path).is_ok_and(|now| now == bytes), "it was only looked into");
    match open(&path) {
        Ok(work) => {
            look(&work);
            drop(work);
            if let Ok(health) = Work::check(&path) {
                assert!(health.problems.iter().all(|problem| !problem.is_empty()));
            }
        }
        Err(error) => assert!(error.to_string().contains("book"), "it names the file: {error}"),
    }
}
