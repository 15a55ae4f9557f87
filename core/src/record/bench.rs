//! The kinds of bench record.

use super::{
    Asked, CentreDistance, Check, Clock, Entered, Girth, JobId, LensId, Mark, NewLens, Opened, PairId, Pass,
    Reading, Spoilage,
};
use super::{StationEvent, Subject, Void};
use crate::prescription::Eye;
use heapless::Vec;

/// One bench fact of any kind.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Bench {
    /// A lens was lined up and spotted.
    Mark(Mark),
    /// A lens was ground and tried.
    Pass(Pass),
    /// A lens was read.
    Reading(Reading),
    /// The centres of a pair were measured.
    CentreDistance(CentreDistance),
    /// A girth was measured.
    Girth(Girth),
    /// Something was looked at.
    Check(Check),
    /// An earlier record does not hold.
    Void(Void),
    /// Something happened to the station.
    Station(StationEvent),
    /// An eye goes on with a new lens.
    NewLens(NewLens),
    /// A job was opened at the bench.
    Opened(Opened),
    /// Why a lens was spoiled.
    Spoiled(Spoilage),
    /// What the keypad's clock said.
    Clock(Clock),
}

impl Bench {
    /// The job it belongs to; what is told of the station and of the clock belongs to none.
    pub fn job(&self) -> Option<JobId> {
        match self {
            Self::CentreDistance(CentreDistance { pair, .. })
            | Self::Check(Check { of: Subject::Pair(pair), .. }) => Some(pair.job),
            Self::Void(void) => void.job,
            Self::Opened(opened) => Some(opened.job),
            Self::Station(_) | Self::Clock(_) => None,
            _ => self.lens().map(|lens| lens.job),
        }
    }

    /// The one lens it is about, if it is about one.
    pub const fn lens(&self) -> Option<LensId> {
        match self {
            Self::Mark(mark) => Some(mark.lens),
            Self::Pass(pass) => Some(pass.lens),
            Self::Reading(reading) => Some(reading.lens),
            Self::Girth(girth) => Some(girth.lens),
            Self::NewLens(new) => Some(new.lens),
            Self::Spoiled(spoiled) => Some(spoiled.lens),
            Self::Check(Check { of: Subject::Lens(lens), .. }) => Some(*lens),
            _ => None,
        }
    }

    /// The pair it is about, if it is about one.
    pub const fn pair(&self) -> Option<PairId> {
        match self {
            Self::CentreDistance(distance) => Some(distance.pair),
            Self::Check(Check { of: Subject::Pair(pair), .. }) => Some(*pair),
            _ => None,
        }
    }

    /// How it was entered; nothing is told of facts that have nothing preset.
    pub const fn entered(&self) -> Entered {
        match self {
            Self::Mark(mark) => mark.entered,
            Self::Reading(reading) => reading.entered,
            Self::CentreDistance(distance) => distance.entered,
            Self::Check(check) => check.entered,
            _ => Entered::UNTOLD,
        }
    }

    /// What of it a keypad asks, in the order in which it does.
    pub fn asked(&self) -> Vec<Asked, 5> {
        let all: &[(Asked, bool)] = match self {
            Self::Mark(_) => &[(Asked::Axis, true), (Asked::Prism, true)],
            Self::Reading(Reading { read, prism, add, .. }) => &[
                (Asked::Sphere, true),
                (Asked::Cylinder, true),
                (Asked::Axis, !read.power().cylinder.is_zero()),
                (Asked::Prism, prism.is_some()),
                (Asked::Add, add.is_some()),
            ],
            Self::CentreDistance(distance) => &of_centres(distance),
            Self::Check(_) => &[(Asked::Good, true)],
            _ => &[],
        };
        all.iter().filter_map(|(asked, has)| has.then_some(*asked)).collect()
    }

    /// The same fact as one of another job: how a job that was opened at the bench is filed under its order. What
    /// belongs to no job stays as it is.
    #[must_use]
    pub const fn filed_under(mut self, job: JobId) -> Self {
        match &mut self {
            Self::Mark(Mark { lens, .. })
            | Self::Pass(Pass { lens, .. })
            | Self::Reading(Reading { lens, .. })
            | Self::Girth(Girth { lens, .. })
            | Self::NewLens(NewLens { lens })
            | Self::Spoiled(Spoilage { lens, .. })
            | Self::Check(Check { of: Subject::Lens(lens), .. }) => lens.job = job,
            Self::CentreDistance(CentreDistance { pair, .. })
            | Self::Check(Check { of: Subject::Pair(pair), .. }) => pair.job = job,
            Self::Void(void) => void.job = Some(job),
            Self::Opened(opened) => opened.job = job,
            Self::Station(_) | Self::Clock(_) => {}
        }
        self
    }
}

fn of_centres(distance: &CentreDistance) -> [(Asked, bool); 5] {
    let half = |eye| (Asked::Half(eye), distance.centres.half(eye).is_some());
    let height = |eye| (Asked::Height(eye), distance.height(eye).is_some());
    let [right, left] = Eye::BOTH;
    let across = Eye::BOTH.into_iter().all(|eye| !half(eye).1);
    [(Asked::Pd, across), half(right), half(left), height(right), height(left)]
}

#[cfg(test)]
mod tests {
    use super::super::test_facts::every_kind;
    use super::*;
    use std::collections::HashSet;

    #[test]
    fn a_fact_filed_under_another_job_differs_in_nothing_else() {
        let (other, own) = (JobId(77), super::super::test_facts::JOB);
        for fact in every_kind() {
            let filed = fact.filed_under(other);
            assert_eq!(
                filed.job(),
                if matches!(fact, Bench::Station(_) | Bench::Clock(_)) { None } else { Some(other) }
            );
            let back = filed.filed_under(own);
            assert!(back == fact || matches!(fact, Bench::Void(Void { job: None, .. })));
        }
    }

    #[test]
    fn what_was_moved_counts_as_read_and_nothing_else_does() {
        for fact in every_kind() {
            for moved in fact.asked() {
                let mut entered = Entered::PRESET;
                entered.moved(moved);
                for asked in fact.asked() {
                    assert_eq!(entered.was_preset(asked), asked != moved, "{fact:?}");
                }
            }
        }
        assert!(!Entered::UNTOLD.is_told() && !Entered::UNTOLD.was_preset(Asked::Axis));
        assert!(Entered::READ.is_told() && !Entered::READ.was_preset(Asked::Axis));
    }

    #[test]
    fn what_one_fact_asks_has_a_bit_each_and_none_is_that_of_being_told() {
        for fact in every_kind() {
            let bits: HashSet<u8> = fact.asked().into_iter().map(Asked::bit).collect();
            assert_eq!(bits.len(), fact.asked().len());
            assert!(bits.iter().all(|bit| bit.count_ones() == 1 && *bit != 0x80));
        }
    }
}
