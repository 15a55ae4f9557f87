//! The memory's bytes, version 1: frozen. A keypad is flashed with its records in place, so what an older image wrote is
//! read by every later one. A failing test here means that the code is wrong, not the file.

use super::*;
use crate::device::LAYOUT;
use bevelbook_core::frame::PupillaryDistance;
use bevelbook_core::link::{Card, Station};
use bevelbook_core::record::Flow;
use bevelbook_core::sizing::{Basis, Counting, Dial, Habit};
use bevelbook_core::units::Length;
use std::format;
use std::string::String;

/// Core's tests hold it in place, and the other sections.
const VERSION_1: &str = include_str!("../../../../core/tests/frozen/version-1.txt");

type Chip = FaultyPages<512>;

const JOB: JobId = JobId(1);

const STATION: Station = Station {
    revision: 6,
    includes_upto: 2,
    dial: Some(Dial { basis: Basis::Diameter, counting: Counting::Absolute, step: Length::from_milli(50) }),
    habit: Habit::COMMON,
    flow: Flow::COMMON,
};

fn section(name: &str) -> impl Iterator<Item = &'static str> {
    let behind = VERSION_1.split_once(&format!("[{name}]\n")).unwrap().1;
    behind.lines().take_while(|line| !line.starts_with('[')).filter(|line| !line.is_empty())
}

fn bytes(hex: &str) -> Vec<u8> {
    (0..hex.len()).step_by(2).map(|at| u8::from_str_radix(&hex[at..at + 2], 16).unwrap()).collect()
}

/// The records of that section, one of each kind: kind and data.
fn records() -> impl Iterator<Item = (u8, Vec<u8>)> {
    section("records")
        .map(|line| line.split_once(' ').unwrap())
        .map(|(kind, data)| (bytes(kind)[0], bytes(data)))
}

fn first_card() -> Vec<u8> {
    bytes(section("cards").next().unwrap())
}

/// A page a line: its number and its bytes; those that were never written are left out.
fn lines(chip: &Chip) -> Vec<String> {
    let written = chip.content().iter().enumerate().filter(|(_, page)| **page != [0xff; PAGE]);
    written
        .map(|(n, page)| format!("{n} {}", page.iter().map(|byte| format!("{byte:02x}")).collect::<String>()))
        .collect()
}

#[test]
fn a_short_day_has_the_bytes_of_version_1() {
    let mut memory = Memory::begin(Chip::blank(), LAYOUT, JOURNAL, Consent::KeepRecords).unwrap().0;
    assert!(memory.store_station(STATION).unwrap());
    for (n, (kind, data)) in (1..).zip(records()) {
        assert_eq!(memory.append(kind, &data, n * 1000, Urgency::Ordinary), Ok(n));
    }
    memory.acknowledge(3).unwrap();
    assert!(memory.store_card(JOB, 7, 2, &first_card()).unwrap());
    let chip = reopen(memory).0.into_pages();
    let made = lines(&chip);
    assert!(
        section("memory").eq(made.iter().map(String::as_str)),
        "version 1 is frozen; this code would write:\n{}",
        made.join("\n")
    );
}

#[test]
fn a_memory_of_version_1_is_read_as_it_was_written() {
    let mut chip = Chip::blank();
    for line in section("memory") {
        let (page, content) = line.split_once(' ').unwrap();
        chip.put(page.parse().unwrap(), bytes(content).try_into().unwrap());
    }
    let (mut memory, recovery) = Memory::open(chip, LAYOUT).unwrap();
    let found = (recovery.journal.damaged, recovery.damaged_cards, recovery.marks_written);
    assert_eq!(
        (found, memory.journal(), memory.boot(), memory.acknowledged()),
        ((0, 0, true), JOURNAL, 3, 3)
    );
    let read: Vec<_> =
        records_after(&mut memory, 0).into_iter().map(|record| (record.kind, record.data.to_vec())).collect();
    assert!(records().eq(read));
    assert_eq!(memory.station(), Some(STATION));
    let mut buffer = [0; bevelbook_core::link::MAX_CARD];
    let card = memory.read_card(JOB, &mut buffer).unwrap().map(Vec::from);
    assert_eq!(card, Some(first_card()));
    let pd =
        PupillaryDistance::Monocular { right: Length::from_milli(31_500), left: Length::from_milli(30_000) };
    assert_eq!(Card::decode(&first_card()).map(|card| (card.number, card.pd)), Ok((118, pd)));
}
