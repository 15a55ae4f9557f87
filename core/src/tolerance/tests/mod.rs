//! Lenses and pairs, judged.

mod centring;
mod eye;
mod own;
mod pair;
mod power;
mod reference;
pub(in crate::tolerance) mod sample;
mod travel;
