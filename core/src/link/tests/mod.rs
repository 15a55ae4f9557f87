//! Tests of the link that need more than one of its parts.

pub(in crate::link) mod bench;
mod cards;
mod chunks;
mod draw;
mod golden;
mod loopback;
pub(in crate::link) mod sample;
mod shapes;
mod strangers;
mod wrong_answers;
