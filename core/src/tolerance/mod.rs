//! Tolerance limits as cited data, and the verdict on a lens and on a pair.
//!
//! - A limit is held exactly ([`Limit`]) and is inclusive: a deviation equal to it is within.
//! - Powers are compared in minus-cylinder form, whichever form the order or the reading is written in.
//! - There are three verdicts. **Out**: something read breaks its limit. **Not judged yet**: nothing is out, but
//!   something needed has not been read. **Within**: all is read and nothing is out. What is missing never passes.
//! - Where a table has no figure, or nobody measured what it has one for, that is **not covered**
//!   ([`NotCovered`]): neither passed nor failed, and said.
//! - Where two readings of a rule differ and only one of them passes, a finding is **at the limit**
//!   ([`Holding`]): the verdict does not turn on it.
//! - Every [`Finding`] names its rule and source, and says when a figure is from memory and unconfirmed. No
//!   full text of a standard was read: the sources are public summaries. A verdict is an aid at the bench, not
//!   a certificate.
//!
//! A standard is a [`Table`] of data: `ansi_z80_1` and `iso_21987` hold the published ones ([`Standard`]), a
//! [`ShopTable`] one of the shop's own. Every judge takes either. The prism of equal thinning in both lenses is no
//! error: between the eyes it cancels.
//!
//! [`slips`] names the likely mistake behind a reading that is out.

mod ansi_z80_1;
mod centring;
mod directions;
mod eye;
mod finding;
mod fitting;
mod iso_21987;
mod judgement;
mod limit;
mod not_covered;
mod pair;
mod power;
mod reference;
mod rule;
mod shop;
mod slip;
mod standard;
mod table;
mod verdict_alone;

pub use eye::{EyeReading, judge_eye, judge_mounted_eye};
pub use finding::{Basis, Finding, Holding, Quantity, Subject, Unit};
pub use fitting::{Fitting, judge_fitting};
pub use judgement::{Judgement, Missing, Verdict};
pub use limit::Limit;
pub use not_covered::{NotCovered, Uncovered};
pub use pair::{PairMeasured, PairOrder, judge_pair};
pub use power::{Deviation, JudgedPower, Limits, deviation, limits};
pub use rule::{Bound, Confirmed, Rule, RuleWords, Steps};
pub use shop::{ShopCentring, ShopRows, ShopSteps, ShopTable, StepError};
pub use slip::{Slip, slips};
pub use standard::{Design, Meridian, Standard};
pub use table::{Above, Made, PdRule, Reference, Table};
pub use verdict_alone::{first_out, pair_verdict};
