//! The console's own kinds of record: what the bench need not carry.
//!
//! They hold text of any length and are stored as JSON, so that a book can be read by a person and a later
//! version can add fields. Customers are named by a reference; their names are kept in a table apart.

mod amendment;
mod choices;
mod frame;
mod frame_trace;
mod kinds;
mod lab_power;
mod lens_choice;
mod making;
mod order;
mod rules;
mod settlement;
mod signed;

pub use crate::settings::JudgedBy;
pub use amendment::{Amendment, NothingChanged};
pub use bevelbook_core::record::Cause;
pub use choices::Choices;
pub use frame::{Condition, Frame};
#[cfg(test)]
pub(crate) use frame_trace::tests::{RECORD, kept};
pub use frame_trace::{FrameTrace, sizes_of};
pub use kinds::{
    Adoption, Arrival, Bearer, Closing, Desk, DeskError, Filing, Met, Naming, Note, Placement, Remake,
    ReopenedFor, Reopening, SignOff,
};
pub use lab_power::LabPower;
pub use lens_choice::{LensChoice, Segment, SegmentShape, Viewing};
pub use making::{Making, Segments};
pub use order::Order;
#[cfg(test)]
pub(crate) use order::sample;
pub use rules::{Remark, Severity, review};
pub use settlement::{Keep, Settlement};
pub use signed::initials_in;
