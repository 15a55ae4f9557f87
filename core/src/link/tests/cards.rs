//! Cards over a bad line.

use super::bench::{Bench, Faults};
use super::sample::{STATION, card};
use crate::link::{Event, Reason, Station};
use crate::record::JobId;

#[test]
fn cards_arrive_whole_on_a_bad_line_and_a_dropped_one_is_gone() {
    for seed in 0..40 {
        let mut bench = Bench::new(seed);
        bench.faults = Faults::ROUGH;
        for job in 1..=4 {
            bench.host.send_card(&card(job, 1)).unwrap();
        }
        for _ in 0..30 {
            if bench.chance.one_in(3) {
                bench.memory.append();
            }
            if bench.chance.one_in(10) {
                bench.reboot_keypad();
            }
            bench.run(1_000);
        }
        bench.faults = Faults::default();
        bench.run(20_000);
        assert_eq!(bench.memory.cards.len(), 4, "{seed}");
        for job in 1..=4 {
            assert!(bench.memory.cards.contains(&card(job, 1)));
        }
        bench.host.send_card(&card(2, 2)).unwrap();
        bench.host.drop_card(JobId(3)).unwrap();
        bench.host.list_cards();
        bench.run(2_000);
        let held = bench.memory.cards.iter().map(|card| (card.job.0, card.revision));
        let mut held: std::vec::Vec<_> = held.collect();
        held.sort_unstable();
        assert_eq!(held, [(1, 1), (2, 2), (4, 1)]);
        bench.assert_complete();
    }
}

#[test]
fn a_full_keypad_refuses_the_card_that_is_too_much_and_no_other() {
    let mut bench = Bench::new(9);
    for job in 1..=6 {
        bench.host.send_card(&card(job, 1)).unwrap();
    }
    bench.run(3_000);
    let refused = bench.events.iter().filter_map(|event| match event {
        Event::CardRefused { job, reason: Reason::CardsFull } => Some(job.0),
        _ => None,
    });
    assert!(refused.eq([5, 6]));
    bench.host.drop_card(JobId(1)).unwrap();
    bench.host.send_card(&card(5, 1)).unwrap();
    bench.run(1_000);
    assert!(bench.memory.cards.contains(&card(5, 1)));
}

#[test]
fn the_latest_card_of_a_job_takes_the_place_of_one_that_waits() {
    let mut bench = Bench::new(10);
    bench.host.send_card(&card(9, 1)).unwrap();
    for revision in 1..=50 {
        bench.host.send_card(&card(1, revision)).unwrap();
    }
    bench.run(2_000);
    assert_eq!(bench.memory.cards, [card(9, 1), card(1, 50)]);
    assert_eq!(bench.memory.card_writes, 2);
}

#[test]
fn what_the_keypad_holds_is_listed_in_pages() {
    let mut bench = Bench::new(11);
    bench.memory.slots = 40;
    bench.memory.cards = (1..=33).map(|job| card(job, job as u32)).collect();
    bench.run(500);
    bench.host.list_cards();
    bench.run(500);
    let pages: std::vec::Vec<_> = bench
        .events
        .iter()
        .filter_map(|event| match event {
            Event::CardsHeld { held, more } => Some((held.len(), *more)),
            _ => None,
        })
        .collect();
    assert_eq!(pages, [(14, true), (14, true), (5, false)]);
}

#[test]
fn a_card_that_left_the_keypad_is_stored_when_it_is_sent_again() {
    let mut bench = Bench::new(12);
    bench.host.send_card(&card(1, 1)).unwrap();
    bench.host.drop_card(JobId(1)).unwrap();
    bench.run(1_000);
    bench.host.send_card(&card(1, 1)).unwrap();
    bench.run(1_000);
    assert_eq!(bench.memory.cards, [card(1, 1)]);
    // The same after the keypad itself lost it, in a later session.
    bench.memory.cards.clear();
    bench.kill_console();
    bench.host.send_card(&card(1, 1)).unwrap();
    bench.run(1_000);
    assert_eq!(bench.memory.cards, [card(1, 1)]);
}

#[test]
fn the_station_comes_over_and_again_when_it_changed() {
    let newer = Station { revision: 9, dial: None, ..STATION };
    for seed in 0..20 {
        let mut bench = Bench::new(seed);
        bench.faults = Faults::ROUGH;
        bench.host.send_station(STATION);
        bench.run(if seed % 2 == 0 { 60_000 } else { 0 });
        bench.host.send_station(newer);
        bench.run(60_000);
        assert_eq!(bench.memory.station, Some(newer), "{seed}");
        assert!(bench.count(|event| matches!(event, Event::StationStored { revision: 9 })) > 0);
    }
}
