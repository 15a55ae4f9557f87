//! Lenses and pairs, judged.

mod centring;
mod eye;
mod one_lens;
mod own;
mod pair;
mod power;
mod reference;
pub(in crate::tolerance) mod sample;
mod travel;
