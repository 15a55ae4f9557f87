//! The registers of a board's devices, in blocks.

/// A block of registers of 4 KiB.
///
/// # Safety
/// Each block is one of device registers, and no device of these blocks reaches into memory by itself.
pub unsafe trait Registers: Copy {
    /// Where it begins.
    fn address(self) -> u32;

    /// Reads the register at `offset`, a multiple of 4 below 4096.
    fn read(self, offset: u32) -> u32 {
        // SAFETY: the address is aligned and inside a block of device registers (the mask sees to it), by the promise of
        // the trait. So nothing that Rust knows of changes.
        unsafe { core::ptr::read_volatile((self.address() + (offset & 0xffc)) as *const u32) }
    }

    /// Writes the register at `offset`, a multiple of 4 below 4096.
    fn write(self, offset: u32, value: u32) {
        // SAFETY: as for reading.
        unsafe { core::ptr::write_volatile((self.address() + (offset & 0xffc)) as *mut u32, value) }
    }

    /// Sets the bits of `mask` in the register at `offset`, and leaves the others.
    fn set(self, offset: u32, mask: u32) {
        self.write(offset, self.read(offset) | mask);
    }

    /// Clears the bits of `mask` in the register at `offset`, and leaves the others.
    fn clear(self, offset: u32, mask: u32) {
        self.write(offset, self.read(offset) & !mask);
    }
}
