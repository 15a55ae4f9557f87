//! What passes tell of where lenses fit, and how big to cut by it: numbers alone, no record and no book.
//!
//! A lens fits its rim up to a size F; all sizes here are millimetres of diameter over the traced shape. What a hand feels at
//! a size s tells of F ([`Hand`]): too big where s > F, much or a touch; firm down to a window w below F; loose below that.
//! Over a shop's frames F = model + frame + rim, each normally distributed ([`Spread`]); a few frames are of another kind than
//! their model, and of a few lenses something is recorded wrongly.
//!
//! - [`Tried`] is what the passes of one lens showed, [`Pair`] the lenses of one frame, [`Sized`] one in its order.
//! - [`Model`] is what is believed of one model and size: the posterior over its mean and its spread, summed over cells and
//!   not approximated by a formula.
//! - [`Shop`] is what is believed of any model, learned from all of them, with the hand that tries their lenses.
//! - [`Sizes`] works out the [`Way`] to a fit: fewest passes, at a [price](Shop::price) for each lens that becomes loose
//!   which uses the shop's limit up.
//! - [`Taught`] is such a shop with what all models have in common that changes in time: the offsets of its stations.
//! - [`Foreseen`] is what was believed of one lens before it was cut, [`Kept`] promised against happened.
//!
//! Figures of these modules are estimates: no record is made by them, no lens is judged by them, and the guard that keeps a
//! lens from going undersize is not theirs.

mod drift;
mod eyes;
mod grid;
mod hand;
mod learn;
mod model;
#[cfg(test)]
mod outside;
mod price;
mod replay;
mod shop;
mod sizes;
mod tried;
mod way;

pub use drift::{Drift, Fresh, Offset, Taught, Wheel};
pub use eyes::Eyes;
pub use grid::{Below, CELL, Density};
pub use hand::Hand;
pub use model::Model;
pub use replay::{Foreseen, Kept};
pub use shop::{Shop, Sized, Spread};
pub use sizes::{Sizes, Steps};
pub use tried::{End, Pair, Rims, TooBig, Tried};
pub use way::{Rung, Way};
