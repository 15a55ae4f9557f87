//! What jobs are found by follows the records, whatever was done and however it was lost.

use crate::belief::Tried;
use crate::desk::{Bearer, Cause, Desk, Order, sample};
use crate::settings::Settings;
use crate::store::{Ground, on_both_engines};
use crate::work::append::append_desk;
use crate::work::{PassEntry, SizedPair, Work};
use bevelbook_core::prescription::Eye;
use bevelbook_core::record::{
    Bench, Check, CheckItem, Entered, JobId, JournalId, LensId, MAX_ENCODED, NewLens, Opened, RecordId,
    StationEvent, Stored, Subject, Void,
};
use bevelbook_core::sizing::{Basis, Counting, Dial, Outcome, Rim};
use bevelbook_core::units::Length;
use std::cmp::Reverse;

const KEYPAD: JournalId = JournalId(0xaa);

/// Xorshift, seeded: the same each time.
struct Dice(u64);

impl Dice {
    fn below(&mut self, many: u64) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0 % many
    }

    fn one_of<T: Copy>(&mut self, of: &[T]) -> T {
        of[self.below(of.len() as u64) as usize]
    }
}

fn shop(ground: &Ground) -> Work {
    let mut work = reopened(ground);
    let dial = Dial { basis: Basis::Radius, counting: Counting::Absolute, step: Length::from_milli(50) };
    work.log_station(StationEvent::Dial(dial)).unwrap();
    work
}

fn reopened(ground: &Ground) -> Work {
    Work::open(ground.begun(), Settings::defaults().unwrap()).unwrap()
}

fn order(dice: &mut Dice) -> Order {
    let mut order = sample();
    order.customer = dice.one_of(&["K-17", "k-17", "K-2"]).into();
    order.tray = dice.one_of(&[None, Some("4"), Some("A 4")]).map(str::to_owned);
    order.due = dice.one_of(&[None, Some(jiff::civil::date(2031, 5, 4))]);
    order.frame.model = dice.one_of(&["Lindgren 7", "LINDGREN 7", "Two"]).into();
    order.frame.rim = dice.one_of(&[Rim::Metal, Rim::Plastic, Rim::Rimless]);
    order
}

/// A record of the keypad.
fn stored(seq: u32, fact: &Bench) -> (Stored, Option<i64>) {
    let mut buffer = [0; MAX_ENCODED];
    let data = heapless::Vec::from_slice(fact.encode(&mut buffer).unwrap()).unwrap();
    (Stored { seq, boot: 1, ticks: seq, kind: fact.kind(), data }, None)
}

/// Something that somebody does at the console or at the keypad; most of it may be refused.
fn something(work: &mut Work, dice: &mut Dice, seq: &mut u32) {
    let orders: Vec<JobId> = work.jobs().unwrap().whole.iter().map(|job| job.id).collect();
    let owns: Vec<JobId> = work.unfiled_or_gone().unwrap().iter().map(|own| own.id).collect();
    let all: Vec<JobId> = orders.iter().chain(&owns).copied().collect();
    if all.is_empty() {
        work.open_job(order(dice), None).unwrap();
        return;
    }
    let any = dice.one_of(&all);
    let eye = dice.one_of(&Eye::BOTH);
    let mut logged = Vec::new();
    match dice.below(14) {
        0 => drop(work.open_job(order(dice), None)),
        1 => {
            let changed = order(dice);
            let amend = |order: &mut Order| *order = Order { number: order.number, ..changed.clone() };
            drop(work.amend(any, "asked for", None, amend));
        }
        2 => drop(work.close(any, "handed over", Some("a test"))),
        3 => drop(work.remake(any, eye, None, Cause::Damaged, Bearer::Shop, "")),
        4 if !owns.is_empty() => drop(work.file(dice.one_of(&owns), any)),
        5 => {
            // Any record at all, at the console.
            let ids: Vec<RecordId> =
                work.book.entries_after(0).unwrap().iter().map(|entry| entry.id).collect();
            drop(work.void(dice.one_of(&ids)));
        }
        6 => {
            let job = JobId::opened_by(RecordId { journal: KEYPAD, seq: *seq });
            logged.push(Bench::Opened(Opened { job, rim: Rim::Metal }));
        }
        7 => {
            // A new lens opens a closed job again.
            let number = dice.below(4) as u8 + 1;
            let lens = LensId { job: any, eye, number };
            logged.push(Bench::NewLens(NewLens { lens }));
        }
        8 => {
            let target = RecordId { journal: KEYPAD, seq: dice.below(u64::from(*seq)) as u32 };
            logged.push(Bench::Void(Void { job: Some(any), target }));
        }
        9 => drop(work.note(any, "pads missing")),
        10 => {
            let strain = |lens| Check {
                entered: Entered::READ,
                of: Subject::Lens(lens),
                item: CheckItem::Strain,
                good: false,
            };
            drop(work.log_lens(any, eye, |lens| Bench::Check(strain(lens))));
        }
        _ => {
            let felt = [Outcome::FarTooBig, Outcome::JustTooBig, Outcome::Fits, Outcome::Abandoned];
            let (amount, outcome) = (Length::from_milli(50 * dice.below(8) as i32), dice.one_of(&felt));
            drop(work.log_pass(any, &PassEntry { eye, amount, outcome, insist: true }));
        }
    }
    for fact in logged {
        work.take_in(KEYPAD, [stored(*seq, &fact)]).unwrap();
        *seq += 1;
    }
}

