//! The registers of the board's devices, in blocks, at the addresses of the processor's secure state.

use bevelbook_emulated::registers::Registers;

/// A block of registers.
#[derive(Clone, Copy)]
#[repr(u32)]
pub(crate) enum Block {
    /// The console's line.
    Uart0 = 0x5020_0000,
    /// The log.
    Uart1 = 0x5020_1000,
    /// The keys.
    Uart2 = 0x5020_2000,
    /// The memory's bus: that of the second socket for shields, which the emulator calls `i2c`.
    I2c = 0x5020_d000,
}

// SAFETY: these are the board's blocks of device registers, and none of the devices moves memory by itself.
unsafe impl Registers for Block {
    fn address(self) -> u32 {
        self as u32
    }
}
