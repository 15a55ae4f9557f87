//! A memory chip on an I2C bus as [`Pages`]: an EEPROM of the 24xx256 class, or an FRAM that is addressed alike.
//!
//! | on the bus | what it does |
//! |---|---|
//! | address, two bytes, 64 bytes, stop | writes a page; an EEPROM then does not answer until it is done |
//! | address, two bytes, stop | answered once the chip is done |
//! | address, two bytes, start again, bytes read | reads a page, and on over those behind it |
//!
//! The two bytes are the place in the chip, high byte first; a page begins at a multiple of 64, so none wraps. As the
//! data sheets of this class of chip agree; the busy time is at most 5 ms there.

use super::pages::{PAGE, Page, Pages, page_by_page};
use crate::log;
use embedded_hal::delay::DelayNs;
use embedded_hal::i2c::I2c;

/// The chip's address on the bus with its three address pins at ground.
pub const ADDRESS: u8 = 0x50;

/// How often the bus is tried again when the chip does not answer, after a pause twice as long each time: a machine's motor
/// that starts may disturb a wire for 40 ms, and the tries are spread over 51.
const AGAIN: u32 = 9;

/// Before the first other try, and between two questions whether the chip is done, in microseconds.
const PAUSE_US: u32 = 100;

/// How often it is asked: for 10 ms at least, twice what the chip may take.
const QUESTIONS: u16 = 100;

/// Two bytes of address in front of a page.
const WRITE: usize = 2 + PAGE;

/// A chip on a bus.
#[derive(Debug)]
pub struct Eeprom<I, D> {
    bus: I,
    delay: D,
    address: u8,
    pages: u16,
}

/// The chip did not do what was asked of it; the log says of which page. It carries no numbers, since all that reads hands it
/// up: they would take 1.7 kB of flash.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum EepromError {
    /// There is no such page.
    NoPage,
    /// It does not answer at its address of the bus.
    NoAnswer,
    /// It took a page and then did not answer for more than 10 ms.
    NotDone,
}

impl<I: I2c, D: DelayNs> Eeprom<I, D> {
    /// The chip with that address (7 bits) and so many pages on `bus`.
    pub const fn new(bus: I, delay: D, address: u8, pages: u16) -> Self {
        Self { bus, delay, address, pages }
    }

    fn place(&self, page: u16) -> Result<[u8; 2], EepromError> {
        match page.checked_mul(PAGE as u16) {
            Some(place) if page < self.pages => Ok(place.to_be_bytes()),
            _ => Err(EepromError::NoPage),
        }
    }

    fn tried(
        &mut self,
        page: u16,
        mut transfer: impl FnMut(&mut I, u8) -> Result<(), I::Error>,
    ) -> Result<(), EepromError> {
        for again in 0..=AGAIN {
            if transfer(&mut self.bus, self.address).is_ok() {
                return Ok(());
            }
            if again < AGAIN {
                self.delay.delay_us(PAUSE_US << again);
            }
        }
        Err(self.logged(page, EepromError::NoAnswer))
    }

    fn logged(&self, page: u16, error: EepromError) -> EepromError {
        log::line!(error, "memory at {=u8:#x}, page {=u16}: {}", self.address, page, error);
        error
    }
}

impl<I: I2c, D: DelayNs> Pages for Eeprom<I, D> {
    type Error = EepromError;

    fn count(&self) -> u16 {
        self.pages
    }

    fn read(&mut self, page: u16, into: &mut Page) -> Result<(), EepromError> {
        let place = self.place(page)?;
        self.tried(page, |bus, address| bus.write_read(address, &place, into))
    }

    fn read_on(&mut self, first: u16, into: &mut [u8]) -> Result<(), EepromError> {
        let place = self.place(first)?;
        // Behind its last page a chip goes on with its first.
        let behind = into.len().saturating_sub(1) / PAGE;
        self.place(first.saturating_add(u16::try_from(behind).unwrap_or(u16::MAX)))?;
        if self.bus.write_read(self.address, &place, into).is_ok() {
            return Ok(());
        }
        // What disturbs the bus again and again may leave gaps for short transfers: each has its tries.
        page_by_page(self, first, into)
    }

