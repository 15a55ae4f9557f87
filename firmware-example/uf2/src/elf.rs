//! An image as the linker leaves it: ELF, 32 bits, little-endian ("Tool Interface Standard (TIS) Executable and Linking
//! Format Specification", version 1.2), as far as loading it and weighing it need.

use std::fmt;

const MAGIC: &[u8] = b"\x7fELF\x01\x01";
const LOAD: u32 = 1;
const ALLOCATED: u32 = 2;
const NO_BYTES: u32 = 8;

/// Bytes and where they belong.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Piece<'a> {
    /// The address at which they are stored, which is flash also for what a start copies to RAM.
    pub address: u32,
    /// The bytes.
    pub bytes: &'a [u8],
}

/// A part of the memory that the program takes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Section<'a> {
    /// Its name, for example `.text`.
    pub name: &'a str,
    /// Where it is when the program runs.
    pub address: u32,
    /// Its bytes.
    pub size: u32,
    /// Whether the image has its bytes; otherwise it begins as zeros or as anything.
    pub stored: bool,
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
    let mut pieces = Vec::new();
    for at in table(file, 28, 42)? {
        let [kind, offset, _, address, size] = words(file, at)?;
        if kind == LOAD && size > 0 {
            pieces.push(Piece { address, bytes: slice(file, offset as usize, size as usize)? });
        }
    }
    Ok(pieces)
}

/// The sections that the program takes memory for; empty ones are left out.
///
/// # Errors
/// The file is no ELF file, or cut off.
pub fn sections(file: &[u8]) -> Result<Vec<Section<'_>>, ElfError> {
    let heads: Vec<usize> = table(file, 32, 46)?.collect();
    let names = usize::from(half(file, 50)?);
    let at = *heads.get(names).ok_or(ElfError::CutOff { at: 50 })?;
    let [_, _, _, _, names, names_size] = words(file, at)?;
    let names = slice(file, names as usize, names_size as usize)?;
    let mut sections = Vec::new();
    for at in heads {
        let [name, kind, flags, address, _, size] = words(file, at)?;
        if flags & ALLOCATED != 0 && size > 0 {
            let name = names.get(name as usize..).unwrap_or_default();
            let name = name.split(|byte| *byte == 0).next().unwrap_or_default();
            let name = std::str::from_utf8(name).map_err(|_| ElfError::CutOff { at })?;
            sections.push(Section { name, address, size, stored: kind != NO_BYTES });
        }
    }
    Ok(sections)
}

/// Where the heads of a table stand; the file's head says at `offset` where it begins, at `shape` how long a head is and
/// how many there are.
fn table(file: &[u8], offset: usize, shape: usize) -> Result<impl Iterator<Item = usize>, ElfError> {
    if !file.starts_with(MAGIC) {
        return Err(ElfError::NotElf);
    }
    let [first] = words(file, offset)?;
    let (each, count) = (usize::from(half(file, shape)?), usize::from(half(file, shape + 2)?));
    Ok((0..count).map(move |n| first as usize + n * each))
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

    /// Two program heads at 52, three section heads at 116, bytes at 240.
    fn small() -> Vec<u8> {
        let mut file = MAGIC.to_vec();
        put(&mut file, 28, &[52, 116]);
        put(&mut file, 40, &[32 << 16, 2 | 40 << 16, 3 | 2 << 16]);
        // A piece that runs in RAM and is stored in flash; then one of zeros, which is not stored.
        put(&mut file, 52, &[LOAD, 240, 0x2000_0000, 0x1000_0200, 4]);
        put(&mut file, 84, &[LOAD, 244, 0x2000_0004, 0x2000_0004, 0, 64]);
        put(&mut file, 116, &[1, 1, ALLOCATED, 0x2000_0000, 240, 4]);
        put(&mut file, 156, &[7, NO_BYTES, ALLOCATED, 0x2000_0004, 244, 64]);
        put(&mut file, 196, &[12, 3, 0, 0, 244, 22]);
        put(&mut file, 240, &[0x0403_0201]);
        file.extend(b"\0.data\0.bss\0.shstrtab\0");
        file
    }

    #[test]
    fn pieces_go_where_they_are_stored_and_sections_where_they_run() {
        let file = small();
        assert_eq!(pieces(&file).unwrap(), [Piece { address: 0x1000_0200, bytes: &[1, 2, 3, 4] }]);
        let data = Section { name: ".data", address: 0x2000_0000, size: 4, stored: true };
        let bss = Section { name: ".bss", address: 0x2000_0004, size: 64, stored: false };
        assert_eq!(sections(&file).unwrap(), [data, bss]);
    }

    #[test]
    fn a_file_cut_off_anywhere_is_an_error_and_no_panic() {
        let file = small();
        for end in 0..file.len() {
            let cut = &file[..end];
            let whole = (pieces(cut).is_ok(), sections(cut).is_ok());
            assert!(!whole.1, "{end}");
            assert!(!whole.0 || end >= 244, "{end}");
        }
        assert_eq!(pieces(b"\x7fELF\x02\x01"), Err(ElfError::NotElf));
    }
}
