//! Peers of another version, of another session, or of no sense.

use super::bench::{Bench, UTC_MS};
use super::sample::{Chance, card};
use crate::link::frame::{Decoder, Frame, MAX_WIRE};
use crate::link::message::{FROM_KEYPAD, IGNORABLE};
use crate::link::payload::{Ack, Hello, HostNak, Pull};
use crate::link::{CardParts, Event, HostSession, KeypadSession, Message, Nak, Reason};
use crate::record::JournalId;
use std::vec::Vec;

pub(super) fn wire(message: &Message, session: u16, tag: u8) -> Vec<u8> {
    message.to_wire(session, tag, &mut [0; MAX_WIRE]).to_vec()
}

fn strange(kind: u8, session: u16) -> Vec<u8> {
    Frame { kind, tag: 40, session, payload: &[1, 2, 3] }.encode(&mut [0; MAX_WIRE]).unwrap().to_vec()
}

pub(super) fn messages(bytes: &[u8]) -> Vec<(u16, u8, Message)> {
    let (mut decoder, mut rest, mut found) = (Decoder::new(), bytes, Vec::new());
    while let Some(frame) = decoder.next(&mut rest) {
        found.push((frame.session, frame.tag, Message::decode(frame.kind, frame.payload).unwrap()));
    }
    found
}

/// What the keypad of `bench` answers to `bytes`, its hints left out.
fn ask(bench: &mut Bench, bytes: &[u8]) -> Vec<(u16, u8, Message)> {
    let (mut answers, mut buffer) = (Vec::new(), [0; MAX_WIRE]);
    bench.keypad.feed(&mut bench.memory, bytes, 10);
    while let Some(bytes) = bench.keypad.poll_transmit(&mut bench.memory, &mut buffer, 10) {
        answers.extend(messages(bytes));
    }
    answers.retain(|(_, _, message)| !matches!(message, Message::Status(_)));
    answers
}

fn hello(lowest: u8, highest: u8) -> Message {
    Message::Hello(Hello { lowest, highest, journal: JournalId(5), utc_ms: UTC_MS })
}

/// The code of the refused message and why.
fn refusal(answers: &[(u16, u8, Message)]) -> Option<(u8, Reason)> {
    match answers {
        [(_, _, Message::Nak(nak))] => Some((nak.of, nak.reason)),
        _ => None,
    }
}

#[test]
fn the_keypad_passes_over_what_it_may_and_refuses_what_it_may_not() {
    let mut bench = Bench::new(1);
    ask(&mut bench, &wire(&hello(1, 1), 9, 1));
    assert_eq!(refusal(&ask(&mut bench, &strange(0x20, 9))), Some((0x20, Reason::UnknownMessage)));
    assert_eq!(ask(&mut bench, &strange(0x20 | IGNORABLE, 9)), []);
    // Its own messages, which an echoing line brings back, known or not.
    assert_eq!(ask(&mut bench, &strange(0x20 | FROM_KEYPAD, 9)), []);
    assert_eq!(ask(&mut bench, &strange(0x41, 9)), []);
    let cut =
        Frame { kind: 0x02, tag: 4, session: 9, payload: &[] }.encode(&mut [0; MAX_WIRE]).unwrap().to_vec();
    assert_eq!(refusal(&ask(&mut bench, &cut)), Some((0x02, Reason::Malformed)));
    let nak = Nak { of: 1, reason: Reason::Memory, lowest: 1, highest: 1 };
    assert_eq!(
        ask(&mut bench, &wire(&Message::HostNak(HostNak(nak)), 9, 1)),
        [],
        "a refusal is not answered"
    );
}

#[test]
fn the_host_passes_over_what_it_may_and_refuses_what_it_may_not() {
    let mut host = HostSession::new(JournalId(5), 8, UTC_MS, 0);
    let mut buffer = [0; MAX_WIRE];
    let (session, ..) = messages(host.poll_transmit(&mut buffer, 0).unwrap())[0];
    host.feed(&strange(0x60 | IGNORABLE, session), 1);
    host.feed(&strange(0x20, session), 1);
    host.feed(&strange(0x60, session + 1), 1);
    assert_eq!(host.poll_transmit(&mut buffer, 1), None);
    host.feed(&strange(0x60, session), 1);
    let sent = messages(host.poll_transmit(&mut buffer, 1).unwrap());
    let [(_, 40, Message::HostNak(HostNak(nak)))] = &sent[..] else { panic!("{sent:?}") };
    assert_eq!((nak.of, nak.reason), (0x60, Reason::UnknownMessage));
    assert_eq!(host.poll_event(), None);
}

