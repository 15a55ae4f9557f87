//! CRC-32C: the sum of a frame, and of a page in the keypad's memory.
//!
//! Polynomial 0x1EDC6F41 (RFC 3720, whose appendix B.4 gives the test vectors below), bits in the order in which a serial
//! line sends them, all ones before the first and the sum turned round behind the last. By half bytes: a table for whole
//! ones takes 1 KiB of flash, and bit by bit a sum takes eight steps a byte instead of two.

/// What the four lowest bits of a sum become when they are shifted out, by the polynomial with its bits turned round.
static SHIFTED: [u32; 16] = {
    let mut table = [0; 16];
    let mut low = 0;
    while low < 16 {
        let mut sum = low as u32;
        let mut bit = 0;
        while bit < 4 {
            sum = if sum & 1 == 1 { (sum >> 1) ^ 0x82f6_3b78 } else { sum >> 1 };
            bit += 1;
        }
        table[low] = sum;
        low += 1;
    }
    table
};

/// A CRC-32C that grows with the bytes that are fed to it.
///
/// ```
/// use bevelbook_core::link::Checksum;
/// let mut sum = Checksum::new();
/// sum.update(b"123");
/// sum.update(b"456789");
/// assert_eq!(sum.value(), 0xe306_9283);
/// ```
#[derive(Clone, Copy, Debug)]
pub struct Checksum(u32);

impl Default for Checksum {
    fn default() -> Self {
        Self::new()
    }
}

impl Checksum {
    /// Of nothing yet.
    pub const fn new() -> Self {
        Self(u32::MAX)
    }

    /// Puts `bytes` behind those before.
    #[inline(never)] // Once in the firmware, whoever feeds it.
    pub fn update(&mut self, bytes: &[u8]) {
        for byte in bytes {
            let mixed = self.0 ^ u32::from(*byte);
            let half = (mixed >> 4) ^ SHIFTED[(mixed & 15) as usize];
            self.0 = (half >> 4) ^ SHIFTED[(half & 15) as usize];
        }
    }

    /// Of `bytes` alone.
    #[must_use]
    pub fn of(bytes: &[u8]) -> u32 {
        let mut sum = Self::new();
        sum.update(bytes);
        sum.value()
    }

    /// The sum.
    #[must_use]
    pub const fn value(self) -> u32 {
        !self.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn it_is_that_of_the_standard() {
        // RFC 3720, appendix B.4: 32 bytes of zeros, of ones, rising from 0, and falling to 0.
        let rising: [u8; 32] = core::array::from_fn(|n| n as u8);
        let falling: [u8; 32] = core::array::from_fn(|n| 31 - n as u8);
        for (bytes, expected) in
            [([0; 32], 0x8a91_36aa), ([0xff; 32], 0x62a8_ab43), (rising, 0x46dd_794e), (falling, 0x113f_db5c)]
        {
            assert_eq!(Checksum::of(&bytes), expected);
        }
    }

    #[test]
    fn it_is_that_of_another_library_however_the_bytes_are_cut() {
        let reference = crc::Crc::<u32>::new(&crc::CRC_32_ISCSI);
        let bytes: [u8; 240] = core::array::from_fn(|n| (n * n + 7 * n / 3) as u8);
        for length in 0..=bytes.len() {
            let (front, rest) = bytes[..length].split_at(length / 3);
            let mut sum = Checksum::new();
            sum.update(front);
            sum.update(rest);
            assert_eq!(sum.value(), reference.checksum(&bytes[..length]), "{length}");
        }
    }
}
