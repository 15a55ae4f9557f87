//! The registers of the board's devices, in blocks.

use bevelbook_emulated::registers::Registers;

/// A block of registers.
#[derive(Clone, Copy)]
#[repr(u32)]
pub(crate) enum Block {
    /// The console's line.
    Uart0 = 0x4000_c000,
    /// The log.
    Uart1 = 0x4000_d000,
    /// The display's bus.
    Ssi0 = 0x4000_8000,
    /// The memory's bus.
    I2c0 = 0x4002_0000,
    /// Port A: UART0 and SSI0.
    PortA = 0x4000_4000,
    /// Port B: I2C.
    PortB = 0x4000_5000,
    /// Port C: the display's data/command.
    PortC = 0x4000_6000,
    /// Port D: the display's select, UART1.
    PortD = 0x4000_7000,
    /// Port E: the arrows.
    PortE = 0x4002_4000,
    /// Port F: the centre.
    PortF = 0x4002_5000,
    /// Clocks, and the chip's numbers.
    System = 0x400f_e000,
}

// SAFETY: these are the chip's blocks of device registers, and none of the devices moves memory by itself.
unsafe impl Registers for Block {
    fn address(self) -> u32 {
        self as u32
    }
}
