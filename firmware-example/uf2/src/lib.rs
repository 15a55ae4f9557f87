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
//! | 16 | bytes used: 256 here, as the RP2040 wants (data sheet, 2.8.4.2) and the RP2350 takes |
//! | 20 | the block's number, from 0 |
//! | 24 | how many blocks there are |
//! | 28 | family id: for which chip it is |
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

/// A chip that takes such files.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Chip {
    /// That of a Pico.
    Rp2040,
    /// That of a Pico 2, its Arm processors, an image that the boot ROM starts.
    Rp2350,
}

impl Chip {
    /// The chip of that name.
    #[must_use]
    pub fn named(name: &str) -> Option<Self> {
        match name {
            "rp2040" => Some(Self::Rp2040),
            "rp2350" => Some(Self::Rp2350),
            _ => None,
        }
    }

    /// Its family id (the specification's `utils/uf2families.json`; RP2350 data sheet, table 455).
    #[must_use]
    pub const fn family(self) -> u32 {
        match self {
            Self::Rp2040 => 0xe48b_ff56,
            Self::Rp2350 => 0xe48b_ff59,
        }
    }
}

/// The addresses of flash in both chips (RP2040 data sheet, 2.2.1; in the RP2350 the first of two windows of this size).
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

/// The file for a chip. Bytes between pieces are zeros as far as they share a block; other places are left out.
///
/// # Errors
/// The image is empty, or does not fit into flash.
pub fn encode(chip: Chip, pieces: &[Piece<'_>]) -> Result<Vec<u8>, Uf2Error> {
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
    Ok(numbered.flat_map(|(number, (address, bytes))| block(chip, number, count, address, &bytes)).collect())
}

fn block(chip: Chip, number: u32, count: u32, address: u32, bytes: &[Option<u8>; PAYLOAD]) -> [u8; BLOCK] {
    let family = chip.family();
    let head = [FIRST_MAGIC, SECOND_MAGIC, FAMILY_GIVEN, address, PAYLOAD as u32, number, count, family];
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
        let file = encode(Chip::Rp2040, &[Piece { address: 0x1000_0100, bytes: &bytes }]).unwrap();
        assert_eq!(file, published(0, 1, [0x00, 0x01, 0x00, 0x10], &bytes));
        assert_eq!(&file[..4], b"UF2\n");
    }

    #[test]
    fn a_file_says_for_which_chip_it_is() {
        let piece = Piece { address: 0x1000_0000, bytes: &[1] };
        let [one, other] = [Chip::Rp2040, Chip::Rp2350].map(|chip| encode(chip, &[piece]).unwrap());
        let mut changed = one.clone();
        changed[28] = 0x59;
        assert_eq!(other, changed);
        assert_eq!(
            ["rp2040", "rp2350", "rp"].map(Chip::named),
            [Some(Chip::Rp2040), Some(Chip::Rp2350), None]
        );
    }

    #[test]
    fn pieces_share_blocks_and_far_places_are_left_out() {
        let pieces = [
            Piece { address: 0x1000_0310, bytes: &[3] },
            Piece { address: 0x1000_00ff, bytes: &[1, 2] },
            Piece { address: 0x1000_0300, bytes: &[4] },
        ];
        let file = encode(Chip::Rp2040, &pieces).unwrap();
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
        assert_eq!(encode(Chip::Rp2040, &[]), Err(Uf2Error::Empty));
        let ram = Piece { address: 0x2000_0000, bytes: &[1] };
        assert_eq!(encode(Chip::Rp2040, &[ram]), Err(Uf2Error::NotFlash { address: 0x2000_0000, bytes: 1 }));
        let over = Piece { address: 0x10ff_ffff, bytes: &[1, 2] };
        assert_eq!(encode(Chip::Rp2040, &[over]), Err(Uf2Error::NotFlash { address: 0x10ff_ffff, bytes: 2 }));
        let twice = [0x1000_0000, 0x1000_0001].map(|address| Piece { address, bytes: &[1, 2] });
        assert_eq!(encode(Chip::Rp2040, &twice), Err(Uf2Error::Overlap { address: 0x1000_0001 }));
    }
}
