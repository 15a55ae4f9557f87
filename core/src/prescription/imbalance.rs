//! Prism between the two eyes.

use super::prentice::{RawPrism, rounded};
use super::{Eye, LensPoint, SphereCylinder};
use crate::units::{OutOfRange, Prism, PrismPair};

/// How differently the two lenses of a pair turn the light.
///
/// Horizontally, base in before one eye adds to base in before the other; vertically, base up before one
/// takes from base up before the other.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct PrismImbalance {
    /// Base in of both eyes together; negative is base out.
    pub base_in: Prism,
    /// Base up of the right eye over that of the left; negative is base up before the left.
    pub right_up: Prism,
}

impl From<[PrismPair; 2]> for PrismImbalance {
    /// From the prism of the right and of the left eye. Exact.
    fn from([right, left]: [PrismPair; 2]) -> Self {
        Self { base_in: right.base_in + left.base_in, right_up: right.base_up - left.base_up }
    }
}

/// The imbalance of a pair, right and left, where each eye looks through a point of its own lens.
///
/// Rounded once: each part is within 0.5 + 2e-3 units of 1/1000 Δ for powers up to ±100 D and points up to 40
/// mm in and up.
///
/// # Errors
/// A part is beyond ±100 Δ.
pub fn prism_imbalance(
    lenses: [SphereCylinder; 2],
    points: [LensPoint; 2],
) -> Result<PrismImbalance, OutOfRange> {
    let [right, left] = Eye::BOTH.map(|eye| RawPrism::at(lenses[eye.index()], eye, points[eye.index()]));
    Ok(PrismImbalance {
        base_in: rounded(right.base_in + left.base_in)?,
        right_up: rounded(right.base_up - left.base_up)?,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::{Length, Power};

    #[test]
    fn equal_lenses_agree_below_and_add_up_sideways() {
        let lens = SphereCylinder::sphere(Power::from_milli(-4000));
        let below = LensPoint { inward: Length::from_milli(1000), up: Length::from_milli(-8000) };
        let imbalance = prism_imbalance([lens; 2], [below; 2]);
        let expected = PrismImbalance { base_in: Prism::from_milli(800), right_up: Prism::ZERO };
        assert_eq!(imbalance, Ok(expected));
        let each = Eye::BOTH.map(|eye| lens.prism_at(eye, below).unwrap());
        assert_eq!(PrismImbalance::from(each), expected);
    }
}
