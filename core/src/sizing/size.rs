//! A size as an offset from the traced shape, and what is known of one.

use super::Basis;
use crate::bytes::coded;
use crate::maths::times_over;
use crate::units::Length;
use core::cmp::Ordering;
use core::fmt;
use postcard::experimental::max_size::MaxSize;
use serde::{Deserialize, Serialize};

coded! {
    /// A size: how much a lens is larger than the traced shape, on a stated basis.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, MaxSize)]
    #[cfg_attr(feature = "defmt", derive(defmt::Format))]
    pub struct Size {
        /// What the offset is measured on.
        pub basis: Basis,
        /// The offset from the traced shape; negative is smaller.
        pub offset: Length,
    }
}

impl Size {
    /// The same size on another basis: a radial offset d is 2d across and 2πd round a convex shape (Steiner's
    /// formula for parallel curves).
    ///
    /// Rounded to the nearest micrometre; error at most 0.5 + 1e-3 µm for offsets within ±2 mm. For showing and
    /// for comparing unlike dials; sums are kept on the basis they were dialled in.
    pub fn on(self, basis: Basis) -> Length {
        // π to 8.5e-8 of itself.
        const PI: (i32, i32) = (355, 113);
        let radii = |basis| match basis {
            Basis::Radius => (1, 1),
            Basis::Diameter => (2, 1),
            Basis::Girth => (2 * PI.0, PI.1),
        };
        let ((from, from_part), (to, to_part)) = (radii(self.basis), radii(basis));
        let (times, parts) = if self.basis == basis { (1, 1) } else { (to * from_part, from * to_part) };
        Length::from_milli(times_over(self.offset.milli(), times, parts))
    }

    /// Which of the two is smaller: exact on a common basis, else to the micrometre of diameter.
    pub fn compare(self, other: Self) -> Ordering {
        if self.basis == other.basis {
            self.offset.cmp(&other.offset)
        } else {
            self.on(Basis::Diameter).cmp(&other.on(Basis::Diameter))
        }
    }
}

impl fmt::Display for Size {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:+} mm on {}", self.offset.fine(), self.basis)
    }
}

coded! {
    /// What is known of a lens's size: exactly, or between two limits after a pass that was broken off.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, MaxSize)]
    #[cfg_attr(feature = "defmt", derive(defmt::Format))]
    pub struct Span {
        /// It is at least this.
        pub low: Length,
        /// It is at most this; `None` while a first cut was never finished.
        pub high: Option<Length>,
    }
}

impl Span {
    /// A size that is known exactly.
    pub const fn exactly(offset: Length) -> Self {
        Self { low: offset, high: Some(offset) }
    }

    /// The size, when it is known exactly.
    pub fn exact(self) -> Option<Length> {
        self.high.filter(|high| *high == self.low)
    }
}

impl fmt::Display for Span {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match (self.exact(), self.high) {
            (Some(size), _) => write!(f, "{:+} mm", size.fine()),
            (None, Some(high)) => write!(f, "between {:+} and {:+} mm", self.low.fine(), high.fine()),
            (None, None) => write!(f, "not below {:+} mm, not yet cut to size", self.low.fine()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn size(basis: Basis, milli: i32) -> Size {
        Size { basis, offset: Length::from_milli(milli) }
    }

    #[test]
    fn a_tenth_is_not_the_same_on_every_basis() {
        // Steiner's formula for parallel curves: a radial offset d adds 2d to the sides and 2πd to the girth.
        assert_eq!(size(Basis::Diameter, 100).on(Basis::Girth).milli(), 314);
        assert_eq!(size(Basis::Radius, 100).on(Basis::Girth).milli(), 628);
        assert_eq!(size(Basis::Radius, 100).on(Basis::Diameter).milli(), 200);
        assert_eq!(size(Basis::Girth, 628).on(Basis::Radius).milli(), 100);
        // The girth of an ellipse with semi-axes 26 and 17.5 mm grows by 1.5708 mm for 0.25 mm of radius.
        assert_eq!(size(Basis::Radius, 250).on(Basis::Girth).milli(), 1571);
    }

    #[test]
    fn conversions_keep_their_stated_bound() {
        let bases =
            [(Basis::Radius, 1.0), (Basis::Diameter, 2.0), (Basis::Girth, 2.0 * core::f64::consts::PI)];
        let mut worst: f64 = 0.0;
        for offset in -2000..=2000 {
            for (from, a) in bases {
                for (to, b) in bases {
                    let exact = f64::from(offset) / a * b;
                    worst = worst.max((f64::from(size(from, offset).on(to).milli()) - exact).abs());
                }
            }
        }
        assert!(worst <= 0.501, "{worst}");
    }

    #[test]
    fn unlike_bases_compare_by_what_they_mean() {
        assert_eq!(size(Basis::Radius, 100).compare(size(Basis::Diameter, 200)), Ordering::Equal);
        assert_eq!(size(Basis::Girth, 628).compare(size(Basis::Radius, 101)), Ordering::Less);
        assert_eq!(size(Basis::Diameter, 101).compare(size(Basis::Diameter, 100)), Ordering::Greater);
    }
}
