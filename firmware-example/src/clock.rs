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
//! when it is spoken to, so what is read in one transfer is one time. No transfer is checked by the chip or by the bus, and
//! many a flipped bit leaves a date: nothing is believed that was not read twice, nor that it was set before it says so.
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

/// What is no farther off is the same: the chip tells whole seconds, and goes on.
const NEAR_S: u32 = 1;

/// So many times a chip is asked until it has said the same twice, and set until it says so.
const TRIES: u8 = 5;

/// There is no chip, it does not answer, or never twice the same.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Unclear;

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
    /// There is no chip, it does not answer, or never twice the same.
    pub fn read(&mut self) -> Result<Option<u32>, Unclear> {
        let (mut before, mut registers) = (None, [0; REGISTERS]);
        for _ in 0..TRIES {
            if self.bus.write_read(ADDRESS, &[0], &mut registers).is_err() {
                continue;
            }
            let said = time(&registers);
            if before.is_some_and(|before| near(before, said)) {
                return Ok(said);
            }
            before = Some(said);
        }
        Err(Unclear)
    }

    /// Sets it to so many seconds since 1970-01-01 UTC, unless it says so already. Whether it was set; what lies in no year from
    /// 2000 to 2099 sets nothing.
    ///
    /// # Errors
    /// There is no chip, it does not answer, or it does not take the time.
    pub fn set(&mut self, utc_s: u32) -> Result<bool, Unclear> {
        let Some(bytes) = registers(utc_s) else { return Ok(false) };
        for tries in 0..TRIES {
            if near(Some(utc_s), self.read()?) {
                return Ok(tries > 0);
            }
            // Whether it got there is read.
            let _ = self.bus.write(ADDRESS, &bytes).and_then(|()| self.bus.write(ADDRESS, &[0x0f, 0]));
        }
        Err(Unclear)
    }
}

/// Whether two that were read, or set and read, are the same.
fn near(one: Option<u32>, other: Option<u32>) -> bool {
    match (one, other) {
        (Some(one), Some(other)) => one.abs_diff(other) <= NEAR_S,
        _ => one == other,
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
mod tests;
