//! From an image as the linker leaves it to a file that is dragged onto a board.
//!
//! A board that starts with its button held shows itself as a drive; it takes a file of blocks that each say where they
//! belong. The format is UF2, <https://github.com/microsoft/uf2>, "File format": blocks of 512 bytes, little-endian.
//!
//! | at | what |
//! |---|---|
//! | 0 | first magic number, 0x0A324655 |
//! | 4 | second magic number, 0x9E5D5157 |
//! | 8 | flags: 0x2000, a family id is given |
//! | 12 | the address in flash |
//! | 16 | bytes used: 256 here, as the RP2040 wants (data sheet, 2.8.4.2) |
//! | 20 | the block's number, from 0 |
//! | 24 | how many blocks there are |
//! | 28 | family id: 0xE48BFF56 is the RP2040 |
//! | 32 | the bytes, zeros behind them |
//! | 508 | last magic number, 0x0AB16F30 |
//!
//! - [`elf`]: what an image holds and where it belongs.
//! - [`encode`]: the file.

pub mod elf;

use elf::Piece;
use std::collections::BTreeMap;
use std::fmt;

/// Bytes of a block.
pub const BLOCK: usize = 512;

/// Bytes that a block carries.
pub const PAYLOAD: usize = 256;

/// The family id of the RP2040 (the specification's `utils/uf2families.json`).
pub const RP2040: u32 = 0xe48b_ff56;

/// The RP2040's flash: its addresses (data sheet, 2.2.1).
pub const FLASH: std::ops::Range<u32> = 0x1000_0000..0x1100_0000;

const FIRST_MAGIC: u32 = 0x0a32_4655;
const SECOND_MAGIC: u32 = 0x9e5d_5157;
const LAST_MAGIC: u32 = 0x0ab1_6f30;
const FAMILY_GIVEN: u32 = 0x2000;

/// Why there is no file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Uf2Error {
    /// The image holds nothing.
    Empty,
    /// A piece does not belong into flash.
    NotFlash {
        /// Where it belongs.
        address: u32,
        /// Its bytes.
        bytes: usize,
    },
    /// Two pieces belong to the same place.
    Overlap {
        /// Which place.
        address: u32,
    },
}

impl fmt::Display for Uf2Error {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Empty => f.write_str("the image is empty; its linker scripts were not used"),
            Self::NotFlash { address, bytes } => {
                write!(f, "{bytes} bytes belong to {address:#010x}, which is no flash of this chip")
            }
            Self::Overlap { address } => write!(f, "two pieces belong to {address:#010x}"),
        }
    }
}

impl std::error::Error for Uf2Error {}

/// The file for an RP2040. Bytes between pieces are zeros as far as they share a block; other places are left out.
///
/// # Errors
/// The image is empty, or does not fit into flash.
pub fn encode(pieces: &[Piece<'_>]) -> Result<Vec<u8>, Uf2Error> {
    let mut blocks: BTreeMap<u32, [Option<u8>; PAYLOAD]> = BTreeMap::new();
    for Piece { address, bytes } in pieces {
        let end = u64::from(*address) + bytes.len() as u64;
        if !FLASH.contains(address) || end > FLASH.end.into() {
            return Err(Uf2Error::NotFlash { address: *address, bytes: bytes.len() });
        }
        for (at, byte) in (*address..).zip(*bytes) {
            let within = at % PAYLOAD as u32;
            let block = blocks.entry(at - within).or_insert([None; PAYLOAD]);
            if block[within as usize].replace(*byte).is_some() {
                return Err(Uf2Error::Overlap { address: at });
            }
        }
    }
    if blocks.is_empty() {
        return Err(Uf2Error::Empty);
    }
    let count = blocks.len() as u32;
    let numbered = (0..).zip(blocks);
    Ok(numbered.flat_map(|(number, (address, bytes))| block(number, count, address, &bytes)).collect())
}

fn block(number: u32, count: u32, address: u32, bytes: &[Option<u8>; PAYLOAD]) -> [u8; BLOCK] {
    let head = [FIRST_MAGIC, SECOND_MAGIC, FAMILY_GIVEN, address, PAYLOAD as u32, number, count, RP2040];
    let mut block = [0; BLOCK];
    let head = head.into_iter().flat_map(u32::to_le_bytes);
    let content = head.chain(bytes.iter().map(|byte| byte.unwrap_or(0)));
    block.iter_mut().zip(content).for_each(|(place, byte)| *place = byte);
    block[BLOCK - 4..].copy_from_slice(&LAST_MAGIC.to_le_bytes());
    block
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A block as the specification's table lays it out, written down by hand.
    fn published(number: u8, count: u8, address: [u8; 4], bytes: &[u8]) -> Vec<u8> {
        let mut block = vec![0x55, 0x46, 0x32, 0x0a, 0x57, 0x51, 0x5d, 0x9e, 0x00, 0x20, 0x00, 0x00];
        block.extend(address);
        block.extend([0x00, 0x01, 0x00, 0x00, number, 0, 0, 0, count, 0, 0, 0, 0x56, 0xff, 0x8b, 0xe4]);
        block.extend(bytes);
        block.resize(508, 0);
        block.extend([0x30, 0x6f, 0xb1, 0x0a]);
        block
    }

    #[test]
    fn a_block_is_as_the_specification_has_it() {
        let bytes: Vec<u8> = (0..=255).collect();
        let file = encode(&[Piece { address: 0x1000_0100, bytes: &bytes }]).unwrap();
        assert_eq!(file, published(0, 1, [0x00, 0x01, 0x00, 0x10], &bytes));
        assert_eq!(&file[..4], b"UF2\n");
    }

    #[test]
    fn pieces_share_blocks_and_far_places_are_left_out() {
        let pieces = [
            Piece { address: 0x1000_0310, bytes: &[3] },
            Piece { address: 0x1000_00ff, bytes: &[1, 2] },
            Piece { address: 0x1000_0300, bytes: &[4] },
        ];
        let file = encode(&pieces).unwrap();
        let mut last = [0; 17];
        (last[0], last[16]) = (4, 3);
        let first = [vec![0; 255], vec![1]].concat();
        let blocks = [
            published(0, 3, [0x00, 0x00, 0x00, 0x10], &first),
            published(1, 3, [0x00, 0x01, 0x00, 0x10], &[2]),
            published(2, 3, [0x00, 0x03, 0x00, 0x10], &last),
        ];
        assert_eq!(file, blocks.concat());
    }

    #[test]
    fn what_does_not_belong_into_flash_or_is_nothing_is_refused() {
        assert_eq!(encode(&[]), Err(Uf2Error::Empty));
        let ram = Piece { address: 0x2000_0000, bytes: &[1] };
        assert_eq!(encode(&[ram]), Err(Uf2Error::NotFlash { address: 0x2000_0000, bytes: 1 }));
        let over = Piece { address: 0x10ff_ffff, bytes: &[1, 2] };
        assert_eq!(encode(&[over]), Err(Uf2Error::NotFlash { address: 0x10ff_ffff, bytes: 2 }));
        let twice = [0x1000_0000, 0x1000_0001].map(|address| Piece { address, bytes: &[1, 2] });
        assert_eq!(encode(&twice), Err(Uf2Error::Overlap { address: 0x1000_0001 }));
    }
}
