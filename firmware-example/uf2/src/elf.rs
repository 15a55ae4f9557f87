//! An image as the linker leaves it: ELF, 32 bits, little-endian ("Tool Interface Standard (TIS) Executable and Linking
//! Format Specification", version 1.2), as far as loading it needs.

use std::fmt;

const MAGIC: &[u8] = b"\x7fELF\x01\x01";
const LOAD: u32 = 1;

/// Bytes and where they belong.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Piece<'a> {
    /// The address at which they are stored, which is flash also for what a start copies to RAM.
    pub address: u32,
    /// The bytes.
    pub bytes: &'a [u8],
}

/// The file is not what it should be.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ElfError {
    /// It is no ELF file of 32 bits, little-endian.
    NotElf,
    /// It ends, or points, outside itself.
    CutOff {
        /// Where something was looked for.
        at: usize,
    },
}

impl fmt::Display for ElfError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotElf => f.write_str("it is no ELF file of 32 bits, little-endian"),
            Self::CutOff { at } => write!(f, "it is cut off: nothing is at byte {at}"),
        }
    }
}

impl std::error::Error for ElfError {}

/// The pieces that are to be stored, in the file's order; empty ones are left out.
///
/// # Errors
/// The file is no ELF file, or cut off.
pub fn pieces(file: &[u8]) -> Result<Vec<Piece<'_>>, ElfError> {
    if !file.starts_with(MAGIC) {
        return Err(ElfError::NotElf);
    }
    let [first] = words(file, 28)?;
    let [each, count] = [half(file, 42)?, half(file, 44)?].map(usize::from);
    let mut pieces = Vec::new();
    for at in (0..count).map(|n| first as usize + n * each) {
        let [kind, offset, _, address, size] = words(file, at)?;
        if kind == LOAD && size > 0 {
            pieces.push(Piece { address, bytes: slice(file, offset as usize, size as usize)? });
        }
    }
    Ok(pieces)
}

fn slice(file: &[u8], at: usize, size: usize) -> Result<&[u8], ElfError> {
    at.checked_add(size).and_then(|end| file.get(at..end)).ok_or(ElfError::CutOff { at })
}

fn half(file: &[u8], at: usize) -> Result<u16, ElfError> {
    match slice(file, at, 2)? {
        [low, high] => Ok(u16::from_le_bytes([*low, *high])),
        _ => Err(ElfError::CutOff { at }),
    }
}

fn words<const N: usize>(file: &[u8], at: usize) -> Result<[u32; N], ElfError> {
    let (words, _) = slice(file, at, 4 * N)?.as_chunks::<4>();
    let mut found = [0; N];
    found.iter_mut().zip(words).for_each(|(place, word)| *place = u32::from_le_bytes(*word));
    Ok(found)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn put(file: &mut Vec<u8>, at: usize, words: &[u32]) {
        file.resize(file.len().max(at + 4 * words.len()), 0);
        let bytes: Vec<u8> = words.iter().flat_map(|word| word.to_le_bytes()).collect();
        file[at..at + bytes.len()].copy_from_slice(&bytes);
    }

    /// Two program heads at 52, bytes at 116.
    fn small() -> Vec<u8> {
        let mut file = MAGIC.to_vec();
        put(&mut file, 28, &[52]);
        put(&mut file, 40, &[32 << 16, 2]);
        // A piece that runs in RAM and is stored in flash; then one of zeros, which is not stored.
        put(&mut file, 52, &[LOAD, 116, 0x2000_0000, 0x1000_0200, 4, 4]);
        put(&mut file, 84, &[LOAD, 120, 0x2000_0004, 0x2000_0004, 0, 64]);
        put(&mut file, 116, &[0x0403_0201]);
        file
    }

    #[test]
    fn a_piece_goes_where_it_is_stored_not_where_it_runs() {
        let file = small();
        assert_eq!(pieces(&file).unwrap(), [Piece { address: 0x1000_0200, bytes: &[1, 2, 3, 4] }]);
    }

    #[test]
    fn a_file_cut_off_anywhere_is_an_error_and_no_panic() {
        let file = small();
        for end in 0..file.len() {
            assert!(pieces(&file[..end]).is_err(), "{end}");
        }
        assert_eq!(pieces(b"\x7fELF\x02\x01"), Err(ElfError::NotElf));
    }
}
