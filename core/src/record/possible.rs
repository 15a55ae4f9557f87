//! What a fact of the bench can say.
//!
//! The bytes of a record allow whatever its units can hold; a bench does not. One bound is stated here for each figure,
//! and whoever takes a fact in asks it: the console for what is typed and for what a keypad sent. Bounds are common
//! practice, no source, unless one is named: wide enough for whatever happens at a bench, narrow enough to catch a slip.

use super::{
    Bench, CentreDistance, Check, Girth, JobId, LensId, Logged, Mark, NewLens, Opened, PairId, Read, Reading,
    StationEvent, Subject,
};
use crate::frame::PupillaryDistance;
use crate::prescription::SphereCylinder;
use crate::sizing::{Counting, Dial, Dialled};
use crate::units::{Length, PrismPair};
use core::ops::RangeInclusive;

/// What a figure can be, and that in words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Possible {
    /// In thousandths of its unit, both ends included.
    pub range: RangeInclusive<i32>,
    /// In words, as what is expected.
    pub expected: &'static str,
}

impl Possible {
    /// The smallest step of a dial.
    pub const STEP: Self = Self { range: 1..=1000, expected: "a step above 0 and at most 1 mm" };
    /// What a first cut with nothing taken off leaves over the traced shape.
    pub const FIRST_CUT: Self =
        Self { range: 0..=20_000, expected: "what a first cut leaves, from 0 to 20 mm" };
    /// The figure on a dial. Beyond this no figure is a size over a traced shape.
    pub const DIALLED: Self = Self {
        range: -20_000..=20_000,
        expected: "a figure of the dial within ±20 mm (is the decimal point missing?)",
    };
    /// An amount to take off: material cannot be put back.
    pub const TAKEN_OFF: Self =
        Self { range: 0..=20_000, expected: "an amount to take off, from 0 to 20 mm" };
    /// What a focimeter shows in a meridian: as far as a sphere and a cylinder that are ordered reach together.
    pub const POWER: Self = Self {
        range: -40_000..=40_000,
        expected: "a power within ±40 D in each meridian (is the decimal point missing?)",
    };
    /// Prism as it is read, across and up.
    pub const PRISM: Self = Self { range: -40_000..=40_000, expected: "a prism within 40 Δ each way" };
    /// An addition as it is read.
    pub const ADDITION: Self = Self { range: 1..=10_000, expected: "an addition above zero, at most 10 D" };
    /// A height above the lower side of the box, which is at most 65 mm high.
    pub const HEIGHT: Self = Self { range: 1..=65_000, expected: "a height above 0 and at most 65 mm" };
    /// A girth: round the smallest box and round the largest, 25 by 15 and 75 by 65 mm, and some.
    pub const GIRTH: Self = Self { range: 40_000..=300_000, expected: "a girth from 40 to 300 mm" };

    /// The figure on a dial that counts like this.
    pub const fn dialled(counting: Counting) -> Self {
        match counting {
            Counting::Absolute => Self::DIALLED,
            Counting::TakeOff { .. } => Self::TAKEN_OFF,
        }
    }

    /// Whether so many thousandths can be.
    pub fn holds(&self, milli: i32) -> bool {
        self.range.contains(&milli)
    }

    fn of(&self, milli: i32) -> Result<(), Impossible> {
        let (found, expected) = (Length::from_milli(milli), self.expected);
        if self.holds(milli) { Ok(()) } else { Err(Impossible::Figure { found, expected }) }
    }
}

/// Why a fact cannot be.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Impossible {
    /// A figure is beyond its bound.
    #[error("{found} is not {expected}")]
    Figure {
        /// The figure, as a number.
        found: Length,
        /// What it can be.
        expected: &'static str,
    },
    /// A PD is beyond its bound.
    #[error("{0} is no PD: 15 to 45 mm for each eye, or 35 to 90 mm for both")]
    PupillaryDistance(PupillaryDistance),
    /// A lens has no such number.
    #[error("there is no lens {0} that it can tell of: lenses count from 1, and a new one from 2")]
    Lens(u8),
    /// What is looked at on a lens is told of a pair, or the other way round.
    #[error("{0}: the alignment of a frame belongs to the pair, anything else to one lens")]
    Subject(super::CheckItem),
    /// A record opens another job than its own.
    #[error("a record at the bench opens a job of its own, not job {0}")]
    Opened(JobId),
}

