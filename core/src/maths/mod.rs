//! Rounding, square root and trigonometry on integers.
//!
//! Sines are held with 30 fractional bits ([`ONE`]): enough that a power of ±100 D in any meridian is rounded
//! correctly but for ties within a thousandth of its unit.
//!
//! ```
//! use bevelbook_core::maths::{ONE, atan2, divide_nearest, sin_cos, sqrt_nearest};
//! use bevelbook_core::units::Angle;
//! // Half of one, to 30 bits.
//! assert_eq!(sin_cos(Angle::from_degrees(30)).0, ONE / 2);
//! assert_eq!(atan2(1, -1), Angle::from_degrees(135));
//! assert_eq!((sqrt_nearest(50), divide_nearest(-7, 2)), (7, -4));
//! ```

mod root;
mod round;
mod trigonometry;

pub use root::{sqrt_nearest, sqrt_up};
pub use round::{divide_nearest, scale_down, times_over};
pub(crate) use trigonometry::cos_doubled;
pub use trigonometry::{ONE, atan2, half_atan2, sin_cos};
