//! Frames and messages from anywhere.

use crate::input::Script;
use bevelbook_core::link::frame::{MAX_PAYLOAD, MAX_RUN};
use bevelbook_core::link::{Decoder, Frame, MAX_WIRE, Message};

/// A frame and its payload.
type Found = (u8, u8, u16, Vec<u8>);

fn found(frame: &Frame<'_>) -> Found {
    (frame.kind, frame.tag, frame.session, frame.payload.to_vec())
}

fn frames_in(decoder: &mut Decoder, mut bytes: &[u8]) -> Vec<Found> {
    let mut all = Vec::new();
    while let Some(frame) = decoder.next(&mut bytes) {
        all.push(found(&frame));
    }
    all
}

/// Finds the same frames however the bytes are cut; each comes back from its own encoding; what is none is counted.
pub(crate) fn frames(bytes: &[u8]) {
    let mut whole = Decoder::new();
    let all = frames_in(&mut whole, bytes);
    let mut pieces = Decoder::new();
    let size = bytes.first().map_or(1, |first| usize::from(*first % 7) + 1);
    let in_pieces: Vec<Found> = bytes.chunks(size).flat_map(|piece| frames_in(&mut pieces, piece)).collect();
    assert_eq!((&all, whole.dropped()), (&in_pieces, pieces.dropped()), "cut into pieces of {size}");
    assert!(whole.dropped() as usize <= bytes.split(|byte| *byte == 0).count() + bytes.len() / MAX_RUN);
    let mut after = Decoder::new();
    for (kind, tag, session, payload) in all {
        let frame = Frame { kind, tag, session, payload: &payload };
        let mut wire = [0; MAX_WIRE];
        let wire = frame.encode(&mut wire).expect("it came in a frame");
        assert_eq!(frames_in(&mut after, wire), [found(&frame)]);
    }
    // Whatever came before, the next frame is found.
    let mut wire = [0; MAX_WIRE];
    let wire = Frame { kind: 1, tag: 2, session: 3, payload: b"after" }.encode(&mut wire).expect("short");
    let last = frames_in(&mut whole, wire);
    assert_eq!(last.last().map(|last| (last.0, last.2, &*last.3)), Some((1, 3, &b"after"[..])));
}

/// What is read of a payload comes back from its own bytes.
pub(crate) fn messages(bytes: &[u8]) {
    let mut script = Script(bytes);
    let kind = script.byte();
    let Ok(message) = Message::decode(kind, script.0) else { return };
    assert_eq!(message.kind(), kind);
    let mut wire = [0; MAX_WIRE];
    let wire = message.to_wire(9, 7, &mut wire);
    assert!(!wire.is_empty(), "every message fits: {message:?}");
    let mut decoder = Decoder::new();
    let frame = decoder.next(&mut &*wire).expect("a frame");
    assert!(frame.payload.len() <= MAX_PAYLOAD);
    assert_eq!((frame.kind, frame.session, frame.tag), (kind, 9, 7));
    assert_eq!(Message::decode(kind, frame.payload).as_ref(), Ok(&message));
}
