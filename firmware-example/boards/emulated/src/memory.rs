//! The memory: the library's driver of an EEPROM, on a bus whose traffic is counted.

use crate::clock::Delay;
use crate::meter;
use bevelbook_keypad::device::PAGES;
use bevelbook_keypad::memory::eeprom::{ADDRESS, Eeprom};
use embedded_hal::i2c::{ErrorType, I2c, Operation};

/// The keypad's memory on a bus `B`.
pub type Memory<B> = Eeprom<Counted<B>, Delay>;

/// The memory on that bus.
pub const fn memory<B: I2c>(bus: B) -> Memory<B> {
    Eeprom::new(Counted(bus), Delay, ADDRESS, PAGES)
}

/// A bus whose traffic is counted.
#[derive(Debug)]
pub struct Counted<B>(B);

impl<B: I2c> ErrorType for Counted<B> {
    type Error = B::Error;
}

impl<B: I2c> I2c for Counted<B> {
    fn transaction(&mut self, address: u8, operations: &mut [Operation<'_>]) -> Result<(), B::Error> {
        for operation in operations.iter() {
            match operation {
                Operation::Write(bytes) => meter::written_on_bus(bytes.len()),
                Operation::Read(into) => meter::read_on_bus(into.len()),
            }
        }
        self.0.transaction(address, operations)
    }
}
