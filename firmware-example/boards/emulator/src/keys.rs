//! The contacts of the keys.

use crate::bare::Block;
use crate::pins::{KEYS, Pin};
use bevelbook_emulated::registers::Registers;

const DIRECTION: u32 = 0x400;
const DIGITAL: u32 = 0x51c;
const PULL_UP: u32 = 0x510;

/// Makes a pin an output.
pub(crate) fn output(pin: Pin) {
    pin.port.set(DIRECTION, 1 << pin.bit);
    pin.port.set(DIGITAL, 1 << pin.bit);
}

/// Makes the pins of the keys inputs that read high while a contact is open.
pub(crate) fn start() {
    for pin in KEYS {
        let bit = 1 << pin.bit;
        // The emulator's pins read low until something drives them: they are driven high once, as outputs. The
        // resistors that the chip has do this on a board.
        output(pin);
        pin.port.write(bit << 2, bit);
        pin.port.set(PULL_UP, bit);
        pin.port.clear(DIRECTION, bit);
    }
}

/// Which contacts are closed.
pub(crate) fn closed() -> u8 {
    let low = |port: Block, bit: u8| port.read(1 << bit << 2) == 0;
    (0..).zip(KEYS).filter(|(_, pin)| low(pin.port, pin.bit)).fold(0, |closed, (n, _)| closed | 1 << n)
}
