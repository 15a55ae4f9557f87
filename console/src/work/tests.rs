//! Decided where it joins: what depends on the state of a job is decided on what another console wrote last.

use super::append::{Writing, append_bench, append_desk};
use super::*;
use crate::desk::{Bearer, Cause, Desk, Order, sample};
use crate::store::{Ground, on_both_engines};
use bevelbook_core::prescription::Eye;
use bevelbook_core::record::{
    Bench, JournalId, LensId, MAX_ENCODED, PairId, Pass, StationEvent, Stored, Void,
};
use bevelbook_core::sizing::{Basis, Counting, Dial, Dialled, Outcome};
use bevelbook_core::units::Length;
use std::sync::mpsc::channel;
use std::thread::{scope, sleep};
use std::time::Duration;

fn work(place: &Place) -> Work {
    Work::open(place, Settings::defaults().unwrap()).unwrap()
}

/// A book with a dial and one job, of which a lens was ground once.
fn begun(ground: &Ground) -> (Place, JobId) {
    let place = ground.begun();
    let mut work = work(&place);
    let dial = Dial { basis: Basis::Diameter, counting: Counting::Absolute, step: Length::from_milli(50) };
    work.log_station(StationEvent::Dial(dial)).unwrap();
    let (job, _) = work.open_job(sample(), None).unwrap();
    work.log_pass(job.id, &typed(300, Outcome::JustTooBig)).unwrap();
    (place, job.id)
}

fn typed(milli: i32, outcome: Outcome) -> PassEntry {
    PassEntry { eye: Eye::Right, amount: Length::from_milli(milli), outcome, insist: false }
}

fn pass(job: JobId, milli: i32, outcome: Outcome) -> Bench {
    let amount = Length::from_milli(milli);
    let dialled = Dialled { basis: Basis::Diameter, counting: Counting::Absolute, amount };
    Bench::Pass(Pass {
        advised: None,
        lens: PairId::first(job).lens(Eye::Right),
        dialled,
        outcome,
        past: false,
    })
}

/// What comes of `ours`, asked for while another console is about to commit `theirs`.
fn behind<T: Send>(
    place: &Place,
    theirs: impl FnOnce(&mut Writing<'_, '_>) -> Result<RecordId, WorkError>,
    ours: impl FnOnce(&mut Work) -> T + Send,
) -> T {
    let (mut other, own) = (work(place), work(place));
    let (begun, began) = channel();
    // Nothing asks for the write to be run once more.
    let (mut ours, mut theirs) = (Some((ours, own)), Some(theirs));
    scope(|threads| {
        let waiting = other.change(|tx| {
            let ((ours, mut own), theirs, begun) =
                (ours.take().unwrap(), theirs.take().unwrap(), begun.clone());
            let waiting = threads.spawn(move || {
                begun.send(()).unwrap();
                ours(&mut own)
            });
            began.recv().unwrap();
            // Long enough for everything that does not wait for this change.
            sleep(Duration::from_millis(200));
            theirs(tx)?;
            Ok(waiting)
        });
        waiting.unwrap().join().unwrap()
    })
}

fn the_guard_is_asked_of_the_state_that_the_pass_joins(ground: &Ground) {
    let (place, id) = begun(ground);
    let fits = |tx: &mut Writing<'_, '_>| append_bench(tx, &pass(id, 200, Outcome::Fits));
    let refused = behind(&place, fits, |work| work.log_pass(id, &typed(150, Outcome::Fits)));
    assert!(matches!(refused, Err(WorkError::Guard { .. })), "{refused:?}");
    assert_eq!(work(&place).job(id).unwrap().state.lens(Eye::Right).sizing.passes, 2);
}

fn a_pass_is_of_the_lens_that_is_the_present_one_when_it_joins(ground: &Ground) {
    let (place, id) = begun(ground);
    let lens = LensId { job: id, eye: Eye::Right, number: 2 };
    let new = Bench::NewLens(bevelbook_core::record::NewLens { lens });
    let logged = behind(
        &place,
        |tx| append_bench(tx, &new),
        |work| work.log_pass(id, &typed(400, Outcome::FarTooBig)),
    );
    assert_eq!(logged.unwrap().fact.lens(), Some(lens));
}

fn two_consoles_give_two_jobs_two_numbers(ground: &Ground) {
    let (place, _) = begun(ground);
    let order = Order { number: 2, ..sample() };
    let theirs = |tx: &mut Writing<'_, '_>| {
        let id = JobId::opened_by(tx.next_id()?);
        append_desk(tx, id, &Desk::Order(Box::new(order)))
    };
    let (job, _) = behind(&place, theirs, |work| work.open_job(sample(), None)).unwrap();
    assert_eq!(job.order.number, 3);
}

