//! The I2C bus, 400 kHz, with the memory chip and, where there is one, a clock chip.
//!
//! A page that is read is 69 bytes on the bus (address, place, address again, 64 bytes) of nine bits each: 1.6 ms. A
//! write is 67, 1.5 ms, and the chip's own time, at most 5 ms. The bus has pull-ups of its own; the board's weak ones
//! are switched on as well.
//!
//! A chip that was reading out when the board was reset may hold the data line low, until it was clocked through its
//! byte: so the bus is cleared first (I2C-bus specification UM10204, 3.1.16). A bus that stays low is left alone, since the
//! controller would wait for it for ever; the keypad then says that its memory is silent.

use bevelbook_keypad::clock::ClockChip;
use bevelbook_keypad::device::PAGES;
use bevelbook_keypad::memory::eeprom::{ADDRESS, Eeprom};
use core::cell::RefCell;
use embassy_rp::Peri;
use embassy_rp::gpio::{Flex, Pull};
use embassy_rp::i2c::{Blocking, Config, I2c, SclPin, SdaPin};
use embassy_rp::peripherals::I2C0;
use embassy_time::{Delay, Duration, block_for};
use embedded_hal::i2c::{ErrorKind, ErrorType, Operation, SevenBitAddress};
use static_cell::StaticCell;

/// The clock of the bus, in Hz.
const CLOCK_HZ: u32 = 400_000;

/// Half a clock while the bus is cleared.
const HALF: Duration = Duration::from_micros(5);

/// The keypad's memory.
pub(crate) type Chip = Eeprom<Bus, Delay>;

/// The bus as each of its chips has it; none where a line of it stays low.
#[derive(Clone, Copy)]
pub(crate) struct Bus(&'static RefCell<Option<I2c<'static, I2C0, Blocking>>>);

/// Clears the bus; the memory on it, and the clock.
pub(crate) fn start(
    i2c: Peri<'static, I2C0>,
    mut clock: Peri<'static, impl SclPin<I2C0>>,
    mut data: Peri<'static, impl SdaPin<I2C0>>,
) -> (Chip, ClockChip<Bus>) {
    static BUS: StaticCell<RefCell<Option<I2c<'static, I2C0, Blocking>>>> = StaticCell::new();
    let free = cleared(&mut Flex::new(clock.reborrow()), &mut Flex::new(data.reborrow()));
    let mut config = Config::default();
    config.frequency = CLOCK_HZ;
    let bus = Bus(BUS.init(RefCell::new(free.then(|| I2c::new_blocking(i2c, clock, data, config)))));
    (Eeprom::new(bus, Delay, ADDRESS, PAGES), ClockChip::new(bus))
}

/// Clocks until the data line is let go, at most a byte and its answer, then stops. Whether both lines are high.
fn cleared<'l>(clock: &mut Flex<'l>, data: &mut Flex<'l>) -> bool {
    for line in [&mut *clock, &mut *data] {
        line.set_pull(Pull::Up);
        line.set_as_input();
        // As an output a line is only ever pulled low.
        line.set_low();
    }
    block_for(HALF);
    for _ in 0..9 {
        if data.is_high() {
            break;
        }
        clock.set_as_output();
        block_for(HALF);
        clock.set_as_input();
        block_for(HALF);
    }
    data.set_as_output();
    block_for(HALF);
    data.set_as_input();
    block_for(HALF);
    let (clock, data) = (clock.is_high(), data.is_high());
    if !(clock && data) {
        defmt::error!("the memory's bus stays low: clock {}, data {}", !clock, !data);
    }
    clock && data
}

impl ErrorType for Bus {
    type Error = ErrorKind;
}

impl embedded_hal::i2c::I2c<SevenBitAddress> for Bus {
    fn transaction(&mut self, address: u8, operations: &mut [Operation<'_>]) -> Result<(), ErrorKind> {
        let mut bus = self.0.borrow_mut();
        let Some(bus) = &mut *bus else { return Err(ErrorKind::Bus) };
        let done = match operations {
            [Operation::Write(bytes)] => bus.blocking_write(address, bytes),
            [Operation::Write(bytes), Operation::Read(into)] => bus.blocking_write_read(address, bytes, into),
            // The drivers ask for nothing else.
            _ => return Err(ErrorKind::Other),
        };
        done.map_err(|_| ErrorKind::Other)
    }
}
