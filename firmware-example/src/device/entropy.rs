//! Entropy for the id of a journal: what differs from chip to chip, and the times at which a person moves keys.

/// What was stirred in so far.
#[derive(Debug)]
pub(super) struct Entropy(pub(super) u64);

impl Entropy {
    /// Of that chip. Chips with neighbouring ids shall not meet because their keys moved at neighbouring times.
    pub(super) const fn of_chip(id: u64) -> Self {
        let mut entropy = Self(id);
        entropy.stir(0);
        entropy
    }

    /// A round of a multiplicative mixer: the product carries each bit upwards, the shift carries it down.
    pub(super) const fn stir(&mut self, word: u32) {
        let before = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15) ^ word as u64;
        let product = before.wrapping_mul(0xbf58_476d_1ce4_e5b9);
        self.0 = product ^ (product >> 32);
    }
}
