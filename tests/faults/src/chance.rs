//! Chance that is the same for the same seed, wherever it runs.

/// splitmix64 (Steele, Lea and Flood 2014).
#[derive(Clone, Debug)]
pub(crate) struct Chance(pub(crate) u64);

impl Chance {
    pub(crate) const fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut bits = self.0;
        bits = (bits ^ (bits >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        bits = (bits ^ (bits >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        bits ^ (bits >> 31)
    }

    /// A number below `bound`, which is not 0.
    pub(crate) const fn below(&mut self, bound: u64) -> u64 {
        self.next() % bound
    }

    /// Whether it comes to it, once in `times`.
    pub(crate) const fn once_in(&mut self, times: u64) -> bool {
        self.below(times) == 0
    }

    pub(crate) fn one<T: Copy>(&mut self, of: &[T]) -> T {
        of[self.below(of.len() as u64) as usize]
    }
}
