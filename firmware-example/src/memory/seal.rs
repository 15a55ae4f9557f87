//! The seal of a page: a CRC-32C in its last four bytes, mixed with a salt that says what the page is.
//!
//! The salt is 64 bits that go through the CRC before the page does and are not stored: the journal's id for a
//! record, a fixed word for each other sort of page. So a page of another journal, or of another sort, does not
//! pass, except by a chance of 2⁻³². CRC-32C is the polynomial of RFC 3720, whose appendix B.4 gives the test
//! vectors below.

use super::pages::{PAGE, Page, bytes_at, put_at};
use bevelbook_core::link::CARD_FORMAT;

/// The bytes of a page that are left beside its seal.
pub(super) const SEALED: usize = PAGE - 4;

/// The salt of a page that says which journal this memory holds.
pub(super) const IDENTITY: u64 = u64::from_le_bytes(*b"journal1");
/// The salt of a mark.
pub(super) const MARK: u64 = u64::from_le_bytes(*b"mark1\0\0\0");
/// The salt of what was said of the station.
pub(super) const STATION: u64 = u64::from_le_bytes(*b"station1");
/// The salt of a card's first page. A card of another format is none: its slot is free, and the console sends it anew.
pub(super) const CARD: u64 = u64::from_le_bytes([b'c', b'a', b'r', b'd', CARD_FORMAT, 0, 0, 0]);

/// What the four lowest bits of a sum become when they are shifted out, by the polynomial of CRC-32C with its bits turned
/// round. By half bytes: a table for whole ones takes 1 KiB, and bit by bit the sums took a third of a start's instructions.
static SHIFTED: [u32; 16] = {
    let mut table = [0; 16];
    let mut low = 0;
    while low < 16 {
        let mut sum = low as u32;
        let mut bit = 0;
        while bit < 4 {
            sum = if sum & 1 == 1 { sum >> 1 ^ 0x82f6_3b78 } else { sum >> 1 };
            bit += 1;
        }
        table[low] = sum;
        low += 1;
    }
    table
};

/// A checksum that grows with what is fed to it.
pub(super) struct Sum(u32);

/// A checksum of nothing yet.
pub(super) const fn sum() -> Sum {
    Sum(u32::MAX)
}

impl Sum {
    #[inline(never)]
    pub(super) fn update(&mut self, bytes: &[u8]) {
        for byte in bytes {
            let mixed = self.0 ^ u32::from(*byte);
            let half = mixed >> 4 ^ SHIFTED[(mixed & 15) as usize];
            self.0 = half >> 4 ^ SHIFTED[(half & 15) as usize];
        }
    }

    pub(super) const fn finalize(self) -> u32 {
        !self.0
    }
}

/// Seals `page`, overwriting its last four bytes.
pub(super) fn seal(page: &mut Page, salt: u64) {
    let sum = sum_of(page, salt);
    put_at(page, SEALED, &sum.to_le_bytes());
}

/// Whether `page` bears the seal of `salt`.
pub(super) fn is_sealed(page: &Page, salt: u64) -> bool {
    u32::from_le_bytes(bytes_at(page, SEALED)) == sum_of(page, salt)
}

fn sum_of(page: &Page, salt: u64) -> u32 {
    let mut sum = sum();
    sum.update(&salt.to_le_bytes());
    sum.update(&page[..SEALED]);
    sum.finalize()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_checksum_is_that_of_the_standard() {
        // RFC 3720, appendix B.4: 32 bytes of zeros, of ones, rising from 0, and falling to 0.
        let rising: [u8; 32] = core::array::from_fn(|n| n as u8);
        let falling: [u8; 32] = core::array::from_fn(|n| 31 - n as u8);
        for (bytes, expected) in
            [([0; 32], 0x8a91_36aa), ([0xff; 32], 0x62a8_ab43), (rising, 0x46dd_794e), (falling, 0x113f_db5c)]
        {
            let mut sum = sum();
            sum.update(&bytes);
            assert_eq!(sum.finalize(), expected);
        }
    }

    #[test]
    fn a_seal_passes_with_its_own_salt_and_whole_page_only() {
        let mut page = core::array::from_fn(|n| n as u8);
        seal(&mut page, 7);
        assert!(is_sealed(&page, 7) && !is_sealed(&page, 8));
        for bit in 0..PAGE * 8 {
            let mut damaged = page;
            damaged[bit / 8] ^= 1 << (bit % 8);
            assert!(!is_sealed(&damaged, 7), "bit {bit}");
        }
    }
}
