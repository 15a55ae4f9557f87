//! An image's code and read-only words, as a proof needs them.

use object::{Object, ObjectSection, ObjectSymbol, SectionKind, SymbolKind};
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

/// A function: where its code lies.
#[derive(Clone, Debug)]
pub(super) struct Function {
    /// All that it is called: what reads alike is one piece of code.
    pub(super) names: Vec<String>,
    pub(super) start: u32,
    pub(super) end: u32,
}

/// What is stored of an image.
#[derive(Debug)]
pub(super) struct Code {
    /// By their first address.
    pub(super) functions: BTreeMap<u32, Function>,
    /// Bytes by their first address.
    sections: BTreeMap<u32, Vec<u8>>,
    /// Where data lies between code, and where code goes on.
    data: BTreeMap<u32, bool>,
    pub(super) vectors: Vec<u32>,
    /// Where the table of vectors lies.
    table: std::ops::Range<u32>,
}

impl Function {
    pub(super) fn name(&self) -> &str {
        self.names.first().map_or("", String::as_str)
    }

    /// Whether one of its names is `name` behind a `=`, or else has it in it.
    pub(super) fn is_named(&self, name: &str) -> bool {
        match name.strip_prefix('=') {
            Some(whole) => self.names.iter().any(|known| known == whole),
            None => self.is(name),
        }
    }

    /// Whether one of its names has `part` in it.
    pub(super) fn is(&self, part: &str) -> bool {
        self.names.iter().any(|name| name.contains(part))
    }
}

impl Code {
    pub(super) fn load(path: &Path) -> Result<Self, String> {
        let bytes = std::fs::read(path).map_err(|error| format!("{}: {error}", path.display()))?;
        let file = object::File::parse(&*bytes).map_err(|error| format!("{}: {error}", path.display()))?;
        let stored = |kind| {
            use SectionKind::{Data, ReadOnlyData, ReadOnlyString, Text};
            matches!(kind, Text | ReadOnlyData | ReadOnlyString | Data)
        };
        let mut sections = BTreeMap::new();
        for section in file.sections().filter(|section| stored(section.kind()) && section.address() != 0) {
            let data = section.data().map_err(|error| error.to_string())?;
            sections.insert(section.address() as u32, data.to_vec());
        }
        let table = file.section_by_name(".vector_table").ok_or("no table of vectors")?;
        sections.insert(table.address() as u32, table.data().map_err(|error| error.to_string())?.to_vec());
        let vectors = words(&sections[&(table.address() as u32)]).collect();
        let table = table.address() as u32..(table.address() + table.size()) as u32;
        let mut data = BTreeMap::new();
        let mut starts: BTreeMap<u32, (BTreeSet<String>, u32)> = BTreeMap::new();
        for symbol in file.symbols() {
            let name = symbol.name().unwrap_or_default();
            match name.split('.').next() {
                Some("$d") => data.insert(symbol.address() as u32, true),
                Some("$t") => data.insert(symbol.address() as u32, false),
                _ => None,
            };
            if symbol.kind() == SymbolKind::Text && symbol.is_definition() && !name.starts_with('$') {
                let name = format!("{:#}", rustc_demangle::demangle(name));
                let known = starts.entry(symbol.address() as u32 & !1).or_default();
                known.0.insert(name);
                known.1 = known.1.max(symbol.size() as u32);
            }
        }
        let mut code = Self { functions: BTreeMap::new(), sections, data, vectors, table };
        let following: Vec<u32> = starts.keys().copied().skip(1).chain([u32::MAX]).collect();
        for ((start, (names, size)), next) in starts.into_iter().zip(following) {
            // A piece of assembler that says no size ends where the next begins, or its section.
            let most =
                next.min(code.section_of(start).map_or(start, |(from, bytes)| from + bytes.len() as u32));
            let end = if size == 0 { most } else { start + size };
            code.functions.insert(start, Function { names: names.into_iter().collect(), start, end });
        }
        Ok(code)
    }

    /// Of functions that a test wrote.
    #[cfg(test)]
    pub(super) fn assembled(
        functions: BTreeMap<u32, Function>,
        start: u32,
        bytes: Vec<u8>,
        vectors: Vec<u32>,
    ) -> Self {
        let sections = BTreeMap::from([(start, bytes)]);
        Self { functions, sections, data: BTreeMap::new(), vectors, table: 0..0 }
    }

    fn section_of(&self, address: u32) -> Option<(u32, &[u8])> {
        let (start, bytes) = self.sections.range(..=address).next_back()?;
        (address - start < bytes.len() as u32).then_some((*start, bytes))
    }

    /// The two bytes at `address`.
    pub(super) fn half(&self, address: u32) -> Option<u16> {
        let (start, bytes) = self.section_of(address)?;
        let at = (address - start) as usize;
        bytes.get(at..at + 2)?.try_into().ok().map(u16::from_le_bytes)
    }

    /// The word at `address`, if nothing writes there.
    pub(super) fn word(&self, address: u32) -> Option<u32> {
        let (low, high) = (self.half(address)?, self.half(address + 2)?);
        Some(u32::from(high) << 16 | u32::from(low))
    }

    /// Whether data lies at `address`, between code.
    pub(super) fn is_data(&self, address: u32) -> bool {
        self.data.range(..=address).next_back().is_some_and(|(_, data)| *data)
    }

    /// The function whose address a word is, as a pointer to code has it: with the lowest bit set.
    pub(super) fn pointed_at(&self, word: u32) -> Option<u32> {
        let start = word.checked_sub(1)?;
        (word & 1 == 1 && self.functions.contains_key(&start)).then_some(start)
    }

    /// The functions whose addresses lie anywhere as a word: between code or in data, but for the table of vectors.
    pub(super) fn stored_pointers(&self) -> BTreeSet<u32> {
        let aligned = self.sections.iter().flat_map(|(start, bytes)| {
            let from = start.next_multiple_of(4);
            (from..start + bytes.len() as u32).step_by(4)
        });
        let code =
            |at: &u32| self.functions.range(..=at).next_back().is_some_and(|(_, found)| *at < found.end);
        aligned
            .filter(|at| !self.table.contains(at) && (!code(at) || self.is_data(*at)))
            .filter_map(|at| self.pointed_at(self.word(at)?))
            .collect()
    }
}

fn words(bytes: &[u8]) -> impl Iterator<Item = u32> {
    bytes.chunks_exact(4).map(|word| u32::from_le_bytes(word.try_into().unwrap_or_default()))
}
