//! Both chips as they come, behind an empty battery, and on a disturbed bus.

use super::*;
use embedded_hal::i2c::{ErrorKind, ErrorType, NoAcknowledgeSource, Operation};

#[derive(Clone, Copy, Debug, PartialEq)]
enum Kind {
    Ds3231,
    Ds1338,
    None,
}

/// The registers of a chip as it comes, and as it is behind an empty battery. Its time stands still.
struct Chip {
    kind: Kind,
    cells: [u8; 64],
    pointer: usize,
    writes: usize,
    transfers: usize,
    /// What becomes of which.
    fault: (usize, Fault),
    /// A minute between two transfers.
    goes_a_minute: bool,
}

#[derive(Clone, Copy, Debug)]
enum Fault {
    None,
    Lost,
    /// That bit of the registers that are written or read.
    Flipped(usize),
}

impl Fault {
    fn flip(self, bytes: &mut [u8]) {
        let Self::Flipped(bit) = self else { return };
        if let Some(byte) = bytes.get_mut(bit / 8) {
            *byte ^= 1 << (bit % 8);
        }
    }
}

impl Chip {
    fn new(kind: Kind, rest: u8) -> ClockChip<Self> {
        let mut bus = Self {
            kind,
            cells: [rest; 64],
            pointer: 0,
            writes: 0,
            transfers: 0,
            fault: (0, Fault::None),
            goes_a_minute: false,
        };
        bus.run_down();
        ClockChip::new(bus)
    }

    /// The battery is empty: time begins anew, and what was in the memory is anything.
    fn run_down(&mut self) {
        self.cells[..7].copy_from_slice(&[0, 0, 0, 1, 1, 1, 0]);
        match self.kind {
            Kind::Ds3231 => self.cells[0x0f] = 0x88,
            _ => (self.cells[0], self.cells[7]) = (0x80, 0x33),
        }
    }

    fn end(&self) -> usize {
        if self.kind == Kind::Ds3231 { 0x13 } else { 0x40 }
    }
}

impl ErrorType for Chip {
    type Error = ErrorKind;
}

