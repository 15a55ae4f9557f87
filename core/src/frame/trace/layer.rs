//! What is traced: radii, or depths.

/// What the numbers of a block are.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Layer {
    /// Radii in the plane: `TRCFMT`, `R`, `A`.
    Radius,
    /// Depths toward the viewer: `ZFMT`, `Z`, `ZA`.
    Depth,
}

impl Layer {
    /// Both, in the order in which they are written.
    pub const BOTH: [Self; 2] = [Self::Radius, Self::Depth];

    /// The label of the header.
    pub const fn header_label(self) -> &'static str {
        self.facts().0[0]
    }

    /// The label of the numbers.
    pub const fn value_label(self) -> &'static str {
        self.facts().0[1]
    }

    /// The label of the angles.
    pub const fn angle_label(self) -> &'static str {
        self.facts().0[2]
    }

    /// The least and the greatest number, in 1/100 mm: radii of 1 to 100 mm, depths within 50 mm of the origin.
    /// Common practice, no source.
    pub const fn range(self) -> (i32, i32) {
        self.facts().1
    }

    const fn facts(self) -> ([&'static str; 3], (i32, i32)) {
        match self {
            Self::Radius => (["TRCFMT", "R", "A"], (100, 10_000)),
            Self::Depth => (["ZFMT", "Z", "ZA"], (-5000, 5000)),
        }
    }
}