impl Logged {
    /// Whether a bench can say that, with this record.
    ///
    /// # Errors
    /// It cannot; what of it.
    pub fn possible(&self) -> Result<(), Impossible> {
        match self.fact {
            Bench::Opened(Opened { job, .. }) if job != JobId::opened_by(self.id) => {
                Err(Impossible::Opened(job))
            }
            fact => fact.possible(),
        }
    }
}

impl Bench {
    /// Whether a bench can say that.
    ///
    /// # Errors
    /// It cannot; what of it.
    pub fn possible(&self) -> Result<(), Impossible> {
        if let Some(LensId { number: 0, .. }) = self.lens() {
            return Err(Impossible::Lens(0));
        }
        if self.pair().is_some_and(|PairId { numbers, .. }| numbers.contains(&0)) {
            return Err(Impossible::Lens(0));
        }
        match self {
            Self::Mark(Mark { prism, .. }) => prism_as_read(*prism),
            Self::Pass(pass) => {
                as_dialled(&pass.dialled)?;
                pass.refused().map_or(Ok(()), |advised| as_dialled(&advised))
            }
            Self::Reading(reading) => as_read(reading),
            Self::CentreDistance(CentreDistance { centres, heights, .. }) => {
                if !centres.is_usual() {
                    return Err(Impossible::PupillaryDistance(*centres));
                }
                heights.iter().flatten().try_for_each(|height| Possible::HEIGHT.of(height.milli()))
            }
            Self::Girth(Girth { girth, .. }) => Possible::GIRTH.of(girth.milli()),
            Self::Check(Check { of, item, .. }) => {
                let of_pair = matches!(of, Subject::Pair(_));
                if of_pair == item.is_of_pair() { Ok(()) } else { Err(Impossible::Subject(*item)) }
            }
            Self::Station(StationEvent::Dial(dial)) => as_stated(dial),
            Self::NewLens(NewLens { lens }) if lens.number < 2 => Err(Impossible::Lens(lens.number)),
            Self::Station(_)
            | Self::NewLens(_)
            | Self::Void(_)
            | Self::Opened(_)
            | Self::Spoiled(_)
            | Self::Clock(_) => Ok(()),
        }
    }
}

fn as_stated(dial: &Dial) -> Result<(), Impossible> {
    Possible::STEP.of(dial.step.milli())?;
    counted(dial.counting)
}

fn counted(counting: Counting) -> Result<(), Impossible> {
    match counting {
        Counting::Absolute => Ok(()),
        Counting::TakeOff { from } => Possible::FIRST_CUT.of(from.milli()),
    }
}

fn as_dialled(dialled: &Dialled) -> Result<(), Impossible> {
    counted(dialled.counting)?;
    Possible::dialled(dialled.counting).of(dialled.amount.milli())
}

fn as_read(reading: &Reading) -> Result<(), Impossible> {
    let meridians = match reading.read {
        Read::Direct(power @ SphereCylinder { sphere, .. }) => [sphere, power.combined_power()],
        Read::Lines { first, second, .. } => [first, second],
    };
    meridians.iter().try_for_each(|power| Possible::POWER.of(power.milli()))?;
    reading.prism.map_or(Ok(()), prism_as_read)?;
    reading.add.map_or(Ok(()), |add| Possible::ADDITION.of(add.milli()))
}

fn prism_as_read(prism: PrismPair) -> Result<(), Impossible> {
    [prism.base_in, prism.base_up].iter().try_for_each(|part| Possible::PRISM.of(part.milli()))
}

#[cfg(test)]
mod tests {
    use super::super::test_facts::{JOB, every_kind, logged};
    use super::super::{CheckItem, Entered, GirthOf, Pass};
    use super::*;
    use crate::prescription::Eye;
    use crate::record::{JournalId, RecordId, Stage};
    use crate::sizing::{Basis, Outcome, Rim};
    use crate::units::{Axis, Power};
    use std::string::ToString;

    const PAIR: PairId = PairId::first(JOB);

    fn mm(milli: i32) -> Length {
        Length::from_milli(milli)
    }

    fn dial(step: i32, from: i32) -> Bench {
        let counting = Counting::TakeOff { from: mm(from) };
        Bench::Station(StationEvent::Dial(Dial { basis: Basis::Diameter, counting, step: mm(step) }))
    }

    fn pass(counting: Counting, amount: i32) -> Bench {
        let dialled = Dialled { basis: Basis::Girth, counting, amount: mm(amount) };
        let lens = PAIR.lens(Eye::Left);
        Bench::Pass(Pass { advised: None, lens, dialled, outcome: Outcome::Fits, past: false })
    }

