//! Lenses and pairs, judged.

mod centring;
mod eye;
mod hearsay;
mod one_lens;
mod own;
mod pair;
mod places;
mod power;
mod reference;
pub(in crate::tolerance) mod sample;
mod thinning;
mod travel;
