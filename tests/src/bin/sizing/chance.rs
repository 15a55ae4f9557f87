//! Draws that are the same for the same seed.

/// What is drawn from; splitmix64.
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
        length * (core::f64::consts::TAU * self.unit()).cos()
    }

    /// Student's t with `degrees` of freedom, not scaled.
    pub(crate) fn student(&mut self, degrees: u32) -> f64 {
        let squares: f64 = (0..degrees).map(|_| self.normal().powi(2)).sum();
        self.normal() / (squares / f64::from(degrees)).sqrt()
    }
}