    fn write(&mut self, page: u16, from: &Page) -> Result<(), EepromError> {
        let place = self.place(page)?;
        let mut bytes = [0; WRITE];
        for (to, byte) in bytes.iter_mut().zip(place.iter().chain(from)) {
            *to = *byte;
        }
        self.tried(page, |bus, address| bus.write(address, &bytes))?;
        for _ in 0..QUESTIONS {
            if self.bus.write(self.address, &place).is_ok() {
                return Ok(());
            }
            self.delay.delay_us(PAUSE_US);
        }
        Err(self.logged(page, EepromError::NotDone))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::device::PAGES;
    use embedded_hal::i2c::{ErrorKind, ErrorType, NoAcknowledgeSource, Operation};
    use std::cell::Cell;
    use std::rc::Rc;
    use std::vec::Vec;

    /// A chip as its data sheet describes it: it latches a page, and is deaf while it writes.
    struct Chip {
        cells: Vec<u8>,
        counter: usize,
        now_ns: Rc<Cell<u64>>,
        busy_until_ns: u64,
        writes_for_ns: u64,
        /// Until then a disturbance spoils every transfer.
        disturbed_until_ns: u64,
        transfers: u32,
    }

    struct Time(Rc<Cell<u64>>);

    impl DelayNs for Time {
        fn delay_ns(&mut self, ns: u32) {
            self.0.set(self.0.get() + u64::from(ns));
        }
    }

    impl ErrorType for Chip {
        type Error = ErrorKind;
    }

    impl I2c for Chip {
        fn transaction(&mut self, address: u8, operations: &mut [Operation<'_>]) -> Result<(), ErrorKind> {
            self.transfers += 1;
            let deaf_until_ns = self.busy_until_ns.max(self.disturbed_until_ns);
            if address != ADDRESS || self.now_ns.get() < deaf_until_ns {
                return Err(ErrorKind::NoAcknowledge(NoAcknowledgeSource::Address));
            }
            for operation in operations {
                match operation {
                    Operation::Write([high, low, data @ ..]) => {
                        self.counter = usize::from(u16::from_be_bytes([*high, *low])) % self.cells.len();
                        let page = self.counter / PAGE * PAGE;
                        for byte in data {
                            self.cells[self.counter] = *byte;
                            // It wraps within the page.
                            self.counter = page + (self.counter + 1) % PAGE;
                        }
                        if !data.is_empty() {
                            self.busy_until_ns = self.now_ns.get() + self.writes_for_ns;
                        }
                    }
                    Operation::Write(_) => return Err(ErrorKind::Other),
                    Operation::Read(into) => {
                        for byte in into.iter_mut() {
                            *byte = self.cells[self.counter];
                            self.counter = (self.counter + 1) % self.cells.len();
                        }
                    }
                }
            }
            Ok(())
        }
    }

    fn chip(writes_for_ms: u64) -> (Eeprom<Chip, Time>, Rc<Cell<u64>>) {
        let now_ns = Rc::new(Cell::new(0));
        let cells = std::vec![0xff; PAGE * usize::from(PAGES)];
        let writes_for_ns = writes_for_ms * 1_000_000;
        let (busy_until_ns, disturbed_until_ns) = (0, 0);
        let bus = Chip {
            cells,
            counter: 0,
            now_ns: now_ns.clone(),
            busy_until_ns,
            writes_for_ns,
            disturbed_until_ns,
            transfers: 0,
        };
        (Eeprom::new(bus, Time(now_ns.clone()), ADDRESS, PAGES), now_ns)
    }

    fn content(seed: u8) -> Page {
        core::array::from_fn(|n| seed.wrapping_mul(31).wrapping_add(n as u8))
    }

    #[test]
    fn every_page_reads_back_and_leaves_its_neighbours_alone() {
        let (mut eeprom, _) = chip(5);
        for page in 0..PAGES {
            eeprom.write(page, &content(page as u8)).unwrap();
        }
        for page in 0..PAGES {
            let mut read = [0; PAGE];
            eeprom.read(page, &mut read).unwrap();
            assert_eq!(read, content(page as u8), "{page}");
        }
    }

    #[test]
    fn pages_are_read_on_in_one_transfer_and_one_by_one_where_that_is_disturbed() {
        let (mut eeprom, now_ns) = chip(5);
        for page in 0..PAGES {
            eeprom.write(page, &content(page as u8)).unwrap();
        }
        let wanted: Vec<u8> = (3..20).flat_map(content).take(1000).collect();
        for (disturbed_for_ms, transfers) in [(0, 1), (30, 26)] {
            eeprom.bus.disturbed_until_ns = now_ns.get() + disturbed_for_ms * 1_000_000;
            eeprom.bus.transfers = 0;
            let mut read = [0; 1000];
            eeprom.read_on(3, &mut read).unwrap();
            assert_eq!(read[..], wanted[..]);
            assert_eq!(eeprom.bus.transfers, transfers);
        }
        assert_eq!(eeprom.read_on(510, &mut [0; 128]), Ok(()));
        let none = EepromError::NoPage;
        assert_eq!(eeprom.read_on(510, &mut [0; 129]), Err(none), "it would go on with page 0");
        assert_eq!(eeprom.read_on(0, &mut [0; 1 << 16]), Err(EepromError::NoPage));
        eeprom.address = 0x51;
        let silent = EepromError::NoAnswer;
        assert_eq!(eeprom.read_on(0, &mut [0; 200]), Err(silent));
    }

    #[test]
    fn a_write_returns_when_the_chip_is_done_and_not_before() {
        let (mut eeprom, now_ns) = chip(5);
        eeprom.write(7, &content(7)).unwrap();
        assert!((5_000_000..5_300_000).contains(&now_ns.get()), "{}", now_ns.get());
        let (mut fram, now_ns) = chip(0);
        fram.write(7, &content(7)).unwrap();
        assert_eq!(now_ns.get(), 0, "an FRAM is done at once");
    }

    #[test]
    fn a_chip_that_never_gets_done_is_given_up() {
        let (mut eeprom, now_ns) = chip(1000);
        assert_eq!(eeprom.write(7, &content(7)), Err(EepromError::NotDone));
        assert!((10_000_000..20_000_000).contains(&now_ns.get()), "{}", now_ns.get());
    }

    #[test]
    fn a_bus_that_is_disturbed_for_some_tens_of_ms_is_answered_and_one_that_stays_so_is_named() {
        for ms in [0, 1, 2, 5, 10, 20, 30, 40, 50, 52, 60, 1000_u64] {
            let (mut eeprom, now_ns) = chip(5);
            let disturb = |eeprom: &mut Eeprom<Chip, Time>| {
                eeprom.bus.disturbed_until_ns = now_ns.get() + ms * 1_000_000;
                now_ns.get()
            };
            let whole = if ms <= 50 { Ok(()) } else { Err(EepromError::NoAnswer) };
            disturb(&mut eeprom);
            assert_eq!(eeprom.write(3, &content(3)), whole, "{ms} ms");
            eeprom.bus.disturbed_until_ns = 0;
            eeprom.write(3, &content(3)).unwrap();
            let (before_ns, mut read) = (disturb(&mut eeprom), [0; PAGE]);
            assert_eq!(eeprom.read(3, &mut read), whole, "{ms} ms");
            assert!(whole.is_err() || read == content(3));
            assert!(now_ns.get() - before_ns < 52_000_000, "it ends");
        }
    }

    #[test]
    fn a_missing_chip_is_named() {
        let (mut eeprom, _) = chip(5);
        eeprom.address = 0x51;
        let mut read = [0; PAGE];
        assert_eq!(eeprom.read(3, &mut read), Err(EepromError::NoAnswer));
        assert_eq!(eeprom.write(3, &read), Err(EepromError::NoAnswer));
    }

    #[test]
    fn there_is_no_page_behind_the_last() {
        let (mut eeprom, _) = chip(5);
        let none = EepromError::NoPage;
        assert_eq!(eeprom.write(512, &content(0)), Err(none));
        assert_eq!(eeprom.read(512, &mut [0; PAGE]), Err(none));
    }
}
