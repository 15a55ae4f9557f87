//! What wears pages: cards that take their slots in turn, marks for several acknowledgements, records that a card needs.

use super::super::faults::Fault;
use super::super::subjects::Subjects;
use super::*;
use bevelbook_core::prescription::Eye;
use bevelbook_core::record::{Bench, Entered, MAX_ENCODED, Mark, PairId};
use bevelbook_core::units::{Axis, PrismPair};

const JOB: JobId = JobId(77);

/// A record about a job.
fn mark(job: JobId) -> Bench {
    let lens = PairId::first(job).lens(Eye::Left);
    Bench::Mark(Mark { entered: Entered::READ, lens, axis: Axis::from_milli(90_000), prism: PrismPair::NONE })
}

fn log(memory: &mut Memory<Store>, job: JobId) -> Result<u32, AppendError<Fault>> {
    memory.append_fact(&mark(job), 0, Urgency::FinishLens)
}

/// Logs about another job, and has it all acknowledged.
fn lap(memory: &mut Memory<Store>, many: u32) {
    for _ in 0..many {
        let seq = log(memory, JobId(5)).unwrap();
        memory.acknowledge(seq).unwrap();
    }
}

#[test]
fn cards_take_their_slots_in_turn_from_one_start_to_the_next() {
    for held in [0, 1] {
        let (mut memory, mut worn) = (begun(), [0_u32; 3]);
        (0..held).for_each(|n| _ = memory.store_card(JobId(n), 1, 0, &[200; 70]).unwrap());
        for revision in 1..=12_u32 {
            assert_eq!(memory.store_card(JOB, revision, 0, &[revision as u8; 70]), Ok(true));
            for (slot, worn) in (0..).zip(&mut worn) {
                let page = usize::from(layout().card_page(slot, 1));
                *worn += u32::from(memory.pages.content()[page][0] == revision as u8);
            }
            if revision % 5 == 0 {
                memory = reopen(memory).0;
            }
            if held == 0 && revision % 3 == 0 {
                memory.drop_card(JOB).unwrap();
            }
        }
        let (free, used) = (3 - held as u32, worn.iter().filter(|times| **times > 0));
        assert!(used.clone().count() as u32 == free && used.max().unwrap() - 12 / free <= 1, "{worn:?}");
    }
}

#[test]
fn a_mark_is_written_for_several_acknowledgements_and_what_it_leaves_out_is_held_once_more() {
    let mut memory = begun();
    for n in 0..20 {
        append(&mut memory, n).unwrap();
        let before = memory.pages.writes();
        memory.acknowledge_lightly(n + 1).unwrap();
        assert_eq!(memory.pages.writes() - before, u32::from((n + 1) % MARK_EVERY == 0), "{n}");
        assert_eq!((memory.acknowledged(), memory.unacknowledged()), (n + 1, 0));
    }
    let (mut memory, _) = reopen(memory);
    let marked = 20 / MARK_EVERY * MARK_EVERY;
    assert_eq!((memory.acknowledged(), memory.unacknowledged()), (marked, 20 - marked));
    memory.acknowledge_lightly(20).unwrap();
    assert_eq!(memory.unacknowledged(), 0);
    memory.mark().unwrap();
    let writes = memory.pages.writes();
    memory.mark().unwrap();
    assert_eq!(memory.pages.writes(), writes, "it is marked already");
    assert_eq!(reopen(memory).0.unacknowledged(), 0);
}

#[test]
fn when_its_numbers_are_used_up_it_is_marked_at_once_what_the_book_has() {
    let mut memory = begun();
    fill(&mut memory, 0..3);
    memory.journal.boot = u16::MAX;
    memory.acknowledge_lightly(3).unwrap();
    assert_eq!(memory.marks.newest().map(|mark| mark.acknowledged), Some(3));
}

#[test]
fn a_record_that_a_card_does_not_include_is_not_overwritten_until_one_does() {
    let full = || Err(AppendError::Full { unacknowledged: 0 });
    let mut memory = begun();
    lap(&mut memory, 4);
    assert_eq!(log(&mut memory, JOB), Ok(5));
    memory.acknowledge(5).unwrap();
    memory.store_card(JOB, 1, 4, &[]).unwrap();
    lap(&mut memory, LAP - 1);
    assert_eq!(memory.next(), 5 + LAP);
    assert_eq!(log(&mut memory, JobId(5)), full());
    let (mut memory, _) = reopen(memory);
    let info = CardInfo { job: JOB, revision: 1, len: 0, includes: 4 };
    assert_eq!((log(&mut memory, JobId(5)), memory.find_card(JOB)), (full(), Some(info)));
    assert!(memory.read(5).unwrap().is_some());
    memory.store_card(JOB, 2, 5, &[]).unwrap();
    assert_eq!(log(&mut memory, JobId(5)), Ok(5 + LAP));
}

#[test]
fn the_reserve_is_for_the_lens_in_hand_before_such_a_record_too() {
    let mut memory = begun();
    assert_eq!(log(&mut memory, JOB), Ok(1));
    memory.acknowledge(1).unwrap();
    memory.store_card(JOB, 1, 0, &[]).unwrap();
    lap(&mut memory, LAP - u32::from(RESERVE));
    assert_eq!(append(&mut memory, 9), Err(AppendError::Full { unacknowledged: 0 }));
    lap(&mut memory, u32::from(RESERVE) - 1);
    assert_eq!(log(&mut memory, JobId(5)), Err(AppendError::Full { unacknowledged: 0 }));
    memory.drop_card(JOB).unwrap();
    assert_eq!(log(&mut memory, JobId(5)), Ok(1 + LAP));
}

/// Two jobs that come to the same byte of what a page is about.
#[test]
fn a_record_of_a_job_that_only_looks_like_one_with_a_card_is_overwritten() {
    let alike = (1..).map(JobId).find(|job| {
        let mut subjects = Subjects::unknown();
        let mut buffer = [0; MAX_ENCODED];
        let data = mark(*job).encode(&mut buffer).unwrap().try_into().unwrap();
        subjects.tell(0, &Stored { seq: 1, boot: 1, ticks: 0, kind: mark(*job).kind(), data });
        *job != JOB && subjects.may_be(0, Subject::Job(JOB))
    });
    let mut memory = begun();
    assert_eq!(log(&mut memory, alike.unwrap()), Ok(1));
    memory.acknowledge(1).unwrap();
    memory.store_card(JOB, 1, 0, &[]).unwrap();
    lap(&mut memory, LAP + 3);
}
