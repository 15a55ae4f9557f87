//! A memory chip of 64 KiB (24xx512 class) in the place of the one of 32 KiB: as the firmware stands it works, and half of it
//! stays empty; a firmware that divides all of it holds more than twice the records.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test says what it expects by unwrapping it")]

use bevelbook_core::record::JournalId;
use bevelbook_keypad::device::{LAYOUT, PAGES};
use bevelbook_keypad::memory::eeprom::{ADDRESS, Eeprom};
use bevelbook_keypad::memory::{AppendError, Consent, Layout, Memory, PAGE, Urgency};
use embedded_hal::delay::DelayNs;
use embedded_hal::i2c::{ErrorKind, ErrorType, I2c, Operation};

/// As the data sheets of that class describe it, from memory: two bytes of address, of which all 16 bits count; a write
/// wraps within 128 bytes, and a read behind the last byte goes on with the first.
struct Larger {
    cells: Vec<u8>,
    place: usize,
}

const BYTES: usize = 64 * 1024;
const LATCH: usize = 128;

struct NoTime;

impl DelayNs for NoTime {
    fn delay_ns(&mut self, _: u32) {}
}

impl ErrorType for Larger {
    type Error = ErrorKind;
}

impl I2c for &mut Larger {
    fn transaction(&mut self, address: u8, operations: &mut [Operation<'_>]) -> Result<(), ErrorKind> {
        assert_eq!(address, ADDRESS);
        for operation in operations {
            match operation {
                Operation::Write([high, low, data @ ..]) => {
                    self.place = usize::from(u16::from_be_bytes([*high, *low]));
                    for byte in data {
                        self.cells[self.place] = *byte;
                        self.place = self.place / LATCH * LATCH + (self.place + 1) % LATCH;
                    }
                }
                Operation::Write(_) => return Err(ErrorKind::Other),
                Operation::Read(into) => {
                    for byte in into.iter_mut() {
                        *byte = self.cells[self.place];
                        self.place = (self.place + 1) % BYTES;
                    }
                }
            }
        }
        Ok(())
    }
}

impl Larger {
    fn blank() -> Self {
        Self { cells: vec![0xff; BYTES], place: 0 }
    }

    fn pages(&mut self, count: u16) -> Eeprom<&mut Self, NoTime> {
        Eeprom::new(self, NoTime, ADDRESS, count)
    }
}

/// A record's content, another one for each number.
fn content(seq: u32) -> [u8; 8] {
    u64::from(seq).wrapping_mul(0x9e37_79b9_7f4a_7c15).to_be_bytes()
}

/// Begins a log on so many pages of the chip and logs until it is full; how many records there are.
fn fill(chip: &mut Larger, pages: u16, layout: Layout) -> u32 {
    let id = JournalId(0x512);
    let (mut memory, _) = Memory::begin(chip.pages(pages), layout, id, Consent::KeepRecords).ok().unwrap();
    loop {
        let seq = memory.next();
        match memory.append(2, &content(seq), seq, Urgency::FinishLens) {
            Ok(given) => assert_eq!(given, seq),
            Err(AppendError::Full { .. }) => return seq - 1,
            Err(other) => panic!("{other:?}"),
        }
    }
}

/// Starts on it again, and finds every record.
fn assert_kept(chip: &mut Larger, pages: u16, layout: Layout, records: u32) {
    let (mut memory, found) = Memory::open(chip.pages(pages), layout).ok().unwrap();
    assert_eq!((u32::from(found.journal.records), found.journal.damaged), (records, 0));
    for seq in 1..=records {
        assert_eq!(memory.read(seq).unwrap().unwrap().data, content(seq)[..], "{seq}");
    }
    // What a console took in gives room.
    memory.acknowledge(records).ok().unwrap();
    memory.append(2, &content(records + 1), 1, Urgency::FinishLens).ok().unwrap();
}

#[test]
fn as_the_firmware_stands_it_works_and_half_of_it_stays_empty() {
    let mut chip = Larger::blank();
    let records = fill(&mut chip, PAGES, LAYOUT);
    assert_eq!(records, u32::from(LAYOUT.journal_pages()));
    assert_kept(&mut chip, PAGES, LAYOUT, records);
    let (used, empty) = chip.cells.split_at(PAGE * usize::from(PAGES));
    assert!(used.iter().any(|byte| *byte != 0xff) && empty.iter().all(|byte| *byte == 0xff));
}

#[test]
fn divided_whole_it_holds_more_than_twice_the_records() {
    const WHOLE: u16 = 1024;
    let layout = Layout::new(WHOLE, 13, 15).unwrap();
    let mut chip = Larger::blank();
    let records = fill(&mut chip, WHOLE, layout);
    assert!(records > 2 * u32::from(LAYOUT.journal_pages()), "{records}");
    assert_kept(&mut chip, WHOLE, layout, records);
    // The firmware as it stands says that it is divided otherwise, and erases nothing.
    let before = chip.cells.clone();
    assert!(Memory::open(chip.pages(PAGES), LAYOUT).is_err());
    assert!(chip.cells == before);
}
