//! The seal of a page: a CRC-32C in its last four bytes, mixed with a salt that says what the page is.
//!
//! The salt is 64 bits that go through the CRC before the page does and are not stored: the journal's id for a
//! record, a fixed word for each other sort of page. So a page of another journal, or of another sort, does not
//! pass, except by a chance of 2⁻³².

use super::pages::{PAGE, Page, bytes_at, put_at};
use bevelbook_core::link::{CARD_FORMAT, Checksum};

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
    let mut sum = Checksum::new();
    sum.update(&salt.to_le_bytes());
    sum.update(&page[..SEALED]);
    sum.value()
}

#[cfg(test)]
mod tests {
    use super::*;

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
