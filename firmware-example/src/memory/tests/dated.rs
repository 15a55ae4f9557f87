//! What a clock said: before the first record of its start, and never in the place of one.

use super::*;
use bevelbook_core::record::{Bench, Clock};

const NOON: Clock = Clock { utc_s: Some(1_795_867_200) };

fn started(memory: Memory<Store>, clock: Clock) -> Memory<Store> {
    let mut memory = reopen(memory).0;
    memory.started_at(clock);
    memory
}

/// Number, start and ticks of what clocks said.
fn clocks(memory: &mut Memory<Store>) -> Vec<(u32, u32, u32, Option<u32>)> {
    let said = |record: Stored| match record.fact() {
        Ok(Bench::Clock(clock)) => Some((record.seq, record.boot, record.ticks, clock.utc_s)),
        _ => None,
    };
    records_after(memory, 0).into_iter().filter_map(said).collect()
}

#[test]
fn it_stands_once_before_the_first_record_of_a_start_and_of_no_start_without_one() {
    let mut memory = started(begun(), NOON);
    assert_eq!(append(&mut memory, 1), Ok(2));
    assert_eq!(append(&mut memory, 2), Ok(3));
    let mut memory = started(started(memory, NOON), Clock { utc_s: None });
    assert_eq!(append(&mut memory, 3), Ok(5));
    let mut memory = reopen(memory).0;
    assert_eq!(append(&mut memory, 4), Ok(6));
    assert_eq!(clocks(&mut memory), [(1, 2, 0, NOON.utc_s), (4, 4, 0, None)]);
    assert_eq!(readable(&mut memory), (1..=6).collect::<Vec<_>>());
}

#[test]
fn without_room_for_it_the_lens_in_hand_is_finished_and_it_follows_when_there_is() {
    let mut memory = begun();
    fill(&mut memory, 1..LAP + 1 - u32::from(RESERVE));
    let mut memory = started(memory, NOON);
    fill(&mut memory, 40..42);
    assert_eq!(clocks(&mut memory), []);
    memory.acknowledge(12).unwrap();
    let next = memory.next();
    assert_eq!(append(&mut memory, 42), Ok(next + 1));
    assert_eq!(clocks(&mut memory), [(next, 2, 0, NOON.utc_s)]);
}

#[test]
fn while_it_is_open_whether_it_is_saved_nothing_else_is_and_then_each_is_once() {
    let (mut clock_open, mut fact_open) = (0, 0);
    for seed in 0..200 {
        let mut memory = started(begun(), NOON);
        memory.pages.seed(seed);
        memory.pages.leave_unanswered(3 + seed % 3);
        let first = append(&mut memory, 1);
        let settled = (0..500).find_map(|_| memory.settle().ok()).expect("it answers now and then");
        let open = settled.and_then(|record| record.fact().ok());
        memory.pages.leave_unanswered(0);
        match first {
            Ok(2) => assert_eq!(open, None),
            // The fact was not taken.
            Err(AppendError::Unsettled) => {
                assert_eq!((open, append(&mut memory, 1)), (Some(Bench::Clock(NOON)), Ok(2)));
                clock_open += 1;
            }
            Err(AppendError::Storage(_)) => fact_open += 1,
            other => panic!("{other:?}"),
        }
        assert_eq!((clocks(&mut memory).len(), readable(&mut memory)), (1, Vec::from([1, 2])), "seed {seed}");
    }
    assert!(clock_open > 50 && fact_open > 30, "{clock_open} and {fact_open} of 200 times open");
}
