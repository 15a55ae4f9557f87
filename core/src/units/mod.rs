//! Units of the trade as newtypes over integers, and their text as the trade writes it.
//!
//! All are decimal-scaled by a thousand: [`Power`] and [`Prism`] in 1/1000 D and 1/1000 Δ, [`Length`] in
//! micrometres, [`Angle`] and [`Axis`] in 1/1000 degree; [`RefractiveIndex`] alone has a fourth decimal. What
//! a person types is therefore kept exactly.
//!
//! Reading text never guesses: a [`TextError`] says where the text stopped making sense, what was expected
//! there, and how a right text looks.
//!
//! ```
//! use bevelbook_core::units::{Axis, Length, Power};
//! assert_eq!(Length::parse("31.5")?.milli(), 31_500);
//! assert_eq!((Power::from_milli(-1125) + Power::from_milli(125)).to_string(), "-1.00");
//! assert_eq!(Axis::from_degrees(2).turn_from(Axis::from_degrees(179)).milli(), 3000);
//! let error = Length::parse("31 5").unwrap_err();
//! assert_eq!((error.start, error.end), (3, 4));
//! # Ok::<(), bevelbook_core::units::TextError>(())
//! ```

mod axis;
mod index;
mod length;
mod milli;
mod power;
mod prism;
mod scan;
mod words;

pub(crate) use axis::within_turn;
pub use axis::{Angle, Axis};
pub use index::{IndexOutOfRange, RefractiveIndex};
pub use length::{Fine, Length};
pub use milli::OutOfRange;
pub use power::{Notation, Power};
pub use prism::{Prism, PrismPair};
pub use scan::{Decimal, Scanner, TextError};
pub(crate) use words::words;
