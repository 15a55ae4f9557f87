//! The registers of the board's devices, in blocks.

/// A block of registers of 4 KiB.
#[derive(Clone, Copy, PartialEq, Eq)]
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

impl Block {
    /// Reads the register at `offset`, a multiple of 4 below 4096.
    pub(crate) fn read(self, offset: u32) -> u32 {
        // SAFETY: the address is aligned and inside a block of device registers (the mask sees to it). No device of
        // these blocks reaches into memory by itself, so nothing that Rust knows of changes.
        unsafe { core::ptr::read_volatile((self as u32 + (offset & 0xffc)) as *const u32) }
    }

    /// Writes the register at `offset`, a multiple of 4 below 4096.
    pub(crate) fn write(self, offset: u32, value: u32) {
        // SAFETY: as for reading.
        unsafe { core::ptr::write_volatile((self as u32 + (offset & 0xffc)) as *mut u32, value) }
    }

    /// Sets the bits of `mask` in the register at `offset`, and leaves the others.
    pub(crate) fn set(self, offset: u32, mask: u32) {
        self.write(offset, self.read(offset) | mask);
    }

    /// Clears the bits of `mask` in the register at `offset`, and leaves the others.
    pub(crate) fn clear(self, offset: u32, mask: u32) {
        self.write(offset, self.read(offset) & !mask);
    }
}
