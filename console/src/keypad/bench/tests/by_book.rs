//! What cards say by the book: that they say it, and that nothing else than what bears on it writes them anew.

use super::*;
use crate::work::PassEntry;
use bevelbook_core::prescription::Eye;
use bevelbook_core::record::{Opened, PairId, Pass, RecordId};
use bevelbook_core::sizing::{Advice, Dialled, Outcome, Rim};

const DIAL: Dial =
    Dial { basis: Basis::Diameter, counting: Counting::Absolute, step: Length::from_milli(50) };

fn open(work: &mut Work, model: &str) -> JobId {
    let mut order = sample();
    (order.tray, order.frame.model) = (None, model.into());
    work.open_job(order, None).unwrap().0.id
}

fn pass(work: &mut Work, job: JobId, eye: Eye, milli: i32, outcome: Outcome) {
    work.log_pass(job, &PassEntry { eye, amount: Length::from_milli(milli), outcome, insist: false })
        .unwrap();
}

/// Sizes a pair that fits at a size, and closes its job.
fn size(work: &mut Work, model: &str, milli: i32) {
    let job = open(work, model);
    for eye in Eye::BOTH {
        pass(work, job, eye, milli + 100, Outcome::JustTooBig);
        pass(work, job, eye, milli, Outcome::Fits);
    }
    work.close(job, "cancelled", Some("only sized")).unwrap();
}

/// A shop that has sized pairs of one model, with a keypad that holds the cards of one job of it and one of another.
fn shop() -> (Rig, [JobId; 2]) {
    let mut jobs = [JobId(0); 2];
    let mut rig = Rig::new(Store::new(10), |work| {
        work.log_station(StationEvent::Dial(DIAL)).unwrap();
        for fit in [50, 100, 100, 150] {
            size(work, "Lindgren 7", fit);
        }
        jobs = [open(work, "Lindgren 7"), open(work, "Skerry 3")];
    });
    rig.run(3000);
    (rig, jobs)
}

impl Rig {
    fn advice(&self, job: JobId) -> Option<Advice> {
        self.store.cards[&job].advice.clone()
    }

    /// How many cards are written because of what is done to the book.
    fn written(&mut self, change: impl FnOnce(&mut Work)) -> u32 {
        let before = self.store.written;
        change(&mut self.work());
        self.run(3000);
        self.store.written - before
    }
}

#[test]
fn the_card_of_a_model_that_was_sized_before_says_what_fitted_and_what_to_cut() {
    let (rig, [known, _]) = shop();
    let advice = rig.advice(known).unwrap();
    assert_eq!((advice.lenses, advice.basis), (8, DIAL.basis));
    assert_eq!(advice.fitted, Some([50, 150].map(Length::from_milli)));
    let first = advice.first.first().unwrap().milli();
    assert!((100..=250).contains(&first), "{first}");
}

#[test]
fn lenses_of_other_models_write_no_card_anew_however_many_they_are() {
    let (mut rig, jobs) = shop();
    let before = jobs.map(|job| rig.advice(job));
    for _ in 0..3 {
        let written = rig.written(|work| (0..5).for_each(|_| size(work, "Ødegård", 300)));
        assert_eq!(written, 0);
    }
    assert_eq!(jobs.map(|job| rig.advice(job)), before);
}

#[test]
fn a_lens_of_its_model_writes_it_once_when_it_comes_to_an_end() {
    let (mut rig, [known, other]) = shop();
    let mut job = JobId(0);
    assert_eq!(rig.written(|work| job = open(work, "lindgren 7")), 1, "its own card");
    assert_eq!(rig.written(|work| pass(work, job, Eye::Left, 200, Outcome::JustTooBig)), 1);
    assert_eq!(rig.advice(known).map(|advice| advice.lenses), Some(8));
    assert_eq!(rig.written(|work| pass(work, job, Eye::Left, 150, Outcome::Fits)), 2);
    assert_eq!(rig.advice(known).map(|advice| advice.lenses), Some(9));
    assert_eq!(rig.written(|work| pass(work, job, Eye::Right, 200, Outcome::JustTooBig)), 1);
    assert_eq!(rig.written(|work| _ = work.note(job, "a word").unwrap()), 0, "it is on no card");
    assert_eq!(rig.advice(other).map(|advice| advice.lenses), None);
}

