//! What passes tell of where lenses fit, and how big to cut by it: numbers alone, no record and no book.
//!
//! - [`Tried`] is what the passes of one lens showed; [`Pair`] the lenses of one frame.
//!
//! A lens fits its rim up to a size F. All sizes here are millimetres of diameter over the traced shape.

mod tried;

pub use tried::{End, Pair, TooBig, Tried};
