//! Draws that are the same for the same seed; the benchmark of sizing draws from them too.

/// What is drawn from: splitmix64 (Steele, Lea, Flood 2014), the same for the same seed.
pub(crate) struct Chance(pub(crate) u64);

impl Chance {
    /// Any number.
    pub(crate) fn bits(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mixed = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        let mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        mixed ^ (mixed >> 31)
    }

    /// Between 0 and 1, neither of them.
    pub(crate) fn unit(&mut self) -> f64 {
        ((self.bits() >> 12) as f64 + 0.5) / (1_u64 << 52) as f64
    }

    /// A number below `bound`.
    pub(crate) fn below(&mut self, bound: usize) -> usize {
        (self.unit() * bound as f64) as usize
    }

    /// Of mean 0 and variance 1, by Box and Muller.
    pub(crate) fn normal(&mut self) -> f64 {
        let length = (-2.0 * self.unit().ln()).sqrt();
        length * (std::f64::consts::TAU * self.unit()).cos()
    }
}
