//! What cannot be said in safe Rust: registers, the table of vectors, and the log's global state. Nothing else here
//! has `unsafe` in it.

mod log;
mod registers;
mod vectors;

pub(crate) use log::serve_log;
pub(crate) use registers::Block;
pub(crate) use vectors::enable;