#[test]
fn an_end_that_is_undone_is_taken_back_on_the_cards_of_its_model() {
    let (mut rig, [known, _]) = shop();
    let before = rig.advice(known);
    let mut job = JobId(0);
    rig.written(|work| {
        job = open(work, "Lindgren 7");
        pass(work, job, Eye::Left, 300, Outcome::JustTooBig);
        pass(work, job, Eye::Left, 250, Outcome::Fits);
    });
    assert_eq!(rig.advice(known).map(|advice| advice.lenses), Some(9));
    assert_eq!(rig.written(|work| undo_last(work, job)), 2);
    assert_eq!(rig.advice(known), before);
}

/// A lens comes to an end, and is then none of the model any more: the card that rested on it says what it said before, by a
/// revision that grew, and a console that is started again says the same.
fn leaves(comes: impl FnOnce(&mut Work) -> JobId, goes: impl FnOnce(&mut Work, JobId)) {
    let (mut rig, [known, _]) = shop();
    let before = rig.advice(known);
    let mut job = JobId(0);
    rig.written(|work| job = comes(work));
    assert_eq!(rig.advice(known).map(|advice| advice.lenses), Some(9));
    let revision = rig.store.cards[&known].revision;
    assert_eq!(rig.written(|work| goes(work, job)), 2, "its own and that which rested on it");
    assert_eq!(rig.advice(known), before);
    assert!(rig.store.cards[&known].revision > revision);
    assert_eq!(rig.written(|work| move_tray(work, job)), 1, "its own");
    rig.bench = Bench::new(rig.work(), Now { ms: rig.ms, utc_ms: 2_000_000 }).unwrap();
    assert_eq!(rig.written(|_| ()), 1, "by a lower revision, which it takes once that card is dropped");
    assert_eq!(rig.advice(known), before);
    assert_eq!(rig.written(|_| ()), 0);
}

fn move_tray(work: &mut Work, job: JobId) {
    work.amend(job, "moved", None, |order| order.tray = Some("9".into())).unwrap();
}

fn undo_last(work: &mut Work, job: JobId) {
    let last = work.job(job).unwrap().lines.last().unwrap().id;
    work.void(last).unwrap();
}

fn fits_at_once(work: &mut Work) -> JobId {
    let job = open(work, "Lindgren 7");
    pass(work, job, Eye::Left, 250, Outcome::Fits);
    job
}

#[test]
fn a_mistyped_model_is_taken_back_on_the_cards_that_rested_on_its_lens() {
    leaves(fits_at_once, |work, job| {
        work.amend(job, "misread", None, |order| order.frame.model = "Bergen".into()).unwrap();
    });
}

#[test]
fn a_pass_that_is_undone_where_it_was_the_only_one_is_taken_back_too() {
    leaves(fits_at_once, undo_last);
}

#[test]
fn a_filing_that_is_undone_is_taken_back_on_the_cards_that_rested_on_its_lens() {
    let files = |work: &mut Work| {
        let (basis, counting, amount) = (DIAL.basis, DIAL.counting, Length::from_milli(250));
        let (own, dialled) = (
            JobId::opened_by(RecordId { journal: JournalId(11), seq: 1 }),
            Dialled { basis, counting, amount },
        );
        let (lens, outcome) = (PairId::first(own).lens(Eye::Left), Outcome::Fits);
        let mut sends = Store::new(11);
        sends.keep(Fact::Opened(Opened { job: own, rim: Rim::Metal }));
        sends.keep(Fact::Pass(Pass { advised: None, lens, dialled, outcome, past: false }));
        work.take_in(JournalId(11), sends.records.into_values().map(|record| (record, None))).unwrap();
        let job = open(work, "Lindgren 7");
        work.file(own, job).unwrap();
        job
    };
    leaves(files, undo_last);
}

