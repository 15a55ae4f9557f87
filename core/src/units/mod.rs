//! Units of the trade as newtypes over integers, and their text as the trade writes it.
//!
//! All are decimal-scaled by a thousand: [`Power`] and [`Prism`] in 1/1000 D and 1/1000 Δ, [`Length`] in
//! micrometres, [`Angle`] and [`Axis`] in 1/1000 degree; [`RefractiveIndex`] alone has a fourth decimal. What
//! a person types is therefore kept exactly.
//!
//! Reading text never guesses: a [`TextError`] says where the text stopped making sense, what was expected
//! there, and how a right text looks.

mod axis;
mod index;
mod length;
mod milli;
mod power;
mod prism;
mod scan;

pub(crate) use axis::within_turn;
pub use axis::{Angle, Axis};
pub use index::{IndexOutOfRange, RefractiveIndex};
pub use length::{Fine, Length};
pub use milli::OutOfRange;
pub use power::{Notation, Power};
pub use prism::{Prism, PrismPair};
pub use scan::{Decimal, Scanner, TextError};
