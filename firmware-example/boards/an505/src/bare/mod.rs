//! What cannot be said in safe Rust of this chip: where its registers are, and its table of vectors. Nothing else here has
//! `unsafe` in it.

mod registers;
mod vectors;

pub(crate) use registers::Block;
pub(crate) use vectors::enable;