fn two_consoles_that_remake_a_lens_begin_two_lenses(ground: &Ground) {
    let (place, id) = begun(ground);
    let theirs = crate::desk::Remake {
        eye: Eye::Right,
        lens: 2,
        cause: Cause::Slipped,
        bearer: Bearer::Shop,
        story: String::new(),
    };
    let remade = behind(
        &place,
        |tx| append_desk(tx, id, &Desk::Remake(theirs)),
        |work| work.remake(id, Eye::Right, None, Cause::Damaged, Bearer::Shop, ""),
    );
    assert_eq!(remade.unwrap().job.pair().numbers, [3, 1]);
}

fn what_another_console_voided_a_moment_ago_is_not_voided_again(ground: &Ground) {
    let (place, id) = begun(ground);
    let target = RecordId { journal: work(&place).own_journal().unwrap(), seq: 3 };
    let void = Bench::Void(Void { job: Some(id), target });
    let again = behind(&place, |tx| append_bench(tx, &void), |work| work.void(target));
    assert!(matches!(again, Err(WorkError::AlreadyVoid(_))), "{again:?}");
}

fn of_two_filings_of_a_job_the_first_counts(ground: &Ground) {
    let (place, first) = begun(ground);
    let mut work = work(&place);
    let second = work.open_job(sample(), None).unwrap().0.id;
    let own = JobId(77);
    let filing = Desk::Filing(crate::desk::Filing { from: own });
    // As two consoles that have not heard of each other, or two books that came together, leave it.
    work.change(|tx| {
        append_bench(tx, &pass(own, 200, Outcome::Fits))?;
        append_desk(tx, first, &filing)?;
        append_desk(tx, second, &filing)
    })
    .unwrap();
    let fits = |job| work.job(job).unwrap().state.lens(Eye::Right).sizing.fits.is_some();
    assert_eq!([first, second].map(fits), [true, false]);
}

/// A memory of 64 KiB has more than 800 pages for records.
fn what_filled_a_memory_in_one_start_lies_between_the_dated_starts_round_it(ground: &Ground) {
    let (place, id) = begun(ground);
    let (mut work, journal) = (work(&place), JournalId(7));
    let fact = pass(id, 200, Outcome::FarTooBig);
    let data: heapless::Vec<u8, MAX_ENCODED> =
        fact.encode(&mut [0; MAX_ENCODED]).unwrap().try_into().unwrap();
    let logged = |seq, boot| Stored { seq, boot, ticks: seq * 1000, kind: fact.kind(), data: data.clone() };
    let alone = (2..=801).map(|seq| (logged(seq, 2), None));
    let (began, ended) = (1_795_800_000_000, 1_795_890_000_000);
    let met = |seq, boot, utc_ms| std::iter::once((logged(seq, boot), Some(utc_ms)));
    work.take_in(journal, met(1, 1, began).chain(alone).chain(met(802, 3, ended))).unwrap();
    for line in work.lines_of(journal, &[2, 801]).unwrap() {
        let between = line.between.unwrap();
        assert!(between.after.is_some() && between.before.is_some(), "{line:?}");
    }
}

fn a_job_that_was_imported_a_moment_ago_keeps_its_number(ground: &Ground) {
    let (other, place) = (ground.other(), ground.begun());
    Book::begin(&other).unwrap();
    let mut there = work(&other);
    there.open_job(sample(), None).unwrap();
    let mut lines = Vec::new();
    there.book.export(&mut lines, true).unwrap();
    // Open before, and not followed since.
    let mut own = work(&place);
    Book::open(&place).unwrap().import_lines(std::io::Cursor::new(lines)).unwrap();
    assert_eq!(own.open_job(sample(), None).unwrap().0.order.number, 2);
}

on_both_engines!(
    a_job_that_was_imported_a_moment_ago_keeps_its_number,
    the_guard_is_asked_of_the_state_that_the_pass_joins,
    a_pass_is_of_the_lens_that_is_the_present_one_when_it_joins,
    two_consoles_give_two_jobs_two_numbers,
    two_consoles_that_remake_a_lens_begin_two_lenses,
    what_another_console_voided_a_moment_ago_is_not_voided_again,
    of_two_filings_of_a_job_the_first_counts,
    what_filled_a_memory_in_one_start_lies_between_the_dated_starts_round_it,
);