#[test]
fn what_left_while_another_keypad_was_on_the_line_is_taken_back_on_the_first_ones_card() {
    let (mut rig, [known, _]) = shop();
    let before = rig.advice(known);
    let mut job = JobId(0);
    rig.written(|work| {
        job = fits_at_once(work);
        // Its card is newer than that lens.
        move_tray(work, known);
    });
    let mut first = std::mem::replace(&mut rig.store, Store::new(11));
    for amends in [true, false] {
        rig.bench.plugged(Now { ms: rig.ms, utc_ms: 1_000_000 });
        rig.keypad = KeypadSession::new("keypad", "1");
        rig.run(3000);
        if amends {
            rig.written(|work| {
                work.amend(job, "misread", None, |order| order.frame.model = "Bergen".into()).unwrap();
            });
            std::mem::swap(&mut rig.store, &mut first);
        }
    }
    assert_eq!(rig.advice(known), before);
}

#[test]
fn a_restated_dial_is_learned_by_with_no_keypad_on_the_line() {
    let mut job = JobId(0);
    let mut rig = Rig::new(Store::new(12), |work| {
        work.log_station(StationEvent::Dial(DIAL)).unwrap();
        size(work, "Lindgren 7", 100);
        job = open(work, "Lindgren 7");
    });
    let basis = |rig: &Rig| {
        let work = rig.work();
        rig.bench.jobs.advice(&work, &work.job(job).unwrap()).unwrap().map(|advice| advice.basis)
    };
    rig.run(1000);
    assert_eq!(basis(&rig), Some(DIAL.basis));
    let dial = Dial { basis: Basis::Girth, ..DIAL };
    rig.written(|work| _ = work.log_station(StationEvent::Dial(dial)).unwrap());
    assert_eq!(basis(&rig), Some(Basis::Girth));
}

#[test]
fn the_second_eye_goes_by_what_the_first_one_showed() {
    let (mut rig, _) = shop();
    let mut job = JobId(0);
    rig.written(|work| {
        // Frames of this one differ, and both rims of each are alike.
        [-100, 300, 0, 200, 100, 350].into_iter().for_each(|fit| size(work, "Bergen", fit));
        job = open(work, "Bergen");
        pass(work, job, Eye::Right, 400, Outcome::JustTooBig);
    });
    let before = rig.advice(job).unwrap();
    rig.written(|work| pass(work, job, Eye::Right, 300, Outcome::Fits));
    let after = rig.advice(job).unwrap();
    assert!(before.first == after.first && before.second != after.second, "{before:?} {after:?}");
    assert!(!after.second_from_fit && after.lenses == before.lenses);
    assert!(after.second.first() > after.first.first(), "its frame is large: {after:?}");
}

#[test]
fn a_restated_dial_writes_them_all_for_that_dial() {
    let (mut rig, [known, _]) = shop();
    let dial = Dial { basis: Basis::Girth, ..DIAL };
    assert_eq!(rig.written(|work| _ = work.log_station(StationEvent::Dial(dial)).unwrap()), 2);
    assert_eq!(rig.advice(known).map(|advice| advice.basis), Some(Basis::Girth));
}

/// One that is started again has learned something else meanwhile, and says of an untouched job what its keypad holds.
#[test]
fn a_console_that_is_started_again_writes_no_card_anew() {
    let (mut rig, _) = shop();
    let written = rig.written(|work| (0..12).for_each(|_| size(work, "Ødegård", 300)));
    assert_eq!(written, 0);
    rig.bench = Bench::new(rig.work(), Now { ms: rig.ms, utc_ms: 2_000_000 }).unwrap();
    assert_eq!(rig.written(|_| ()), 0);
}
