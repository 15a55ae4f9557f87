//! A front curve and in what index its power is said: the lens's own, or that of tools and clocks.

use super::curve::{CLOCK_INDEX_1_530, CurveError, power_from_clock};
use crate::units::{Power, RefractiveIndex};

/// In what index the power of a front curve is said.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[serde(rename_all = "lowercase")]
pub enum CurveBasis {
    /// In the lens's own.
    #[default]
    Material,
    /// In 1.530, the index of tools and clocks: a nominal curve.
    Nominal,
}

/// The power of one front curve in both indices.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct BaseCurve {
    /// In the lens's material.
    pub in_material: Power,
    /// In 1.530.
    pub nominal: Power,
    /// Which of the two was said.
    pub said: CurveBasis,
}

impl BaseCurve {
    /// How far the base curves of a pair may lie apart before it is remarked upon, in either index: 1.00 D (common
    /// practice, no source).
    pub const MATCHED: Power = Power::from_milli(1000);

    /// A curve of `power` on a lens of `index`. What was said is kept; the other, true = nominal·(n − 1)/0.530, is
    /// correctly rounded to 1/1000 D, halves away from zero.
    ///
    /// # Errors
    /// The index is 1, or the other power is beyond ±100 D.
    pub fn of(power: Power, said: CurveBasis, index: RefractiveIndex) -> Result<Self, CurveError> {
        let tool = CLOCK_INDEX_1_530;
        Ok(match said {
            CurveBasis::Material => {
                Self { in_material: power, nominal: power_from_clock(power, index, tool)?, said }
            }
            CurveBasis::Nominal => {
                Self { in_material: power_from_clock(power, tool, index)?, nominal: power, said }
            }
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_is_kept_and_the_other_follows() {
        // 6.00 · 0.67/0.53 and back, by hand.
        let index = RefractiveIndex::parse("1.67").unwrap();
        let of = |milli, said| BaseCurve::of(Power::from_milli(milli), said, index).unwrap();
        assert_eq!(of(6000, CurveBasis::Nominal).in_material.milli(), 7585);
        assert_eq!(of(7585, CurveBasis::Material).nominal.milli(), 6000);
        assert_eq!(of(-4250, CurveBasis::Nominal).nominal.milli(), -4250);
        let air = BaseCurve::of(Power::from_milli(6000), CurveBasis::Nominal, RefractiveIndex::AIR);
        assert_eq!(air, Err(CurveError::Air));
    }
}
