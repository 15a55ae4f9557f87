//! Rounding, square root and trigonometry on integers.
//!
//! Sines are held with 30 fractional bits ([`ONE`]): enough that a power of ±100 D in any meridian is rounded
//! correctly but for ties within a thousandth of its unit.

mod root;
mod round;
mod trigonometry;

pub use root::{sqrt_nearest, sqrt_up};
pub use round::{divide_nearest, scale_down};
pub(crate) use trigonometry::cos_doubled;
pub use trigonometry::{ONE, atan2, half_atan2, sin_cos};
