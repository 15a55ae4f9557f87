//! Tolerance limits as cited data, and the verdict on a lens and on a pair.
//!
//! - A limit is held exactly ([`Limit`]) and is inclusive: a deviation equal to it is within.
//! - Powers are compared in minus-cylinder form, whichever form the order or the reading is written in.
//! - There are three verdicts. **Out**: something read breaks its limit. **Not judged yet**: nothing is out, but
//!   something needed has not been read. **Within**: all is read and nothing is out. What is missing never passes.
//! - Where a table has no figure, or nobody measured what it has one for, that is **not covered**
//!   ([`NotCovered`]): neither passed nor failed, and said.
//! - A PD, a place or a height that was measured and has no limit at hand is told **beside** the verdict
//!   ([`Judgement::beside`]), with what is usual: 1.0 mm for each eye, in total twice that (common practice, no source,
//!   where the citation says no more).
//! - Where two readings of a rule differ and only one of them passes, a finding is **at the limit**
//!   ([`Holding`]): the verdict does not turn on it.
//! - Every [`Finding`] names its rule and source, and says when a figure is from memory and unconfirmed. No
//!   full text of a standard was read: the sources are public summaries. A verdict is an aid at the bench, not
//!   a certificate.
//!
//! A standard is a [`Table`] of data: `ansi_z80_1` and `iso_21987` hold the published ones ([`Standard`]); one of the
//! shop's own has the same shape. Every judge takes either. Equal [`Thinning`] of both lenses is no error.
//!
//! From a table and an order follow the [`Limits`], and from these and a reading what is out. A keypad gets the limits
//! and makes the same comparison without a table ([`Limits::eye`] and its neighbours, answered by a [`Look`]).
//! [`Limits::slips`] names the likely mistake behind a reading that is out.
//!
//! ```
//! use bevelbook_core::prescription::{Eye, EyeOrder, SphereCylinder};
//! use bevelbook_core::tolerance::{Design, EyeReading, Quantity, Stage, Standard, Verdict, judge_eye};
//! use bevelbook_core::units::Notation;
//! let ordered = EyeOrder::parse("-5.00 DS")?;
//! let judged = |read: EyeReading| {
//!     judge_eye(Standard::Iso21987_2017, Design::SingleVision, Stage::Mounted, Eye::Right, &ordered, &read)
//! };
//! let read = EyeReading::of_power(SphereCylinder::parse("-5.125 DS", Notation::Reading)?);
//! // ISO 21987:2017 allows 0.12 D there.
//! let out = judged(read);
//! assert_eq!((out.verdict(), out.findings()[0].quantity), (Verdict::Out, Quantity::Power));
//! // What is missing never passes.
//! assert_eq!(judged(EyeReading::default()).verdict(), Verdict::NotJudged);
//! # Ok::<(), bevelbook_core::units::TextError>(())
//! ```

mod ansi_z80_1;
mod compare_eye;
mod compare_pair;
mod design;
mod deviation;
mod finding;
mod fitting;
mod iso_21987;
mod judge;
mod judgement;
mod limit;
mod limits;
mod look;
mod made;
mod measured;
mod missing;
mod not_covered;
mod places;
mod quantity;
mod rule;
mod rules_of_eye;
mod rules_of_pair;
mod slip;
mod standard;
mod table;
#[cfg(test)]
mod tests;
mod thinning;

pub use design::Design;
pub use deviation::{Deviation, deviation};
pub use finding::{Finding, Holding};
pub use fitting::{Fitting, judge_fitting};
pub use judge::{judge_eye, judge_pair};
pub use judgement::{Judgement, Verdict};
pub use limit::Limit;
pub use limits::{
    Allowed, EyeLimits, HeightLimits, Horizontal, JudgedPower, Limits, PdLimits, PrismLimit, ReferenceLimits,
};
pub use look::Look;
pub use made::Made;
pub use measured::{EyeReading, PairMeasured, PairOrder};
pub use missing::Missing;
pub use not_covered::{NoVerdict, NotCovered, Uncovered};
pub use places::Places;
pub use quantity::{Basis, Quantity, Stage, Subject, Unit};
pub use rule::{Bound, Citation, Rule, RuleWords};
pub use slip::Slip;
pub use standard::Standard;
pub use table::{Above, Centring, CentringRow, Meridian, PdRule, Reference, Rows, Steps, Table};
pub use thinning::{Thinning, ThinningKnown};