    fn advised(counting: Counting, amount: i32) -> Bench {
        let Bench::Pass(pass) = pass(counting, 0) else { unreachable!() };
        Bench::Pass(Pass { advised: Some(mm(amount)), ..pass })
    }

    fn read(first: i32, second: i32, add: Option<i32>) -> Bench {
        let [first, second] = [first, second].map(Power::from_milli);
        let read = Read::Lines { first, second, wheel: Axis::VERTICAL };
        let lens = PAIR.lens(Eye::Left);
        Bench::Reading(Reading {
            entered: Entered::READ,
            lens,
            stage: Stage::Uncut,
            read,
            prism: None,
            add: add.map(Power::from_milli),
        })
    }

    fn centres(total: i32, height: i32) -> Bench {
        let centres = PupillaryDistance::Binocular(mm(total));
        Bench::CentreDistance(CentreDistance {
            entered: Entered::READ,
            pair: PAIR,
            centres,
            heights: Some([mm(18_000), mm(height)]),
        })
    }

    fn girth(milli: i32) -> Bench {
        Bench::Girth(Girth { lens: PAIR.lens(Eye::Left), of: GirthOf::Lens, girth: mm(milli) })
    }

    #[test]
    fn what_happens_at_a_bench_is_possible() {
        for fact in every_kind().into_iter().filter(|fact| !matches!(fact, Bench::NewLens(_))) {
            assert_eq!(fact.possible(), Ok(()), "{fact:?}");
        }
    }

    #[test]
    fn each_figure_has_its_ends_and_a_thousandth_more_is_refused() {
        let off = Counting::TakeOff { from: mm(500) };
        type Of = fn(i32) -> Bench;
        let ends: [(Of, [i32; 2]); 13] = [
            (|step| dial(step, 0), [1, 1000]),
            (|from| dial(50, from), [0, 20_000]),
            (|amount| pass(Counting::Absolute, amount), [-20_000, 20_000]),
            (|amount| pass(Counting::TakeOff { from: mm(500) }, amount), [0, 20_000]),
            (|from| pass(Counting::TakeOff { from: mm(from) }, 0), [0, 20_000]),
            (|amount| advised(Counting::Absolute, amount), [-20_000, 20_000]),
            (|amount| advised(Counting::TakeOff { from: mm(500) }, amount), [0, 20_000]),
            (|first| read(first, 0, None), [-40_000, 40_000]),
            (|second| read(0, second, None), [-40_000, 40_000]),
            (|add| read(0, 0, Some(add)), [1, 10_000]),
            (|total| centres(total, 18_000), [35_000, 90_000]),
            (|height| centres(62_000, height), [1, 65_000]),
            (girth, [40_000, 300_000]),
        ];
        for (fact, [least, most]) in ends {
            for milli in [least, most] {
                assert_eq!(fact(milli).possible(), Ok(()), "{:?}", fact(milli));
            }
            for milli in [least - 1, most + 1, -Length::LIMIT, Length::LIMIT] {
                assert!(fact(milli).possible().is_err(), "{:?}", fact(milli));
            }
        }
        assert_eq!(
            pass(off, 1_000_000).possible().unwrap_err().to_string(),
            "1000 is not an amount to take off, from 0 to 20 mm"
        );
    }

    #[test]
    fn a_fact_tells_of_what_can_be_told_of() {
        let lens = |number| LensId { number, ..PAIR.lens(Eye::Right) };
        assert_eq!(Bench::NewLens(NewLens { lens: lens(2) }).possible(), Ok(()));
        assert_eq!(Bench::NewLens(NewLens { lens: lens(1) }).possible(), Err(Impossible::Lens(1)));
        let check =
            |of, item| Bench::Check(Check { entered: Entered::READ, of, item, good: true }).possible();
        assert!(check(Subject::Lens(lens(0)), CheckItem::Firm).is_err());
        assert!(check(Subject::Pair(PairId { numbers: [1, 0], ..PAIR }), CheckItem::Alignment).is_err());
        assert!(check(Subject::Lens(lens(1)), CheckItem::Alignment).is_err());
        assert!(check(Subject::Pair(PAIR), CheckItem::Strain).is_err());
    }

    #[test]
    fn a_record_opens_a_job_of_its_own() {
        let id = RecordId { journal: JournalId(5), seq: 3 };
        let opens = |job| logged(3, Bench::Opened(Opened { job, rim: Rim::Metal })).possible();
        assert_eq!(opens(JobId::opened_by(id)), Ok(()));
        assert_eq!(opens(JOB), Err(Impossible::Opened(JOB)));
    }
}
