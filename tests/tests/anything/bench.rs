//! Facts of the bench that their bytes allow.

use crate::chance::Chance;
use bevelbook_core::frame::PupillaryDistance;
use bevelbook_core::prescription::{Eye, SphereCylinder};
use bevelbook_core::record::{
    Bench, CentreDistance, Check, CheckItem, Clock, Entered, Girth, GirthOf, JobId, JournalId, LensId, Mark,
    NewLens, Opened, PairId, Pass, Read, Reading, RecordId, Stage, StationEvent, Subject, Void,
};
use bevelbook_core::sizing::{Basis, Counting, Dial, Dialled, Outcome, Rim};
use bevelbook_core::units::{Axis, Length, Power, Prism, PrismPair};

impl Chance {
    /// A number that is at an edge more often than not.
    pub(crate) fn edge(&mut self) -> i32 {
        let edges = [0, 1, -1, 50, 20_000, i32::MAX, i32::MIN];
        if self.once_in(3) { self.below(u32::MAX as usize) as u32 as i32 } else { self.one(&edges) }
    }

    /// What a unit can hold at most or least, or anything between.
    pub(crate) fn within(&mut self, limit: i32) -> i32 {
        match self.below(4) {
            0 => limit,
            1 => -limit,
            2 => self.one(&[0, 1, -1]),
            _ => self.below(2 * limit as usize + 1) as i32 - limit,
        }
    }

    pub(crate) fn any_length(&mut self) -> Length {
        Length::from_milli(self.within(Length::LIMIT))
    }

    pub(crate) fn any_power(&mut self) -> Power {
        Power::from_milli(self.within(Power::LIMIT))
    }

    fn any_axis(&mut self) -> Axis {
        Axis::from_milli(self.one(&[1, 90_000, 180_000]))
    }

    fn any_entered(&mut self) -> Entered {
        self.one(&[Entered::UNTOLD, Entered::READ, Entered::PRESET])
    }

    fn any_prism(&mut self) -> PrismPair {
        let [base_in, base_up] = [(); 2].map(|()| Prism::from_milli(self.within(Prism::LIMIT)));
        PrismPair { base_in, base_up }
    }

    fn any_number(&mut self) -> u8 {
        self.one(&[1, 1, 1, 1, 2, 2, 3, 0, 255])
    }

    fn any_counting(&mut self) -> Counting {
        let from = self.any_length();
        self.one(&[Counting::Absolute, Counting::TakeOff { from }, Counting::TakeOff { from }])
    }
}

/// Anything about a job.
pub(crate) fn anything(chance: &mut Chance, job: JobId, journal: JournalId) -> Bench {
    let lens = LensId { job, eye: chance.one(&Eye::BOTH), number: chance.any_number() };
    let pair = PairId { job, numbers: [chance.any_number(), chance.any_number()] };
    match chance.below(20) {
        0 => Bench::Mark(Mark {
            entered: chance.any_entered(),
            lens,
            axis: chance.any_axis(),
            prism: chance.any_prism(),
        }),
        1..=8 => {
            let (basis, counting) = (chance.one(&Basis::ALL), chance.any_counting());
            let dialled = Dialled { basis, counting, amount: chance.any_length() };
            let (outcome, past) = (chance.one(&Outcome::ALL), chance.once_in(2));
            let advised = chance.once_in(2).then(|| chance.any_length());
            Bench::Pass(Pass { advised, lens, dialled, outcome, past })
        }
        9..=11 => {
            let [first, second] = [(); 2].map(|()| chance.any_power());
            let wheel = chance.any_axis();
            let direct = SphereCylinder { sphere: first, cylinder: second, axis: wheel };
            let read = chance.one(&[Read::Lines { first, second, wheel }, Read::Direct(direct)]);
            let (prism, add) = (Some(chance.any_prism()), Some(chance.any_power()));
            Bench::Reading(Reading {
                entered: chance.any_entered(),
                lens,
                stage: chance.one(&[Stage::Uncut, Stage::Mounted]),
                read,
                prism: prism.filter(|_| !chance.once_in(4)),
                add: add.filter(|_| chance.once_in(2)),
            })
        }
        12 => {
            let [right, left] = [(); 2].map(|()| chance.any_length());
            let apart = PupillaryDistance::Monocular { right, left };
            let one = PupillaryDistance::OneEye { eye: lens.eye, distance: left };
            let centres = chance.one(&[apart, PupillaryDistance::Binocular(right), one]);
            Bench::CentreDistance(CentreDistance {
                entered: chance.any_entered(),
                pair,
                centres,
                heights: Some([left, right]),
            })
        }
        13 => {
            let of = chance.one(&[GirthOf::Lens, GirthOf::Rim]);
            Bench::Girth(Girth { lens, of, girth: chance.any_length() })
        }
        14..=16 => {
            let of = chance.one(&[Subject::Lens(lens), Subject::Pair(pair)]);
            Bench::Check(Check {
                entered: chance.any_entered(),
                of,
                item: chance.one(&CheckItem::ALL),
                good: chance.once_in(2),
            })
        }
        17 => {
            let seq = chance.one(&[0, u32::MAX, chance_seq(job)]);
            Bench::Void(Void { job: Some(job), target: RecordId { journal, seq } })
        }
        18 => Bench::NewLens(NewLens { lens }),
        _ => Bench::Opened(Opened { job, rim: chance.one(&Rim::ALL) }),
    }
}

/// The number of a record somewhere among those of a job.
fn chance_seq(job: JobId) -> u32 {
    (job.0 as u32).wrapping_mul(60)
}

/// Anything about the station, or what a clock said.
pub(crate) fn station(chance: &mut Chance) -> Bench {
    let dial = StationEvent::Dial(dial(chance));
    let station =
        Bench::Station(chance.one(&[dial, dial, StationEvent::NewWheel, StationEvent::Recalibrated]));
    let utc_s = chance.one(&[None, Some(0), Some(1_795_867_200), Some(u32::MAX)]);
    chance.one(&[station, station, Bench::Clock(Clock { utc_s })])
}

/// Any dial.
pub(crate) fn dial(chance: &mut Chance) -> Dial {
    let (basis, counting) = (chance.one(&Basis::ALL), chance.any_counting());
    Dial { basis, counting, step: chance.any_length() }
}

/// So many passes that take off as much as a record can say, on one basis after the other.
pub(crate) fn take_off_for_ever(job: JobId, passes: usize) -> Vec<Bench> {
    let lens = PairId::first(job).lens(Eye::Right);
    let length = Length::from_milli(Length::LIMIT);
    let counting = Counting::TakeOff { from: length };
    let pass = |basis| {
        let dialled = Dialled { basis, counting, amount: length };
        Bench::Pass(Pass { advised: None, lens, dialled, outcome: Outcome::JustTooBig, past: false })
    };
    let same = std::iter::repeat_n(Basis::Girth, passes);
    same.chain(Basis::ALL.into_iter().cycle().take(passes)).map(pass).collect()
}
