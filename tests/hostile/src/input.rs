//! Bytes as a script, and bytes changed at random.

/// Bytes that are used up from the front; zeros stand for what lies beyond their end.
#[derive(Clone, Debug)]
pub(crate) struct Script<'b>(pub(crate) &'b [u8]);

impl<'b> Script<'b> {
    pub(crate) const fn is_done(&self) -> bool {
        self.0.is_empty()
    }

    pub(crate) fn byte(&mut self) -> u8 {
        let [first, rest @ ..] = self.0 else { return 0 };
        self.0 = rest;
        *first
    }

    pub(crate) fn number(&mut self) -> u32 {
        u32::from_le_bytes([self.byte(), self.byte(), self.byte(), self.byte()])
    }

    /// A number that is mostly small, else anywhere, else near the end of what is counted.
    pub(crate) fn counted(&mut self) -> u32 {
        match self.byte() {
            small @ 0..0xe0 => small.into(),
            0xe0..0xf0 => self.number(),
            end => u32::MAX - u32::from(end - 0xf0),
        }
    }

    /// So many bytes as the next one says, or as there are.
    pub(crate) fn bytes(&mut self) -> &'b [u8] {
        let many = usize::from(self.byte()).min(self.0.len());
        let (bytes, rest) = self.0.split_at(many);
        self.0 = rest;
        bytes
    }
}

/// Chance that is the same in every run: splitmix64 (Steele, Lea and Flood 2014).
#[derive(Clone, Debug)]
pub struct Chance(pub u64);

impl Chance {
    /// A number below `bound`, which is not 0.
    pub const fn below(&mut self, bound: u64) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut bits = self.0;
        bits = (bits ^ (bits >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        bits = (bits ^ (bits >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        (bits ^ (bits >> 31)) % bound
    }

    fn place(&mut self, bytes: &[u8]) -> usize {
        self.below(bytes.len() as u64 + 1) as usize
    }
}

/// What is often at an edge.
const EDGES: [u8; 8] = [0x00, 0x01, 0x7f, 0x80, 0xff, b'-', b'9', b'\n'];

/// `bytes` with a few changes: bits, bytes and numbers replaced, pieces cut out, doubled, put in or cut off.
#[must_use]
pub fn changed(bytes: &[u8], chance: &mut Chance) -> Vec<u8> {
    let mut bytes = bytes.to_vec();
    for _ in 0..1 + chance.below(6) {
        let at = chance.place(&bytes);
        let end = (at + 1 + chance.below(12) as usize).min(bytes.len());
        match chance.below(8) {
            0 if at < bytes.len() => bytes[at] ^= 1 << chance.below(8),
            1 if at < bytes.len() => bytes[at] = EDGES[chance.below(8) as usize],
            2 => bytes[at.min(end)..end].iter_mut().for_each(|byte| *byte = chance.below(256) as u8),
            3 => drop(bytes.drain(at.min(end)..end)),
            4 => {
                let piece = bytes[at.min(end)..end].to_vec();
                drop(bytes.splice(at..at, piece));
            }
            5 => drop(bytes.splice(at..at, (0..1 + chance.below(6)).map(|_| chance.below(256) as u8))),
            6 => bytes[at.min(end)..end].fill(EDGES[chance.below(8) as usize]),
            _ if chance.below(8) == 0 => bytes.truncate(at),
            _ => {}
        }
    }
    bytes
}
