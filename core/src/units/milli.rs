//! What the decimal-scaled units share: the newtype, its arithmetic and its decimal text.

use core::fmt;
use thiserror::Error;

/// A stored number lies outside what its unit can sensibly hold.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[error("{milli} thousandths lies outside ±{limit}")]
pub struct OutOfRange {
    /// The refused value, in thousandths of the unit.
    pub milli: i32,
    /// The largest magnitude accepted, in thousandths of the unit.
    pub limit: i32,
}

/// Writes `milli` thousandths as a decimal number: at least `least` decimals and no more than are needed, or
/// exactly the formatter's precision, rounded half away from zero. `plus` writes the sign of positive values.
pub(crate) fn write_milli(f: &mut fmt::Formatter<'_>, milli: i32, plus: bool, least: usize) -> fmt::Result {
    let magnitude = milli.unsigned_abs();
    let needed = match magnitude {
        m if m % 10 != 0 => 3,
        m if m % 100 != 0 => 2,
        m if m % 1000 != 0 => 1,
        _ => 0,
    };
    let decimals = f.precision().unwrap_or(needed.max(least)).min(3);
    let drop = [1000, 100, 10, 1][decimals];
    let scaled = (magnitude + drop / 2) / drop;
    let one = 1000 / drop;
    let sign = match milli.signum() {
        _ if scaled == 0 => "",
        -1 => "-",
        1 if plus => "+",
        _ => "",
    };
    write!(f, "{sign}{}", scaled / one)?;
    if decimals > 0 {
        write!(f, ".{:0decimals$}", scaled % one)?;
    }
    Ok(())
}

/// The most bytes of an encoded number within ±`limit`: the sign takes a bit, and seven bits a byte. None beyond it can be read.
pub(crate) const fn encoded_bytes(limit: i32) -> usize {
    (u32::BITS - (2 * limit.unsigned_abs()).leading_zeros()).div_ceil(7) as usize
}

/// Defines a unit held in thousandths: construction, exact arithmetic, checked decoding.
macro_rules! milli_unit {
    ($(#[$doc:meta])* $name:ident, limit $limit:literal, $unit:literal, signed $signed:literal, decimals $least:literal) => {
        $(#[$doc])*
        #[derive(
            Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash,
            serde::Serialize, serde::Deserialize,
        )]
        #[cfg_attr(feature = "defmt", derive(defmt::Format))]
        #[serde(try_from = "i32", into = "i32")]
        pub struct $name(i32);

        impl $name {
            /// Zero.
            pub const ZERO: Self = Self(0);
            /// The largest magnitude that is read from text or from a record, in thousandths.
            pub const LIMIT: i32 = $limit;

            #[doc = concat!("From thousandths of a ", $unit, ", exactly.")]
            pub const fn from_milli(milli: i32) -> Self {
                Self(milli)
            }

            #[doc = concat!("In thousandths of a ", $unit, ".")]
            pub const fn milli(self) -> i32 {
                self.0
            }

            /// The magnitude.
            #[must_use]
            pub const fn abs(self) -> Self {
                Self(self.0.abs())
            }

            /// Whether it is exactly zero.
            pub const fn is_zero(self) -> bool {
                self.0 == 0
            }
        }

        impl TryFrom<i32> for $name {
            type Error = $crate::units::OutOfRange;
            fn try_from(milli: i32) -> Result<Self, Self::Error> {
                if (-$limit..=$limit).contains(&milli) {
                    Ok(Self(milli))
                } else {
                    Err($crate::units::OutOfRange { milli, limit: $limit })
                }
            }
        }

        impl From<$name> for i32 {
            fn from(value: $name) -> i32 {
                value.0
            }
        }

        impl core::ops::Add for $name {
            type Output = Self;
            fn add(self, other: Self) -> Self {
                Self(self.0 + other.0)
            }
        }

        impl core::ops::Sub for $name {
            type Output = Self;
            fn sub(self, other: Self) -> Self {
                Self(self.0 - other.0)
            }
        }

        impl core::ops::Neg for $name {
            type Output = Self;
            fn neg(self) -> Self {
                Self(-self.0)
            }
        }

        impl core::fmt::Display for $name {
            fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
                $crate::units::milli::write_milli(f, self.0, $signed || f.sign_plus(), $least)
            }
        }

        impl $crate::bytes::Take for $name {
            fn blank() -> Self {
                Self::ZERO
            }
            fn take_from(&mut self, from: &mut $crate::bytes::Reader<'_>) {
                self.0 = from.within($limit);
            }
        }

        impl postcard::experimental::max_size::MaxSize for $name {
            const POSTCARD_MAX_SIZE: usize = $crate::units::milli::encoded_bytes($limit);
        }
    };
}
pub(crate) use milli_unit;
