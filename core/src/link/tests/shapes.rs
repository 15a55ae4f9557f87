//! What a keypad reads field by field is what postcard reads by the serde shape, whatever the bytes are; and what is written
//! is what postcard writes.

use super::sample::Chance;
use crate::bytes::{Take, put, taken};
use crate::link::payload::{Ack, CardDrop, CardList, CardPart, Hello, HostNak, Pull, Time};
use crate::link::{Card, MAX_CARD, Station};
use crate::record::{
    CentreDistance, Check, Clock, Girth, Mark, NewLens, Opened, Pass, Reading, Spoilage, StationEvent, Void,
};
use serde::Serialize;
use serde::de::DeserializeOwned;
use std::fmt::Debug;
use std::vec::Vec;

/// How many values of each type are drawn, and how often the bytes of each are spoilt.
const VALUES: usize = 300;
const SPOILT: usize = 40;

/// Bytes that are hardly those of a value any more: some are others, some are missing, some stand behind.
fn spoil(chance: &mut Chance, good: &[u8]) -> Vec<u8> {
    let mut bytes = good.to_vec();
    for _ in 0..=chance.below(3) {
        let place = chance.below(bytes.len() as u64 + 1) as usize;
        // Ends of ranges, of varints and of texts more often than others.
        let byte = [0, 1, 2, 0x7f, 0x80, 0xff, chance.below(256) as u8][chance.below(7) as usize];
        match (chance.below(4), bytes.get_mut(place)) {
            (0, _) => bytes.insert(place, byte),
            (1, Some(_)) => drop(bytes.remove(place)),
            (2, _) => bytes.truncate(place),
            (_, Some(there)) => *there = byte,
            (_, None) => bytes.push(byte),
        }
    }
    bytes
}

/// Asserts it of one type; gives how many spoilt bytes were read all the same, and how many were refused.
fn check<T: Take + Serialize + DeserializeOwned + PartialEq + Debug>(chance: &mut Chance) -> [usize; 2] {
    let mut outcomes = [0; 2];
    for _ in 0..VALUES {
        let value: T = chance.draw();
        let (mut room, mut ours) = ([0; MAX_CARD], [0; MAX_CARD]);
        let bytes: &[u8] = postcard::to_slice(&value, &mut room).unwrap();
        assert_eq!(put(&value, &mut ours), Ok(bytes));
        assert_eq!(put(&value, &mut ours[..bytes.len() - 1]), Err(postcard::Error::SerializeBufferFull));
        assert_eq!(taken(bytes).as_ref(), Some(&value));
        for _ in 0..SPOILT {
            let spoilt = spoil(chance, bytes);
            let read = postcard::from_bytes(&spoilt).ok();
            assert_eq!(taken::<T>(&spoilt), read, "{spoilt:02x?}");
            outcomes[usize::from(read.is_none())] += 1;
        }
    }
    outcomes
}

#[test]
fn every_type_is_read_and_written_as_postcard_does_it() {
    macro_rules! each {
        ($($name:ident),+ $(,)?) => {$(
            let [read, refused] = check::<$name>(&mut Chance(7));
            std::println!("{}: of spoilt bytes {read} read, {refused} refused", stringify!($name));
            assert!(read > 0 && refused > 0);
        )+};
    }
    each!(
        Mark,
        Pass,
        Reading,
        CentreDistance,
        Girth,
        Check,
        Void,
        StationEvent,
        NewLens,
        Opened,
        Spoilage,
        Clock
    );
    each!(Hello, Pull, Ack, Time, CardPart, CardDrop, CardList, Station, HostNak);
    each!(Card);
}
