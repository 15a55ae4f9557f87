//! Answers that have the right session and tag, and still are none to what was asked.

use super::sample::wire_record;
use super::strangers::{messages, wire};
use crate::link::frame::MAX_WIRE;
use crate::link::payload::{Batch, HelloAck, Pull};
use crate::link::{Event, HostSession, Message, RecordRun};
use crate::record::JournalId;
use core::iter::from_fn;
use std::vec::Vec;

const JOURNAL: JournalId = JournalId(77);

/// The message that the host sends now, with its session and tag.
fn asked(host: &mut HostSession, now_ms: u64) -> (u16, u8, Message) {
    let mut sent = messages(host.poll_transmit(&mut [0; MAX_WIRE], now_ms).unwrap());
    assert_eq!(sent.len(), 1);
    sent.remove(0)
}

/// A host that has committed the first three of nine records and asks for the fourth.
fn pulling() -> (HostSession, u16, u8) {
    let mut host = HostSession::new(JournalId(5), 8, 0, 0);
    let (session, tag, hello) = asked(&mut host, 0);
    assert!(matches!(hello, Message::Hello(_)));
    let ack = HelloAck {
        protocol: 1,
        journal: JOURNAL,
        boot: 1,
        ticks: 0,
        oldest: 1,
        next: 10,
        acknowledged: 3,
        name: "bench".try_into().unwrap(),
        card_slots: 0,
        firmware: "1".try_into().unwrap(),
        station: 0,
    };
    host.feed(&wire(&Message::HelloAck(ack), session, tag), 1);
    assert!(matches!(host.poll_event(), Some(Event::Connected(_))));
    host.resume(3, 4);
    while host.poll_event().is_some() {}
    let (session, tag, pull) = asked(&mut host, 2);
    assert_eq!(pull, Message::Pull(Pull { from: 4 }));
    (host, session, tag)
}

fn batch(from: u32, seqs: &[u32], through: u32) -> Batch {
    let mut records = RecordRun::new();
    seqs.iter().for_each(|seq| assert!(records.push(&wire_record(*seq))));
    Batch { journal: JOURNAL, from, through, next: 10, records }
}

/// What comes of `batch` as the answer: the events, and whether the host says hello again rather than going on.
fn taken(batch: Batch) -> (Vec<Event>, bool) {
    let (mut host, session, tag) = pulling();
    host.feed(&wire(&Message::Batch(batch), session, tag), 3);
    let events = from_fn(|| host.poll_event()).collect();
    let begins_again = matches!(asked(&mut host, 5_000).2, Message::Hello(_));
    (events, begins_again)
}

#[test]
fn a_batch_that_answers_the_question_is_handed_out() {
    let (events, begins_again) = taken(batch(4, &[4, 6], 7));
    let numbers: Vec<(u32, u32)> = events
        .iter()
        .map(|event| match event {
            Event::Records { records, .. } => (records.iter().next().unwrap().seq, 0),
            Event::Gap { from, to, .. } => (*from, *to),
            other => panic!("{other:?}"),
        })
        .collect();
    assert_eq!((numbers, begins_again), (std::vec![(4, 0), (5, 5), (6, 0)], false));
}

#[test]
fn a_batch_of_other_numbers_than_were_asked_for_is_none() {
    // What is skipped would be committed as a gap, and what is doubled a second time.
    for other in [batch(5, &[5, 6], 7), batch(7, &[], 10), batch(1, &[1, 2, 3, 4], 5), batch(3, &[], 6)] {
        assert_eq!(taken(other.clone()), (Vec::new(), true), "{other:?}");
    }
}

#[test]
fn a_batch_that_does_not_hang_together_is_none() {
    let foreign = Batch { journal: JournalId(78), ..batch(4, &[4], 5) };
    let beyond_its_next = Batch { next: 6, ..batch(4, &[4], 8) };
    let wrong = [
        foreign,
        beyond_its_next,
        batch(4, &[3, 4], 6),
        batch(4, &[4, 4], 6),
        batch(4, &[5, 4], 6),
        batch(4, &[4, 6], 6),
        batch(4, &[], 3),
    ];
    for other in wrong {
        assert_eq!(taken(other.clone()), (Vec::new(), true), "{other:?}");
    }
}