impl I2c for Chip {
    fn transaction(&mut self, address: u8, operations: &mut [Operation<'_>]) -> Result<(), ErrorKind> {
        if address != 0x68 || self.kind == Kind::None {
            return Err(ErrorKind::NoAcknowledge(NoAcknowledgeSource::Address));
        }
        let (disturbed, fault) = self.fault;
        let fault = if self.transfers == disturbed { fault } else { Fault::None };
        self.transfers += 1;
        self.cells[1] += u8::from(self.goes_a_minute);
        for operation in operations {
            match operation {
                Operation::Write([pointer, bytes @ ..]) => {
                    self.pointer = usize::from(*pointer) % self.end();
                    self.writes += usize::from(!bytes.is_empty());
                    let mut bytes = bytes.to_vec();
                    fault.flip(&mut bytes);
                    for byte in bytes {
                        // Whoever writes 1 to a flag of a stopped oscillator leaves it as it is.
                        let flag = match (self.kind, self.pointer) {
                            (Kind::Ds1338, 7) => 0x20,
                            (Kind::Ds3231, 0x0f) => 0x80,
                            _ => 0,
                        };
                        let kept = flag & self.cells[self.pointer] & byte;
                        self.cells[self.pointer] = byte & !flag | kept;
                        self.pointer = (self.pointer + 1) % self.end();
                    }
                }
                Operation::Write(_) => return Err(ErrorKind::Other),
                Operation::Read(into) => {
                    for byte in into.iter_mut() {
                        *byte = self.cells[self.pointer];
                        self.pointer = (self.pointer + 1) % self.end();
                    }
                    fault.flip(into);
                }
            }
            if matches!(fault, Fault::Lost) {
                return Err(ErrorKind::ArbitrationLoss);
            }
        }
        Ok(())
    }
}

/// Every one by `date -u -d TIME +%s` of GNU coreutils.
const TIMES: [([u8; 7], u32); 6] = [
    ([0x00, 0x00, 0x00, 1, 0x01, 0x01, 0x00], 946_684_800),
    ([0x56, 0x34, 0x12, 1, 0x29, 0x02, 0x00], 951_827_696),
    ([0x59, 0x59, 0x23, 1, 0x29, 0x02, 0x24], 1_709_251_199),
    ([0x35, 0x53, 0x14, 1, 0x28, 0x11, 0x26], 1_795_877_615),
    ([0x00, 0x00, 0x00, 1, 0x01, 0x03, 0x28], 1_835_481_600),
    ([0x59, 0x59, 0x23, 1, 0x31, 0x12, 0x99], 4_102_444_799),
];

#[test]
fn a_chip_that_was_never_set_or_lost_its_battery_tells_no_time_until_it_is_set() {
    for kind in [Kind::Ds3231, Kind::Ds1338] {
        for rest in [0x00, 0x20, 0x80, 0xff] {
            let mut chip = Chip::new(kind, rest);
            for (registers, utc_s) in TIMES {
                assert_eq!(chip.read(), Ok(None), "{kind:?}");
                assert_eq!(chip.set(utc_s), Ok(true));
                assert_eq!((chip.read(), &chip.bus.cells[..7]), (Ok(Some(utc_s)), &registers[..]));
                chip.bus.run_down();
            }
        }
    }
}

#[test]
fn it_is_left_alone_where_it_is_right_to_the_second() {
    let mut chip = Chip::new(Kind::Ds3231, 0);
    let [.., (_, utc_s), _, _] = TIMES;
    for (off, sets) in [(0, true), (1, false), (0, false), (2, true), (3, false), (400_000_000, true)] {
        assert_eq!(chip.set(utc_s + off), Ok(sets), "{off}");
    }
    assert_eq!(chip.bus.writes, 3 * 2);
}

#[test]
fn what_a_disturbed_bus_changes_or_loses_is_no_time_and_stops_none() {
    let (before, utc_s) = (1_795_877_615, 1_835_481_600);
    let faults = || (0..REGISTERS * 8).map(Fault::Flipped).chain([Fault::Lost]);
    for kind in [Kind::Ds3231, Kind::Ds1338] {
        for fault in (0..6).flat_map(|transfer| faults().map(move |fault| (transfer, fault))) {
            let mut chip = Chip::new(kind, 0);
            let is = |chip: &mut ClockChip<Chip>, utc_s| {
                let said = chip.read().unwrap().unwrap();
                assert!(said.abs_diff(utc_s) <= NEAR_S, "{kind:?} {fault:?} {said}");
            };
            chip.set(before).unwrap();
            (chip.bus.transfers, chip.bus.fault) = (0, fault);
            is(&mut chip, before);
            chip.bus.transfers = 0;
            assert_eq!(chip.set(utc_s), Ok(true), "{kind:?} {fault:?}");
            is(&mut chip, utc_s);
        }
    }
}

#[test]
fn what_never_says_the_same_twice_says_nothing() {
    let mut chip = Chip::new(Kind::Ds3231, 0);
    chip.bus.goes_a_minute = true;
    chip.bus.cells[..16].fill(0);
    chip.bus.cells[4..6].fill(1);
    assert_eq!((chip.read(), chip.set(1_795_877_615)), (Err(Unclear), Err(Unclear)));
}

#[test]
fn every_day_of_the_century_is_read_as_it_was_written() {
    for utc_s in (946_684_800..=4_102_444_799_u32).step_by(86_399) {
        let [_, written @ ..] = registers(utc_s).unwrap();
        let mut read = [0; REGISTERS];
        read[..8].copy_from_slice(&written);
        assert_eq!(time(&read), Some(utc_s));
    }
    assert_eq!((registers(946_684_799), registers(4_102_444_800)), (None, None));
    assert_eq!((registers(0), registers(u32::MAX)), (None, None));
}

#[test]
fn what_is_no_date_is_no_time() {
    let sound = registers(1_795_877_615).unwrap();
    let mut read = [0; REGISTERS];
    read[..8].copy_from_slice(&sound[1..]);
    assert!(time(&read).is_some());
    for (register, byte) in [
        (0, 0x60),
        (0, 0x5a),
        (1, 0x60),
        (2, 0x24),
        // By twelve hours.
        (2, 0x52),
        (4, 0x00),
        (4, 0x31),
        (5, 0x00),
        (5, 0x13),
        // The next century.
        (5, 0x91),
        (6, 0xa0),
        (7, 0x20),
        (15, 0x80),
    ] {
        let mut bad = read;
        bad[register] = byte;
        assert_eq!(time(&bad), None, "{register} {byte:#x}");
    }
    for byte in 0..=u8::MAX {
        assert_eq!(time(&[byte; REGISTERS]).is_some(), matches!(byte, 0x01..=0x09 | 0x10..=0x12));
    }
}

#[test]
fn without_a_chip_that_is_said() {
    let mut chip = Chip::new(Kind::None, 0);
    assert_eq!((chip.read(), chip.set(1_795_877_615)), (Err(Unclear), Err(Unclear)));
}
