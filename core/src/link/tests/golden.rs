//! The exact bytes of every message and of cards, protocol version 1: frozen. A failing test here means that the code is
//! wrong, not the file.

use super::sample::{Chance, card, every_message, pass, reading, recorded};
use crate::frozen::{self, hex};
use crate::link::frame::{Decoder, MAX_PAYLOAD, MAX_WIRE};
use crate::link::message::{FROM_KEYPAD, IGNORABLE};
use crate::link::{Card, MAX_CARD, MAX_PARTS, Message, RecordRun};
use crate::prescription::Eye;
use crate::record::{JobId, MAX_ENCODED, Stage, Stored};
use crate::sizing::Outcome;
use std::collections::HashSet;
use std::format;
use std::string::String;
use std::vec::Vec;

const SESSION: u16 = 0x1234;
const TAG: u8 = 9;

fn wire(message: &Message) -> Vec<u8> {
    let mut buffer = [0; MAX_WIRE];
    message.to_wire(SESSION, TAG, &mut buffer).to_vec()
}

#[test]
fn every_message_has_the_bytes_of_version_1() {
    let made: Vec<String> = every_message()
        .iter()
        .map(|message| format!("{:02x} {}", message.kind(), hex(&wire(message))))
        .collect();
    frozen::holds("wire", &made);
}

#[test]
fn cards_have_the_bytes_of_version_1() {
    let bare = Card { limits: None, advice: None, heights: None, ..card(2, 9) };
    let cards = [card(1, 7), bare, Card { gone: true, ..card(3, 12) }];
    frozen::holds("cards", &cards.each_ref().map(|card| hex(&card.encode())));
    for (line, card) in frozen::section("cards").into_iter().zip(cards) {
        assert_eq!(Card::decode(&frozen::bytes(line)), Ok(card));
    }
}

#[test]
fn every_message_comes_back_from_its_bytes() {
    for message in every_message() {
        let bytes = wire(&message);
        let mut decoder = Decoder::new();
        let mut rest = &bytes[..];
        let frame = decoder.next(&mut rest).unwrap();
        assert_eq!((frame.session, frame.tag, rest.len()), (SESSION, TAG, 0));
        assert_eq!(Message::decode(frame.kind, frame.payload), Ok(message));
    }
}

#[test]
fn every_code_is_in_the_table_once_and_every_longest_message_fits() {
    let codes: HashSet<u8> = every_message().iter().map(Message::kind).collect();
    assert_eq!(codes.len(), Message::LONGEST.len());
    for (code, longest) in Message::LONGEST {
        assert!(codes.contains(code));
        assert!(*longest <= MAX_PAYLOAD, "{code:#x} takes {longest} of {MAX_PAYLOAD} bytes");
        let request = code & !FROM_KEYPAD;
        assert!(*code & IGNORABLE != 0 || codes.contains(&request), "{code:#x} answers nothing");
    }
    std::println!("longest payloads: {:x?}", Message::LONGEST);
}

#[test]
fn a_field_added_by_a_later_version_is_passed_over_and_a_missing_one_is_not() {
    for message in every_message() {
        let bytes = wire(&message);
        let mut decoder = Decoder::new();
        let frame = decoder.next(&mut &bytes[..]).unwrap();
        let mut longer = frame.payload.to_vec();
        longer.extend([1, 2, 3]);
        assert_eq!(Message::decode(frame.kind, &longer), Ok(message));
        let shorter = &frame.payload[..frame.payload.len() - 1];
        assert!(Message::decode(frame.kind, shorter).is_err());
    }
}

#[test]
fn no_payload_of_chance_makes_a_decoder_fall_over() {
    let mut chance = Chance(1);
    for _ in 0..20_000 {
        let payload: Vec<u8> =
            (0..chance.below(MAX_PAYLOAD as u64)).map(|_| chance.below(256) as u8).collect();
        for (code, _) in Message::LONGEST {
            let _ = Message::decode(*code, &payload);
        }
    }
}

#[test]
fn what_a_record_and_a_card_cost_on_the_wire() {
    let job = JobId(0x9e37_79b9_7f4a_7c15);
    let facts = [pass(job, Eye::Right, 350, Outcome::JustTooBig), reading(job, Eye::Right, Stage::Uncut)];
    for fact in &facts {
        let mut run = RecordRun::new();
        let count = (900..).take_while(|seq| run.push(&recorded(*seq, fact))).count();
        let data = recorded(900, fact).data.len();
        let each = run.packed_len() / count;
        std::println!("kind {}: {data} B of data, {each} B packed, {count} to a frame", fact.kind());
        assert!(count >= 4);
    }
    // A pair as the keypad logs it: 6 passes between 4 readings.
    let logged: Vec<Stored> = (900..910).map(|seq| recorded(seq, &facts[usize::from(seq % 5 > 2)])).collect();
    let (mut frames, mut rest) = (0, &logged[..]);
    let mut bytes = 0;
    while !rest.is_empty() {
        let mut run = RecordRun::new();
        let taken = rest.iter().take_while(|record| run.push(record)).count();
        let batch = crate::link::payload::Batch {
            journal: crate::record::JournalId(0x9e37_79b9_7f4a_7c15),
            from: rest[0].seq,
            through: rest[taken - 1].seq + 1,
            next: 910,
            records: run,
        };
        bytes += wire(&Message::Batch(batch)).len();
        frames += 1;
        rest = &rest[taken..];
    }
    std::println!("{} records in {frames} frames, {bytes} B: {} B a record", logged.len(), bytes / 10);
    std::println!(
        "longest record {} B of data; card {} of {MAX_CARD} B, {MAX_PARTS} parts at most",
        MAX_ENCODED,
        card(0x9e37_79b9_7f4a_7c15, 7).encode().len()
    );
    assert!(bytes / logged.len() <= 64);
}
