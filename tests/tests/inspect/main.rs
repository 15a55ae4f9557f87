//! `inspect` on jobs in a book.
//!
//! Jobs are built through the library and inspected by the binary.
#![allow(clippy::unwrap_used, reason = "a job that cannot be built fails the test that asked for it")]

mod made;
mod making;
mod one_lens;
mod order;
mod places;
mod shop_table;
mod standards;
mod thinning;
mod usage;
mod verdict;
mod verify;
mod warnings;
