//! Light carried over a distance: the power F becomes F/(1 − (d/n)·F).

use crate::maths::divide_nearest;
use crate::units::{Length, OutOfRange, Power, RefractiveIndex};

/// Light cannot be carried over a distance as a lens power.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum VergenceError {
    /// The light of `power` comes to its focus within `distance` or hardly behind it, where power runs to
    /// infinity.
    #[error("light of {power} D comes to a focus within {distance} mm; is the distance right?")]
    FocusWithin {
        /// The power that makes the focus.
        power: Power,
        /// The distance it is carried.
        distance: Length,
    },
    /// The result is no power that a lens may have here.
    #[error("the result is beyond ±{} D; check the powers", Power::LIMIT / 1000)]
    OutOfRange(#[from] OutOfRange),
}

/// A power carried over a distance, as an exact fraction: `power · scale / rest`.
#[derive(Clone, Copy)]
pub(super) struct Carried {
    power: i64,
    scale: i64,
    rest: i64,
}

impl Carried {
    /// `power` carried forward over `distance` in a medium.
    pub(super) fn over(
        power: Power,
        distance: Length,
        medium: RefractiveIndex,
    ) -> Result<Self, VergenceError> {
        // 1/1000 D · µm is 1e-9, an index 1e-4.
        let scale = i64::from(medium.ten_thousandths()) * 100_000;
        let milli = i64::from(power.milli());
        let rest = scale - milli * i64::from(distance.milli());
        if rest > 0 {
            Ok(Self { power: milli, scale, rest })
        } else {
            Err(VergenceError::FocusWithin { power, distance })
        }
    }

    /// The power it has become, correctly rounded.
    pub(super) fn power(self) -> Result<Power, VergenceError> {
        self.units(1).and_then(|milli| Ok(Power::try_from(milli as i32)?))
    }

    /// The power it has become in 1e-6 D, rounded.
    pub(super) fn micro(self) -> Result<i64, VergenceError> {
        self.units(1000)
    }

    fn units(self, in_milli: i64) -> Result<i64, VergenceError> {
        let value = divide_nearest(self.power * self.scale * in_milli, self.rest);
        let milli = (value / in_milli).clamp(i32::MIN.into(), i32::MAX.into()) as i32;
        Power::try_from(milli)?;
        Ok(value)
    }

    /// `factor / parts` · 1/(1 − (d/n)·F), rounded; `None` above ten times `factor / parts`.
    pub(super) fn times(self, factor: i64, parts: i64) -> Option<i64> {
        (self.scale <= 10 * self.rest).then(|| divide_nearest(self.scale * factor, self.rest * parts))
    }
}
