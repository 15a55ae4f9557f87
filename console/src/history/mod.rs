//! What was done over days, frames and materials: figures over many jobs, worked out and never stored.
//!
//! - [`Done`] is what one job adds: its pair, the lenses that fitted, the lenses that were spoiled.
//! - [`Tally`] adds it up in groups, one job after the other; of a pair it keeps its minutes alone.
//!
//! Nothing is made up: what has no known time is of no known day, a pair whose records cannot be told apart in time has
//! no minutes, and whoever takes a mean or a median is told of how many it is.

mod bench_time;
mod done;
mod tally;

pub use bench_time::PAUSE;
pub use done::{Done, FinishedPair, Fitted, Lost};
pub use tally::{BEARERS, By, Group, Period, Tally, typed};
