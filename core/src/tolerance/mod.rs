//! Tolerance limits as cited data, and the verdict on a lens and on a pair.
//!
//! - A limit is held exactly ([`Limit`]) and is inclusive: a deviation equal to it is within.
//! - Powers are compared in minus-cylinder form, whichever form the order or the reading is written in.
//! - There are three verdicts. **Out**: something read breaks its limit. **Not judged yet**: nothing is out, but
//!   something needed has not been read. **Within**: all is read and nothing is out. What is missing never passes.
//! - Every [`Finding`] names its rule and source, and says when a figure is from memory and unconfirmed. No
//!   full text of a standard was read: the sources are public summaries. A verdict is an aid at the bench, not
//!   a certificate.
//!
//! Not judged here: tilt, size and horizontal place of a segment, base curve, warpage, thickness.
//!
//! [`slips`] names the likely mistake behind a reading that is out.
//!
//! A standard is a table of data (`table`); `ansi_z80_1` holds the only one so far.

mod ansi_z80_1;
mod centring;
mod eye;
mod finding;
mod judgement;
mod limit;
mod pair;
mod power;
mod slip;
mod standard;
mod table;

pub use eye::{EyeReading, judge_eye};
pub use finding::{Basis, Finding, Quantity, Subject, Unit};
pub use judgement::{Judgement, Missing, Verdict};
pub use limit::Limit;
pub use pair::{PairMeasured, PairOrder, judge_pair};
pub use power::{Deviation, Limits, deviation, limits};
pub use slip::{Slip, slips};
pub use standard::{Design, Standard};
