//! Frames that were damaged on the line, through the reader of frames: none may pass for another one.

use crate::chance::Chance;
use bevelbook_core::link::frame::MAX_PAYLOAD;
use bevelbook_core::link::{Decoder, Frame, MAX_WIRE};

/// How many damaged frames are made of each.
const OF_EACH: u64 = 64;

/// What came through.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Passed {
    pub(crate) damaged: u64,
    pub(crate) bad: u64,
}

/// Damages at least `count` frames and counts those that are read as another frame than was sent.
pub(crate) fn damage(seed: u64, count: u64) -> Passed {
    let (mut chance, mut passed) = (Chance(seed), Passed::default());
    let mut payload = [0; MAX_PAYLOAD];
    while passed.damaged < count {
        let most = if chance.once_in(8) { MAX_PAYLOAD as u64 } else { 40 };
        let payload = &mut payload[..chance.below(most + 1) as usize];
        // Zeros and repeats are what COBS makes most of.
        let plain = chance.once_in(3);
        payload
            .iter_mut()
            .for_each(|byte| *byte = if plain { chance.below(3) as u8 } else { chance.next() as u8 });
        let frame = Frame {
            kind: chance.next() as u8,
            tag: chance.next() as u8,
            session: chance.next() as u16,
            payload,
        };
        let mut buffer = [0; MAX_WIRE];
        let Ok(sent) = frame.encode(&mut buffer) else { continue };
        for _ in 0..OF_EACH {
            let bytes = spoil(&mut chance, sent);
            if bytes == sent {
                continue;
            }
            passed.damaged += 1;
            let (mut decoder, mut rest) = (Decoder::new(), &bytes[..]);
            while let Some(read) = decoder.next(&mut rest) {
                passed.bad += u64::from(read != frame);
            }
            passed.bad += u64::from(decoder.push(0).is_some_and(|read| read != frame));
        }
    }
    passed
}

fn spoil(chance: &mut Chance, sent: &[u8]) -> Vec<u8> {
    let mut bytes = sent.to_vec();
    for _ in 0..=chance.below(3) {
        let at = chance.below(bytes.len() as u64) as usize;
        match chance.below(8) {
            0..=3 => bytes[at] ^= 1 << chance.below(8),
            4 => bytes[at] = chance.next() as u8,
            5 => drop(bytes.remove(at)),
            6 => bytes.insert(at, if chance.once_in(2) { 0 } else { bytes[at] }),
            _ => {
                // A burst of up to four bytes.
                let until = (at + 4).min(bytes.len());
                bytes[at..until].iter_mut().for_each(|byte| *byte ^= chance.next() as u8);
            }
        }
        if bytes.is_empty() {
            return bytes;
        }
    }
    bytes
}
