//! An optional clock chip on an I2C bus, of the DS3231 or the DS1338 class: both answer at the same address and keep time and
//! calendar in the same registers, and one code serves both without asking which of them it is.
//!
//! | register | what it holds |
//! |---|---|
//! | 00 to 02 | seconds, minutes, hours in binary-coded decimals; bit 7 of the seconds of a DS1338: its clock is halted; bit 6 of the hours: by twelve hours |
//! | 03 | day of the week, not used |
//! | 04 to 06 | day, month, year of the century; bit 7 of the month of a DS3231: the next century |
//! | 07 | DS1338: its control, of which bit 5 says that the oscillator stopped. DS3231: seconds of an alarm that is off |
//! | 0f | DS3231: its status, of which bit 7 says that the oscillator stopped. DS1338: memory behind the same battery |
//!
//! A chip that was never set, or whose battery was empty, says so in one of these bits, which stays until the time is written.
//! Writing the time writes zero to both registers, so that the one which the other chip gives another meaning says nothing
//! either. Whatever else is no date of this century, or counts by twelve hours, nobody here has set. A chip takes the time over
//! when it is spoken to, so what is read in one transfer is one time.
//!
//! Registers of the DS3231 by its data sheet (timekeeping registers, and "oscillator stop flag"), of the DS1338 as Linux's
//! `rtc-ds1307` has them; that a DS3231 leaves an alarm off until it is asked for, from memory, unconfirmed.

use embedded_hal::i2c::I2c;

/// The chip's address on the bus; there is no other.
pub const ADDRESS: u8 = 0x68;

/// All that is read: time and calendar first, the last is what [`STOPPED_3231`] stands in.
const REGISTERS: usize = 16;

/// In register 00: the clock of a DS1338 is halted.
const HALTED: u8 = 0x80;
/// In register 07: the oscillator of a DS1338 stopped.
const STOPPED_1338: u8 = 0x20;
/// In register 0f: the oscillator of a DS3231 stopped.
const STOPPED_3231: u8 = 0x80;

/// 2000-01-01 in seconds since 1970-01-01 UTC.
const CENTURY_S: u32 = 946_684_800;
const DAY_S: u32 = 86_400;

/// The chip is left alone while it is no farther off: it tells whole seconds.
const NEAR_S: u32 = 1;

/// A clock chip on a bus.
#[derive(Debug)]
pub struct ClockChip<I> {
    bus: I,
}

impl<I: I2c> ClockChip<I> {
    /// The chip on `bus`, whether there is one or not.
    pub const fn new(bus: I) -> Self {
        Self { bus }
    }

    /// The time in seconds since 1970-01-01 UTC, which may be over by up to one more; none when it was never set or stood
    /// still meanwhile.
    ///
    /// # Errors
    /// There is no chip, or it does not answer.
    pub fn read(&mut self) -> Result<Option<u32>, I::Error> {
        let mut registers = [0; REGISTERS];
        self.bus.write_read(ADDRESS, &[0], &mut registers)?;
        Ok(time(&registers))
    }

    /// Sets it to so many seconds since 1970-01-01 UTC, unless it says so already. Whether it was set; what lies in no year from
    /// 2000 to 2099 sets nothing.
    ///
    /// # Errors
    /// There is no chip, or it does not answer.
    pub fn set(&mut self, utc_s: u32) -> Result<bool, I::Error> {
        let near = self.read()?.is_some_and(|said| said.abs_diff(utc_s) <= NEAR_S);
        let Some(bytes) = registers(utc_s).filter(|_| !near) else { return Ok(false) };
        self.bus.write(ADDRESS, &bytes)?;
        self.bus.write(ADDRESS, &[0x0f, 0])?;
        Ok(true)
    }
}

/// What registers say.
fn time(registers: &[u8; REGISTERS]) -> Option<u32> {
    let [second, minute, hour, _, day, month, year, control, .., status] = *registers;
    if second & HALTED != 0 || control & STOPPED_1338 != 0 || status & STOPPED_3231 != 0 {
        return None;
    }
    let (year, month) = (decimal(year, 99)?, decimal(month, 12)?);
    let before = days_before(year, month);
    // There is no day 0, and in a month 0 no other.
    let day = decimal(day, days_before(year, month + 1) - before)?.checked_sub(1)?;
    let days = year * 365 + year.div_ceil(4) + before + day;
    let minutes = decimal(hour, 23)? * 60 + decimal(minute, 59)?;
    Some(CENTURY_S + days * DAY_S + minutes * 60 + decimal(second, 59)?)
}

/// The number of the first register, and what to write from there on.
fn registers(utc_s: u32) -> Option<[u8; 9]> {
    let since_s = utc_s.checked_sub(CENTURY_S)?;
    let (mut day, second) = (since_s / DAY_S, since_s % DAY_S);
    let (mut year, mut month) = (0, 1);
    while day >= days_before(year, 13) {
        day -= days_before(year, 13);
        year += 1;
    }
    while day >= days_before(year, month + 1) {
        month += 1;
    }
    day -= days_before(year, month);
    let [second, minute, hour] = [second % 60, second / 60 % 60, second / 3600].map(coded);
    (year < 100).then(|| [0, second, minute, hour, 1, coded(day + 1), coded(month), coded(year), 0])
}

/// The days of a year before a month, from 1; those of the whole year before the thirteenth.
const fn days_before(year: u32, month: u32) -> u32 {
    let short = if year.is_multiple_of(4) { 1 } else { 2 };
    (367 * month).saturating_sub(362) / 12 - if month > 2 { short } else { 0 }
}

/// A number of two digits up to `most`.
fn decimal(coded: u8, most: u32) -> Option<u32> {
    let (tens, units) = (u32::from(coded >> 4), u32::from(coded & 0x0f));
    Some(tens * 10 + units).filter(|number| units < 10 && *number <= most)
}

const fn coded(number: u32) -> u8 {
    (number / 10 * 16 + number % 10) as u8
}

#[cfg(test)]
mod tests {
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
    }

    impl Chip {
        fn new(kind: Kind, rest: u8) -> ClockChip<Self> {
            let mut bus = Self { kind, cells: [rest; 64], pointer: 0, writes: 0 };
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
            for operation in operations {
                match operation {
                    Operation::Write([pointer, bytes @ ..]) => {
                        self.pointer = usize::from(*pointer) % self.end();
                        self.writes += usize::from(!bytes.is_empty());
                        for byte in bytes.iter() {
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
                    }
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
        let none = ErrorKind::NoAcknowledge(NoAcknowledgeSource::Address);
        let mut chip = Chip::new(Kind::None, 0);
        assert_eq!((chip.read(), chip.set(1_795_877_615)), (Err(none), Err(none)));
    }
}
