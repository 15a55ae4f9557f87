//! The line: bytes that take their time, and what spoils them.

use crate::chance::Chance;
use bevelbook_core::link::{Decoder, Frame, MAX_WIRE};
use std::collections::{BTreeSet, VecDeque};

/// The ways in which a line spoils what is on it.
pub(crate) const KINDS: [&str; 6] = [
    "a bit flips",
    "a byte is lost",
    "a byte comes twice",
    "a frame is cut",
    "a frame is late",
    "a frame is lost",
];

/// Of both ends.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Way {
    ToKeypad,
    ToHost,
}

/// What goes one way.
#[derive(Debug, Default)]
struct Lane {
    /// When each piece arrives.
    due: VecDeque<(u64, Vec<u8>)>,
    /// What went this way lately.
    past: VecDeque<Vec<u8>>,
    /// Finds the frames in what arrives, from the first damage on.
    tap: Option<Box<Decoder>>,
}

/// A line between a keypad and the consoles at it.
#[derive(Debug)]
pub(crate) struct Wire {
    chance: Chance,
    lanes: [Lane; 2],
    /// How often each kind of fault happens, of ten thousand.
    noise: [u64; KINDS.len()],
    /// Every frame that was sent.
    sent: BTreeSet<Vec<u8>>,
    /// How many frames were damaged, and how many arrived that nobody sent.
    pub(crate) damaged: u64,
    pub(crate) bad: u64,
}

/// So many pieces are kept for coming again.
const PAST: usize = 12;

impl Wire {
    pub(crate) fn new(seed: u64) -> Self {
        let lanes = [Lane::default(), Lane::default()];
        let (noise, sent) = ([0; KINDS.len()], BTreeSet::new());
        Self { chance: Chance(seed), lanes, noise, sent, damaged: 0, bad: 0 }
    }

    pub(crate) fn set_noise(&mut self, kind: u64, often: u64) {
        self.noise[kind as usize % KINDS.len()] = often;
        if self.lanes[0].tap.is_none() {
            self.lanes.iter_mut().for_each(|lane| lane.tap = Some(Box::default()));
        }
    }

    pub(crate) fn quiet(&mut self) {
        self.noise = [0; KINDS.len()];
    }

    /// Whatever is under way is gone.
    pub(crate) fn clear(&mut self) {
        self.lanes.iter_mut().for_each(|lane| lane.due.clear());
    }

    pub(crate) fn send(&mut self, way: Way, bytes: &[u8], now_ms: u64) {
        self.sent.insert(bytes.to_vec());
        let lane = &mut self.lanes[way as usize];
        if lane.past.len() == PAST {
            lane.past.pop_front();
        }
        lane.past.push_back(bytes.to_vec());
        self.put(way, bytes.to_vec(), now_ms);
    }

    /// Bytes of before come again.
    pub(crate) fn replay(&mut self, seed: u64, now_ms: u64) {
        let mut chance = Chance(seed);
        let way = chance.one(&[Way::ToKeypad, Way::ToHost]);
        let past = &self.lanes[way as usize].past;
        if past.is_empty() {
            return;
        }
        let from = chance.below(past.len() as u64) as usize;
        let again: Vec<u8> =
            past.range(from..).take(1 + chance.below(3) as usize).flatten().copied().collect();
        self.put(way, again, now_ms);
    }

    fn put(&mut self, way: Way, mut bytes: Vec<u8>, now_ms: u64) {
        let mut due = now_ms + 1 + self.chance.below(4);
        if self.noise != [0; KINDS.len()] {
            let before = bytes.clone();
            due += self.spoil(&mut bytes);
            self.damaged += u64::from(before != bytes);
        }
        let lane = &mut self.lanes[way as usize];
        let last = lane.due.back().map_or(0, |(due, _)| *due);
        lane.due.push_back((due.max(last), bytes));
    }

    /// Spoils what is sent; how much later it comes.
    fn spoil(&mut self, bytes: &mut Vec<u8>) -> u64 {
        let chance = &mut self.chance;
        let [flip, lose, double, cut, late, lost] = self.noise;
        let mut comes = |often: u64| often > 0 && chance.below(10_000) < often;
        let mut spoilt = Vec::with_capacity(bytes.len());
        if flip + lose + double > 0 {
            for byte in bytes.iter() {
                let bits = if comes(flip) { 1 << (spoilt.len() % 8) } else { 0 };
                if !comes(lose) {
                    spoilt.push(byte ^ bits);
                }
                if comes(double) {
                    spoilt.push(*byte);
                }
            }
            *bytes = spoilt;
        }
        let (cut, late, lost) = (comes(cut), comes(late), comes(lost));
        if cut {
            bytes.truncate(self.chance.below(bytes.len() as u64 + 1) as usize);
        }
        if lost {
            bytes.clear();
        }
        if late { 1 + self.chance.below(3000) } else { 0 }
    }

    /// The next piece that has arrived.
    pub(crate) fn take(&mut self, way: Way, now_ms: u64) -> Option<Vec<u8>> {
        let lane = &mut self.lanes[way as usize];
        let (_, bytes) = lane.due.pop_front_if(|(due, _)| *due <= now_ms)?;
        if let Some(tap) = &mut lane.tap {
            let mut rest = &bytes[..];
            while let Some(frame) = tap.next(&mut rest) {
                self.bad += u64::from(!self.sent.contains(&again(&frame)));
            }
        }
        Some(bytes)
    }

    /// When the next piece arrives.
    pub(crate) fn next_due(&self) -> Option<u64> {
        self.lanes.iter().filter_map(|lane| Some(lane.due.front()?.0)).min()
    }
}

fn again(frame: &Frame<'_>) -> Vec<u8> {
    frame.encode(&mut [0; MAX_WIRE]).unwrap_or_default().to_vec()
}
