//! The demo at its bench: facts logged one by one.

use super::{Demo, Failure};
use crate::work::{Fact, Logging, PassEntry, WorkError};
use bevelbook_core::frame::PupillaryDistance;
use bevelbook_core::prescription::Eye;
use bevelbook_core::record::{
    Bench as BenchFact, CentreDistance, Check, CheckItem, JobId, Mark, Read, Reading,
};
use bevelbook_core::record::{Stage, Subject};
use bevelbook_core::sizing::Outcome;
use bevelbook_core::units::{Axis, Length, Power, Prism, PrismPair};

/// Something that happens at the bench, in thousandths of its unit.
pub(super) enum Event {
    /// First line, second line, axis wheel in degrees, prism base in and up.
    Read(Eye, Stage, [i32; 2], i16, [i32; 2]),
    /// Lined up at the axis, in degrees.
    Mark(Eye, i16),
    /// Dialled and felt.
    Pass(Eye, i32, Outcome),
    /// The hand reaches for a size past the fit; the guard should hold.
    Reach(Eye, i32),
    /// The centres, right and left.
    Centres([i32; 2]),
    /// One lens was looked over and is good.
    LensGood(Eye, &'static [CheckItem]),
    /// The pair was looked over and is good.
    PairGood(CheckItem),
}

/// The demo with one job on the bench.
pub(super) struct Bench<'a> {
    demo: &'a mut Demo,
    job: JobId,
}

impl<'a> Bench<'a> {
    pub(super) fn at(demo: &'a mut Demo, job: JobId) -> Self {
        Self { demo, job }
    }

    /// Logs every event and says what was logged.
    pub(super) fn log(&mut self, events: &[Event]) -> Result<(), Failure> {
        for event in events {
            match *event {
                Event::Read(eye, stage, lines, wheel, prism) => self.read(eye, stage, lines, wheel, prism)?,
                Event::Mark(eye, axis) => {
                    let (axis, prism) = (Axis::from_degrees(axis), PrismPair::NONE);
                    self.lens(eye, |lens| BenchFact::Mark(Mark { lens, axis, prism }))?;
                }
                Event::Pass(eye, amount, outcome) => {
                    let entry = pass(eye, amount, outcome);
                    let logging = self.demo.work.log_pass(self.job, &entry)?;
                    self.say(&logging);
                }
                Event::Reach(eye, amount) => self.reach(eye, amount)?,
                Event::Centres(centres) => {
                    let [right, left] = centres.map(Length::from_milli);
                    let centres = PupillaryDistance::Monocular { right, left };
                    let fact =
                        |pair| BenchFact::CentreDistance(CentreDistance { pair, centres, heights: None });
                    let logging = self.demo.work.log_pair(self.job, fact)?;
                    self.say(&logging);
                }
                Event::LensGood(eye, items) => {
                    for item in items.iter().copied() {
                        self.lens(eye, |lens| {
                            BenchFact::Check(Check { of: Subject::Lens(lens), item, good: true })
                        })?;
                    }
                }
                Event::PairGood(item) => {
                    let fact = |pair| BenchFact::Check(Check { of: Subject::Pair(pair), item, good: true });
                    let logging = self.demo.work.log_pair(self.job, fact)?;
                    self.say(&logging);
                }
            }
        }
        Ok(())
    }

    fn read(
        &mut self,
        eye: Eye,
        stage: Stage,
        lines: [i32; 2],
        wheel: i16,
        prism: [i32; 2],
    ) -> Result<(), Failure> {
        let [first, second] = lines.map(Power::from_milli);
        let read = Read::Lines { first, second, wheel: Axis::from_degrees(wheel) };
        let [base_in, base_up] = prism.map(Prism::from_milli);
        let prism = Some(PrismPair { base_in, base_up });
        self.lens(eye, |lens| BenchFact::Reading(Reading { lens, stage, read, prism, add: None }))
    }

    fn lens(
        &mut self,
        eye: Eye,
        fact: impl FnOnce(bevelbook_core::record::LensId) -> BenchFact,
    ) -> Result<(), Failure> {
        let logging = self.demo.work.log_lens(self.job, eye, fact)?;
        self.say(&logging);
        Ok(())
    }

    fn reach(&mut self, eye: Eye, amount: i32) -> Result<(), Failure> {
        match self.demo.work.log_pass(self.job, &pass(eye, amount, Outcome::Loose)) {
            Err(WorkError::Guard { refusal }) => {
                self.demo.tell(&format!("the guard holds: {refusal}"));
                Ok(())
            }
            Ok(_) => Err(Failure::Fault("the demo expected the guard to hold".into())),
            Err(other) => Err(other.into()),
        }
    }

    fn say(&self, logging: &Logging) {
        let rim = logging.after.order.frame.rim;
        self.demo.tell(&Fact::Bench(logging.fact).describe(rim));
    }
}

fn pass(eye: Eye, amount: i32, outcome: Outcome) -> PassEntry {
    PassEntry { eye, amount: Length::from_milli(amount), outcome, insist: false }
}