#[test]
fn two_ends_without_a_common_version_say_so_once() {
    let mut bench = Bench::new(2);
    for (lowest, highest, common) in [(2, 9, false), (0, 0, false), (1, 9, true), (0, 1, true)] {
        let answers = ask(&mut bench, &wire(&hello(lowest, highest), 9, 1));
        if common {
            let [(9, 1, Message::HelloAck(ack))] = &answers[..] else { panic!("{answers:?}") };
            assert_eq!(ack.protocol, 1);
        } else {
            assert_eq!(refusal(&answers), Some((0x01, Reason::Protocol)));
        }
    }
    let mut host = HostSession::new(JournalId(5), 8, UTC_MS, 0);
    let (mut now_ms, mut hellos, mut told) = (0, 0, Vec::new());
    let mut buffer = [0; MAX_WIRE];
    while now_ms < 60_000 {
        if let Some(bytes) = host.poll_transmit(&mut buffer, now_ms) {
            let (session, tag, _) = messages(bytes)[0];
            let nak = Nak { of: 1, reason: Reason::Protocol, lowest: 2, highest: 3 };
            host.feed(&wire(&Message::Nak(nak), session, tag), now_ms);
            hellos += 1;
        }
        told.extend(core::iter::from_fn(|| host.poll_event()));
        now_ms += 50;
    }
    assert_eq!(told, [Event::Refused { lowest: 2, highest: 3 }]);
    assert!((10..20).contains(&hellos), "{hellos}");
}

#[test]
fn a_keypad_without_a_session_asks_for_a_hello() {
    let mut bench = Bench::new(3);
    let pull = Message::Pull(Pull { from: 1 });
    let answers = ask(&mut bench, &wire(&pull, 9, 5));
    assert_eq!(refusal(&answers), Some((0x02, Reason::NoSession)));
    assert_eq!((answers[0].0, answers[0].1), (9, 5), "told to the session that asked");
    ask(&mut bench, &wire(&hello(1, 1), 9, 1));
    assert!(matches!(ask(&mut bench, &wire(&pull, 9, 5))[..], [(9, 5, Message::Batch(_))]));
    assert_eq!(refusal(&ask(&mut bench, &wire(&pull, 8, 5))), Some((0x02, Reason::NoSession)));
}

#[test]
fn an_acknowledgement_holds_only_for_this_journal_and_within_its_numbers() {
    let mut bench = Bench::new(4);
    for _ in 0..5 {
        bench.memory.append();
    }
    (bench.memory.acknowledged, bench.memory.committed) = (2, 5);
    ask(&mut bench, &wire(&hello(1, 1), 9, 1));
    let mut ack = |journal, upto| {
        let message = Message::Ack(Ack { journal: JournalId(journal), upto });
        let answers = ask(&mut bench, &wire(&message, 9, 2));
        (refusal(&answers).map(|refusal| refusal.1), bench.memory.acknowledged)
    };
    assert_eq!(ack(78, 3), (Some(Reason::Journal), 2));
    assert_eq!(ack(77, 1), (Some(Reason::Range), 2));
    assert_eq!(ack(77, 6), (Some(Reason::Range), 2));
    assert_eq!(ack(77, u32::MAX), (Some(Reason::Range), 2));
    assert_eq!(ack(77, 2), (None, 2));
    assert_eq!(ack(77, 4), (None, 4));
    assert_eq!(ack(77, 4), (None, 4));
    assert_eq!(ack(77, 5), (None, 5));
}