fn what_jobs_are_found_by_is_what_their_records_give_whatever_was_done(ground: &Ground) {
    let mut met = 0;
    let seeds = ground.times(12);
    for seed in 1..=seeds {
        let mut work = shop(ground);
        let (mut dice, mut seq) = (Dice(seed * 0x9e37_79b9), 1);
        for step in 0..60 {
            something(&mut work, &mut dice, &mut seq);
            if step % 6 == 0 {
                assert_eq!(work.astray().unwrap(), Vec::<String>::new(), "seed {seed}, step {step}");
            }
        }
        let open = |work: &Work| work.open_jobs(|job| job.id).unwrap().whole;
        let folded = work.jobs().unwrap().whole;
        let folded: Vec<JobId> = folded.iter().filter(|job| job.closed.is_none()).map(|job| job.id).collect();
        assert_eq!(open(&work), folded, "seed {seed}");
        for job in work.jobs().unwrap().whole {
            assert_eq!(work.find(&format!("J{}", job.order.number)).unwrap().id, job.id);
            assert_eq!(work.find(&job.id.to_string()[..8]).unwrap().id, job.id);
        }
        let mut sized: Vec<SizedPair> =
            work.jobs().unwrap().whole.iter().filter_map(|job| Some(job.sized()?.lately())).collect();
        sized.retain(|sized| sized.rims.iter().flatten().any(|tried| *tried != Tried::default()));
        sized.sort_by_key(|sized| Reverse(sized.position));
        met += sized.len();
        assert_eq!(work.sized_lately(u32::MAX).unwrap(), sized, "seed {seed}");
        drop(work);
        assert_eq!(open(&reopened(ground)), folded);
        ground.clear();
    }
    assert!(met as u64 > seeds, "{met} jobs showed something");
}

fn words_that_were_lost_or_are_of_another_version_are_made_anew_when_the_book_is_opened(ground: &Ground) {
    let mut work = shop(ground);
    let id = work.open_job(sample(), None).unwrap().0.id;
    drop(work);
    for lost in [
        "DELETE FROM found_by; DELETE FROM found_upto",
        "UPDATE found_upto SET version = 0; DELETE FROM found_by",
    ] {
        ground.hand(lost);
        let work = reopened(ground);
        assert_eq!(work.find("T4").unwrap().id, id, "{lost}");
        assert_eq!(work.astray().unwrap(), Vec::<String>::new(), "{lost}");
    }
}

fn a_word_that_no_record_gives_is_told_finds_nothing_and_goes_when_all_are_made_anew(ground: &Ground) {
    let mut work = shop(ground);
    let id = work.open_job(sample(), None).unwrap().0.id;
    ground.hand("UPDATE found_by SET word = 'tray 5' WHERE word = 'tray 4'");
    let told = work.astray().unwrap();
    assert_eq!(told.len(), 2, "{told:?}");
    assert!(told[0].contains("is not found by `tray 4`") && told[1].contains("`tray 5`"), "{told:?}");
    assert!(work.find("T5").is_err(), "a word alone finds nothing");
    work.renew().unwrap();
    assert_eq!(work.astray().unwrap(), Vec::<String>::new());
    assert_eq!(work.find("T4").unwrap().id, id);
}

fn texts_that_no_server_keeps_as_they_are_are_found_by_all_the_same(ground: &Ground) {
    let mut work = shop(ground);
    let mut dice = Dice(5);
    // Nothing that an index could keep in short.
    let long: String = (0..40_000).map(|_| char::from(b'a' + dice.below(26) as u8)).collect();
    let mut odd =
        Order { number: 9, customer: "K\0-17".into(), tray: Some(format!("4\0{long}")), ..sample() };
    odd.frame.model.clone_from(&long);
    let opened = work.change(|tx| {
        let id = JobId::opened_by(tx.next_id()?);
        append_desk(tx, id, &Desk::Order(Box::new(odd.clone())))?;
        Ok(id)
    });
    let id = opened.unwrap();
    for at in [300, 200] {
        let pass = PassEntry {
            eye: Eye::Right,
            amount: Length::from_milli(at),
            outcome: if at == 200 { Outcome::Fits } else { Outcome::FarTooBig },
            insist: true,
        };
        work.log_pass(id, &pass).unwrap();
    }
    assert_eq!(work.find("J9").unwrap().id, id);
    assert_eq!(work.find("K\0-17").unwrap().id, id);
    assert_eq!(work.astray().unwrap(), Vec::<String>::new());
    assert_eq!(work.sized_lately(9).unwrap(), [], "of a model of that length nothing is learned");
}

on_both_engines!(
    texts_that_no_server_keeps_as_they_are_are_found_by_all_the_same,
    what_jobs_are_found_by_is_what_their_records_give_whatever_was_done,
    words_that_were_lost_or_are_of_another_version_are_made_anew_when_the_book_is_opened,
    a_word_that_no_record_gives_is_told_finds_nothing_and_goes_when_all_are_made_anew,
);
