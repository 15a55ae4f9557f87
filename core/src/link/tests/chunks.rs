//! Frames out of a stream that was cut, soiled or damaged.

use super::sample::{Chance, every_message};
use crate::link::frame::{Decoder, Frame, MAX_PAYLOAD, MAX_RAW, MAX_RUN, MAX_WIRE, TooLong};
use std::vec::Vec;

type Seen = (u8, u8, u16, Vec<u8>);

fn stream() -> (Vec<u8>, Vec<Seen>) {
    let (mut bytes, mut seen) = (Vec::new(), Vec::new());
    for (tag, message) in (1..).zip(every_message()) {
        let mut buffer = [0; MAX_WIRE];
        let wire = message.to_wire(77, tag, &mut buffer);
        bytes.extend_from_slice(wire);
        let mut decoder = Decoder::new();
        seen.extend(all(&mut decoder, wire));
    }
    assert_eq!(seen.len(), every_message().len());
    (bytes, seen)
}

fn all(decoder: &mut Decoder, mut bytes: &[u8]) -> Vec<Seen> {
    let mut seen = Vec::new();
    while let Some(Frame { kind, tag, session, payload }) = decoder.next(&mut bytes) {
        seen.push((kind, tag, session, payload.to_vec()));
    }
    seen
}

/// Whether `part` can be had from `whole` by leaving some out.
fn is_part_of(part: &[Seen], whole: &[Seen]) -> bool {
    let mut whole = whole.iter();
    part.iter().all(|one| whole.any(|other| other == one))
}

#[test]
fn a_stream_may_be_cut_anywhere() {
    let (bytes, whole) = stream();
    for cut in 0..=bytes.len() {
        let mut decoder = Decoder::new();
        let mut seen = all(&mut decoder, &bytes[..cut]);
        seen.extend(all(&mut decoder, &bytes[cut..]));
        assert_eq!((seen, decoder.dropped()), (whole.clone(), 0), "{cut}");
    }
}

#[test]
fn a_stream_may_come_in_pieces_of_any_length() {
    let (bytes, whole) = stream();
    for seed in 0..500 {
        let mut chance = Chance(seed);
        let most = 1 + chance.below(300);
        let (mut decoder, mut seen, mut rest) = (Decoder::new(), Vec::new(), &bytes[..]);
        while !rest.is_empty() {
            let (piece, later) = rest.split_at(rest.len().min(chance.below(most + 1) as usize));
            seen.extend(all(&mut decoder, piece));
            rest = later;
        }
        assert_eq!(seen, whole, "{seed}");
    }
}

#[test]
fn garbage_before_between_and_behind_costs_nothing_but_itself() {
    let (_, whole) = stream();
    for seed in 0..500 {
        let mut chance = Chance(seed);
        let mut garbage = |bytes: &mut Vec<u8>| {
            for _ in 0..chance.below(900) {
                bytes.push(chance.below(256) as u8);
            }
        };
        let mut bytes = Vec::new();
        for (tag, message) in (1..).zip(every_message()) {
            garbage(&mut bytes);
            bytes.extend_from_slice(message.to_wire(77, tag, &mut [0; MAX_WIRE]));
        }
        garbage(&mut bytes);
        let mut decoder = Decoder::new();
        assert_eq!(all(&mut decoder, &bytes), whole, "{seed}");
        assert!(decoder.dropped() > 0);
    }
}

#[test]
fn no_single_damaged_bit_makes_another_message() {
    let (bytes, whole) = stream();
    for bit in 0..bytes.len() * 8 {
        let mut damaged = bytes.clone();
        damaged[bit / 8] ^= 1 << (bit % 8);
        let seen = all(&mut Decoder::new(), &damaged);
        assert!(is_part_of(&seen, &whole), "{bit}");
        assert!(seen.len() + 2 >= whole.len(), "{bit}: at most the two frames beside it are lost");
    }
}

#[test]
fn no_lost_or_doubled_byte_makes_another_message() {
    let (bytes, whole) = stream();
    for at in 0..bytes.len() {
        let mut lost = bytes.clone();
        lost.remove(at);
        assert!(is_part_of(&all(&mut Decoder::new(), &lost), &whole), "{at}");
        let mut doubled = bytes.clone();
        doubled.insert(at, bytes[at]);
        assert!(is_part_of(&all(&mut Decoder::new(), &doubled), &whole), "{at}");
    }
}

#[test]
fn a_run_without_an_end_is_counted_while_it_goes_on() {
    let mut decoder = Decoder::new();
    for _ in 0..3 * MAX_RUN {
        assert!(decoder.push(0x55).is_none());
    }
    assert_eq!(decoder.dropped(), 3);
    // What follows on the run without a `00` is spoiled with it; behind a `00` all is well.
    let (bytes, whole) = stream();
    assert_eq!(all(&mut decoder, &bytes[1..]), whole[1..]);
    assert_eq!(decoder.dropped(), 4);
}

#[test]
fn the_longest_frame_fits_and_a_longer_one_is_refused() {
    let payload = [0xa5; MAX_PAYLOAD + 1];
    let mut buffer = [0; MAX_WIRE];
    let frame = |length: usize| Frame { kind: 1, tag: 2, session: 3, payload: &payload[..length] };
    assert_eq!(frame(MAX_PAYLOAD + 1).encode(&mut buffer), Err(TooLong { length: MAX_PAYLOAD + 1 }));
    for length in 0..=MAX_PAYLOAD {
        let wire = frame(length).encode(&mut buffer).unwrap();
        assert!(wire.len() <= MAX_WIRE && !wire[1..wire.len() - 1].contains(&0));
        assert_eq!(Decoder::new().next(&mut &*wire), Some(frame(length)));
    }
    // No zero at all is the longest COBS makes of a frame.
    assert_eq!(MAX_WIRE, MAX_RAW + 3);
}