#[test]
fn bytes_of_a_departed_console_acknowledge_and_store_nothing() {
    let mut bench = Bench::new(5);
    bench.memory.append();
    bench.run(1_000);
    bench.assert_complete();
    bench.memory.append();
    bench.memory.committed = 2;
    // What an earlier client left in the line, under its own session.
    let stale = Message::Ack(Ack { journal: JournalId(77), upto: 2 });
    let piece = CardParts::new(&card(1, 1)).part(0).unwrap();
    for session in [0, 1, 2, 3] {
        bench.to_keypad.inject(&wire(&stale, session, 3));
        bench.to_keypad.inject(&wire(&Message::CardPart(piece.clone()), session, 4));
    }
    bench.step();
    assert_eq!(bench.memory.acknowledged, 1);
    // A stale hello takes the session; the console notices and says hello itself.
    bench.to_keypad.inject(&wire(&hello(1, 1), 3, 1));
    bench.run(3_000);
    bench.assert_complete();
    assert!(bench.memory.cards.is_empty());
}

#[test]
fn a_late_answer_is_not_taken_for_that_of_another_request() {
    let mut bench = Bench::new(6);
    bench.run(1_000);
    bench.host.send_card(&card(1, 1)).unwrap();
    let (session, tag) = loop {
        bench.step();
        let sent = messages(&bench.to_keypad.under_way());
        if let Some((session, tag, _)) = sent.iter().find(|sent| matches!(sent.2, Message::CardPart(_))) {
            break (*session, *tag);
        }
    };
    let nak = Nak { of: 0x05, reason: Reason::CardsFull, lowest: 1, highest: 1 };
    // Of this session but another request, and the other way round.
    for other in (0..=u8::MAX).filter(|other| *other != tag) {
        bench.to_host.inject(&wire(&Message::Nak(nak), session, other));
    }
    for other in [0, 1, session - 1, session + 1] {
        bench.to_host.inject(&wire(&Message::Nak(nak), other, tag));
    }
    bench.run(3_000);
    assert_eq!(bench.count(|event| matches!(event, Event::CardRefused { .. })), 0);
    assert_eq!(bench.memory.cards, [card(1, 1)]);
    assert_eq!(bench.count(|event| matches!(event, Event::Connected(_))), 1);
}

#[test]
fn an_echoing_line_is_no_keypad() {
    let mut host = HostSession::new(JournalId(5), 8, UTC_MS, 0);
    let mut keypad = KeypadSession::new("a name that is far too long for it", "0.1.0");
    let mut memory = super::bench::Memory { next: 1, ..Default::default() };
    let mut buffer = [0; MAX_WIRE];
    for now_ms in (0..10_000).step_by(50) {
        while let Some(bytes) = host.poll_transmit(&mut buffer, now_ms).map(<[u8]>::to_vec) {
            host.feed(&bytes, now_ms);
        }
        while let Some(bytes) = keypad.poll_transmit(&mut memory, &mut buffer, now_ms).map(<[u8]>::to_vec) {
            keypad.feed(&mut memory, &bytes, now_ms);
        }
        if let Some(event) = host.poll_event() {
            assert_eq!(event, Event::Lost);
        }
    }
    assert!(!keypad.console_present(10_000));
}

#[test]
fn frames_of_chance_in_the_right_session_do_no_harm() {
    for seed in 0..200 {
        let mut bench = Bench::new(seed);
        for _ in 0..10 {
            bench.memory.append();
        }
        bench.run(20);
        let mut chance = Chance(seed + 1000);
        for _ in 0..40 {
            let payload: Vec<u8> = (0..chance.below(60)).map(|_| chance.below(256) as u8).collect();
            let (kind, _) = Message::LONGEST[chance.below(Message::LONGEST.len() as u64) as usize];
            // Anything but what would be obeyed by right: an acknowledgement, and a card's end.
            if matches!(kind, 0x03 | 0x43 | 0x42 | 0x06) {
                continue;
            }
            for session in [0, chance.below(0x1_0000) as u16] {
                let frame = Frame { kind, tag: chance.below(12) as u8, session, payload: &payload };
                let bytes = frame.encode(&mut [0; MAX_WIRE]).unwrap().to_vec();
                bench.to_host.inject(&bytes);
                bench.to_keypad.inject(&bytes);
            }
            bench.run(50);
        }
        bench.run(12_000);
        bench.assert_complete();
    }
}
