//! What stands in the image: sizes, symbols, and who calls whom.

mod floating;

pub use floating::floats;

use object::{Object, ObjectSection, ObjectSymbol, SymbolKind};
use std::path::Path;

/// A named piece of code or data.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Symbol {
    /// Its name, as a person reads it.
    pub name: String,
    /// Where it is.
    pub address: u32,
    /// Its bytes.
    pub size: u32,
    /// Whether it is code.
    pub code: bool,
}

/// A call or a jump from one piece of code into another.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Call {
    /// Who calls.
    pub from: String,
    /// Who is called.
    pub to: String,
}

/// A section that takes room.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Region {
    /// Its name.
    pub name: String,
    /// Where it is.
    pub address: u32,
    /// Its bytes.
    pub size: u32,
    /// Whether it is written while the keypad runs, and so takes RAM.
    pub ram: bool,
}

/// An image.
#[derive(Clone, Debug)]
pub struct Image {
    symbols: Vec<Symbol>,
    regions: Vec<Region>,
    text: (u32, Vec<u8>),
}

impl Image {
    /// Reads an image.
    ///
    /// # Errors
    /// It cannot be read or is none.
    pub fn load(path: &Path) -> Result<Self, String> {
        let bytes = std::fs::read(path).map_err(|error| format!("{}: {error}", path.display()))?;
        let file = object::File::parse(&*bytes).map_err(|error| format!("{}: {error}", path.display()))?;
        let named = |symbol: &object::Symbol<'_, '_>| {
            symbol.name().ok().filter(|name| !name.starts_with('$')).map(str::to_owned)
        };
        let mut symbols: Vec<Symbol> = file
            .symbols()
            .filter_map(|symbol| {
                let name = format!("{:#}", rustc_demangle::demangle(&named(&symbol)?));
                let code = symbol.kind() == SymbolKind::Text;
                // The lowest bit of a piece of Thumb code's address says that it is Thumb code.
                let address = symbol.address() as u32 & if code { !1 } else { !0 };
                Some(Symbol { name, address, size: symbol.size() as u32, code })
            })
            .collect();
        symbols.sort_by_key(|symbol| symbol.address);
        let flags = |section: &object::Section<'_, '_>| match section.flags() {
            object::SectionFlags::Elf { sh_flags } => sh_flags,
            _ => 0,
        };
        let allocated = |section: &object::Section<'_, '_>| {
            flags(section) & u64::from(object::elf::SHF_ALLOC) != 0 && section.size() > 0
        };
        let regions = file
            .sections()
            .filter(allocated)
            .map(|section| Region {
                name: section.name().unwrap_or_default().to_owned(),
                address: section.address() as u32,
                size: section.size() as u32,
                ram: flags(&section) & u64::from(object::elf::SHF_WRITE) != 0,
            })
            .collect();
        let text = file.section_by_name(".text").ok_or("no .text")?;
        let code = text.data().map_err(|error| error.to_string())?.to_vec();
        Ok(Self { symbols, regions, text: (text.address() as u32, code) })
    }

    /// The sections that take room.
    #[must_use]
    pub fn regions(&self) -> &[Region] {
        &self.regions
    }

    /// Every symbol, by address.
    #[must_use]
    pub fn symbols(&self) -> &[Symbol] {
        &self.symbols
    }

    /// The symbol whose name ends in `name`.
    #[must_use]
    pub fn find(&self, name: &str) -> Option<&Symbol> {
        self.symbols.iter().find(|symbol| symbol.name == name || symbol.name.ends_with(&format!("::{name}")))
    }

    /// The piece of code that `address` lies in.
    #[must_use]
    pub fn code_at(&self, address: u32) -> Option<&Symbol> {
        let holds = |symbol: &&Symbol| {
            symbol.code && (symbol.address..symbol.address + symbol.size.max(1)).contains(&address)
        };
        self.symbols.iter().find(holds)
    }

    /// Every direct call and jump from one piece of code into another; calls through pointers are not seen.
    #[must_use]
    pub fn calls(&self) -> Vec<Call> {
        let (start, code) = &self.text;
        let half = |at: usize| code.get(at..at + 2).map(|two| u16::from_le_bytes([two[0], two[1]]));
        let mut calls = Vec::new();
        let mut at = 0;
        while let Some(first) = half(at) {
            let place = start + at as u32;
            // 32-bit instructions begin with 0b11101, 0b11110 or 0b11111.
            if first >> 11 < 0b11101 {
                at += 2;
                continue;
            }
            let Some(second) = half(at + 2) else { break };
            at += 4;
            let Some(target) = branch(place, first, second) else { continue };
            if let (Some(from), Some(to)) = (self.code_at(place), self.code_at(target))
                && from.address != to.address
            {
                calls.push(Call { from: from.name.clone(), to: to.name.clone() });
            }
        }
        calls.dedup();
        calls
    }
}

/// The address of the one symbol that has `name` in its own, without reading the rest of the image.
#[must_use]
pub fn address_of(path: &Path, name: &str) -> Option<u32> {
    let bytes = std::fs::read(path).ok()?;
    let file = object::File::parse(&*bytes).ok()?;
    let mut named = file.symbols().filter(|symbol| symbol.name().is_ok_and(|found| found.contains(name)));
    named.next().map(|symbol| symbol.address() as u32)
}

/// The target of `BL` or of the unconditional `B.W` at `place` (ARMv7-M Architecture Reference Manual, A7.7.12
/// encoding T4 and A7.7.18, from memory, unconfirmed; a test checks it against an address that is known).
fn branch(place: u32, first: u16, second: u16) -> Option<u32> {
    let (first, second) = (u32::from(first), u32::from(second));
    if first >> 11 != 0b11110 || second >> 12 & 0b1101 != 0b1001 && second >> 12 & 0b1101 != 0b1101 {
        return None;
    }
    let (sign, j1, j2) = (first >> 10 & 1, second >> 13 & 1, second >> 11 & 1);
    let (i1, i2) = (!(j1 ^ sign) & 1, !(j2 ^ sign) & 1);
    let offset = sign << 24 | i1 << 23 | i2 << 22 | (first & 0x3ff) << 12 | (second & 0x7ff) << 1;
    // The sign stands in bit 24.
    let offset = ((offset << 7) as i32) >> 7;
    Some(place.wrapping_add(4).wrapping_add_signed(offset))
}
