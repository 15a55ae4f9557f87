//! The facts of the bench, and the one ledger of what holds of them.
//!
//! A record is one fact, written once and never changed; a mistake is undone by a later record that voids it. It
//! is known by its journal and its number there ([`RecordId`]). The kinds defined here ([`Bench`]) carry codes and
//! numbers only and are small enough for a keypad's memory slot; the console adds kinds of any length of its own.
//! What holds of the records is worked out by one [`Ledger`] for both ends, which folds them into a [`JobState`].
//!
//! ```
//! use bevelbook_core::prescription::Eye;
//! use bevelbook_core::record::{
//!     Bench, JobId, JournalId, Ledger, LensId, Logged, Notes, Pass, RecordId, Told, Void,
//! };
//! use bevelbook_core::sizing::{Basis, Counting, Dialled, Outcome};
//! use bevelbook_core::units::Length;
//! use std::collections::BTreeSet;
//!
//! #[derive(Default)]
//! struct Undone(BTreeSet<RecordId>);
//!
//! impl Notes for Undone {
//!     fn note_void(&mut self, target: RecordId) {
//!         self.0.insert(target);
//!     }
//!     fn is_void(&self, id: RecordId) -> bool {
//!         self.0.contains(&id)
//!     }
//!     fn note_filing(&mut self, _: JobId, _: JobId) {}
//!     fn filed_under(&self, _: JobId) -> Option<JobId> {
//!         None
//!     }
//! }
//!
//! let lens = LensId { job: JobId(1), eye: Eye::Right, number: 1 };
//! let amount = Length::from_milli(200);
//! let dialled = Dialled { basis: Basis::Diameter, counting: Counting::Absolute, amount };
//! let pass = Bench::Pass(Pass { advised: None, lens, dialled, outcome: Outcome::Fits, past: false });
//! let id = |seq| RecordId { journal: JournalId(7), seq };
//! let undone = Bench::Void(Void { job: Some(lens.job), target: id(1) });
//! let records = [(1, pass), (2, undone), (3, pass)].map(|(seq, fact)| Told::from(Logged { id: id(seq), fact }));
//! let ledger = Ledger::over(records.iter().copied(), Undone::default());
//! // Two were logged, one of them was undone.
//! assert_eq!(ledger.lens(lens, records.iter().copied()).sizing.passes, 1);
//! ```

mod bench;
mod cause;
mod check;
mod codec;
mod entered;
mod facts;
mod flow;
mod id;
mod ledger;
mod next;
mod possible;
mod state;
mod stored;

pub use bench::Bench;
pub use cause::{Cause, Spoilage};
pub use check::{Check, CheckItem, Checks, Subject};
pub use codec::{DecodeError, FIRST_DESK_KIND, MAX_ENCODED};
pub use entered::{Asked, Entered};
pub use facts::{
    CentreDistance, Clock, Girth, GirthOf, Mark, NewLens, Opened, Pass, Read, Reading, StationEvent, Void,
};
pub use flow::Flow;
pub use id::{JobId, JournalId, LensId, PairId, RecordId, StationId};
pub use ledger::{Ledger, Logged, Notes, Placed, Tells, Told};
pub use next::{Progress, STEPS, Step};
pub use possible::{Impossible, Possible};
pub use state::{JobState, LensState};
pub use stored::Stored;

pub use crate::tolerance::Stage;

/// Facts for the tests of this module.
#[cfg(test)]
mod test_facts {
    use super::*;
    use crate::frame::PupillaryDistance;
    use crate::prescription::{Eye, SphereCylinder};
    use crate::sizing::{Basis, Counting, Dial, Dialled, Outcome, Rim};
    use crate::units::{Axis, Length, Power, PrismPair};
    use std::vec::Vec;

    pub(super) const JOB: JobId = JobId(0x0123_4567_89ab_cdef);

    pub(super) fn logged(seq: u32, fact: Bench) -> Logged {
        Logged { id: RecordId { journal: JournalId(5), seq }, fact }
    }

    pub(super) fn dial(step: i32) -> Dial {
        Dial { basis: Basis::Diameter, counting: Counting::Absolute, step: Length::from_milli(step) }
    }

    pub(super) fn pass_at(eye: Eye, number: u8, milli: i32, outcome: Outcome) -> Bench {
        let amount = Length::from_milli(milli);
        let dialled = Dialled { basis: Basis::Diameter, counting: Counting::Absolute, amount };
        Bench::Pass(Pass {
            advised: None,
            lens: LensId { job: JOB, eye, number },
            dialled,
            outcome,
            past: false,
        })
    }

    pub(super) fn reading(eye: Eye, stage: Stage, sphere: i32) -> Bench {
        let lens = LensId { job: JOB, eye, number: 1 };
        let read = Read::Direct(SphereCylinder::sphere(Power::from_milli(sphere)));
        Bench::Reading(Reading {
            entered: Entered::READ,
            lens,
            stage,
            read,
            prism: Some(PrismPair::NONE),
            add: None,
        })
    }

    /// One fact of each kind, all of the first lenses of [`JOB`].
    pub(super) fn every_kind() -> Vec<Bench> {
        let pair = PairId { job: JOB, numbers: [1, 1] };
        let lens = pair.lens(Eye::Right);
        let length = Length::from_milli;
        let read = Read::Lines {
            first: Power::from_milli(-1250),
            second: Power::from_milli(-2000),
            wheel: Axis::from_degrees(15),
        };
        let centres = PupillaryDistance::Monocular { right: length(31_500), left: length(30_000) };
        std::vec![
            Bench::Mark(Mark { entered: Entered::READ, lens, axis: Axis::VERTICAL, prism: PrismPair::NONE }),
            pass_at(Eye::Right, 1, 350, Outcome::JustTooBig),
            Bench::Reading(Reading {
                entered: Entered::READ,
                lens,
                stage: Stage::Mounted,
                read,
                prism: None,
                add: Some(Power::from_milli(2000))
            }),
            Bench::CentreDistance(CentreDistance {
                entered: Entered::READ,
                pair,
                centres,
                heights: Some([length(18_000); 2])
            }),
            Bench::Girth(Girth { lens, of: GirthOf::Rim, girth: length(141_250) }),
            Bench::Check(Check {
                entered: Entered::READ,
                of: Subject::Pair(pair),
                item: CheckItem::Alignment,
                good: true
            }),
            Bench::Void(Void { job: None, target: RecordId { journal: JournalId(5), seq: 900 } }),
            Bench::Station(StationEvent::Dial(dial(50))),
            Bench::NewLens(NewLens { lens }),
            Bench::Opened(Opened { job: JOB, rim: Rim::Plastic }),
            Bench::Spoiled(Spoilage { lens, cause: Cause::Slipped }),
            Bench::Clock(Clock { utc_s: Some(1_795_877_615) }),
        ]
    }
}
