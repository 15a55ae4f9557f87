//! A job as its records tell it.

use super::WorkError;
use super::holding::{Fact, Holding, Line, course};
use crate::desk::{Arrival, Closing, Desk, Making, Order, Remake, Segments, SignOff};
use bevelbook_core::prescription::{Eye, Wanted};
use bevelbook_core::record::{
    Bench, Flow, JobId, JobState, LensId, LensState, NewLens, PairId, RecordId, Step,
};
use jiff::Timestamp;

/// A job: what holds of its records.
#[derive(Clone, Debug)]
pub struct Job {
    /// Its identity.
    pub id: JobId,
    /// The order as amended.
    pub order: Order,
    /// Every record, oldest first, those of jobs filed under it among them.
    pub lines: Vec<Line>,
    /// The state of its work.
    pub state: JobState,
    /// Every lens that each eye has had, the present one last; right, left.
    pub lenses: [Vec<LensState>; 2],
    /// The jobs of a bench that are filed under it, in the order of their filings.
    pub filed: Vec<JobId>,
    /// The standing sign-off: for the present lenses and nothing written since.
    pub signed: Option<SignOff>,
    /// How it ended, if it did.
    pub closed: Option<Closing>,
    /// How each of the present lenses came in, where that was noted; right, left.
    pub arrived: [Option<Arrival>; 2],
    /// How each of the present lenses is made, as far as that was measured; right, left.
    pub made: [Option<Making>; 2],
    /// How far apart the segments of the present pair are, if that was measured.
    pub segments: Option<Segments>,
}

impl Job {
    /// The job `id`, out of what bears on it.
    ///
    /// # Errors
    /// There is no order among the records, or one that must be understood is damaged.
    pub(super) fn of(id: JobId, holding: Holding) -> Result<Self, WorkError> {
        let damaged = |what: String| WorkError::Damaged { job: id.to_string(), what };
        let state = holding.ledger.job(id, holding.told());
        let lenses = Eye::BOTH.map(|eye| {
            let lens = |number| LensId { number, ..state.pair.lens(eye) };
            let of = |number| holding.ledger.lens(lens(number), holding.told());
            (1..=state.pair.numbers[eye.index()]).map(of).collect()
        });
        let Holding { ledger, mut lines } = holding;
        lines.retain(|line| line.job.is_some_and(|job| ledger.owner(job) == id));
        let mut desk = DeskState::default();
        for line in &lines {
            let refuse = |what: &str| damaged(format!("record {}: {what}", line.id));
            match &line.fact {
                Fact::Damaged(what) => return Err(refuse(what)),
                Fact::Desk(fact) if !line.void => {
                    desk.apply(fact).map_err(|error| refuse(&error.to_string()))?;
                }
                Fact::Bench(fact) if !line.void => desk.worked(fact),
                Fact::Bench(_) | Fact::Desk(_) | Fact::Unknown(_) => {}
            }
        }
        let DeskState { order, mut filed, signed, closed, mut arrived, made, segments, begun: _ } = desk;
        filed.retain(|from| ledger.owner(*from) == id);
        let order = order.ok_or_else(|| damaged("it has no order".into()))?;
        let PairId { numbers, .. } = state.pair;
        let made =
            Eye::BOTH.map(|eye| made[eye.index()].filter(|making| making.lens == numbers[eye.index()]));
        for (arrived, number) in arrived.iter_mut().zip(numbers) {
            arrived.take_if(|arrival| arrival.lens != number);
        }
        let signed = signed.filter(|signed| signed.lenses == numbers);
        let segments = segments.filter(|segments| segments.lenses == numbers);
        Ok(Self { id, order, lines, state, lenses, filed, signed, closed, arrived, made, segments })
    }

    /// The lenses that the job is at.
    #[must_use]
    pub const fn pair(&self) -> PairId {
        self.state.pair
    }

    /// The lens that the job is at for `eye`.
    ///
    /// # Errors
    /// None is made.
    pub fn made(&self, eye: Eye) -> Result<LensId, WorkError> {
        let (number, wanted) = (self.order.number, self.order.eye(eye).wanted);
        let stays = wanted.power_is_known();
        wanted.is_made().then(|| self.pair().lens(eye)).ok_or(WorkError::NotMade { number, eye, stays })
    }

    /// The number of the lens that the job is at for `eye`.
    #[must_use]
    pub const fn lens_number(&self, eye: Eye) -> u8 {
        self.state.pair.numbers[eye.index()]
    }

    /// The state of one of its lenses after each record that tells of it, oldest first.
    #[must_use]
    pub fn course(&self, lens: LensId) -> Vec<(RecordId, LensState)> {
        course(lens, self.lines.iter())
    }

    /// Its records that are not void, oldest first.
    pub fn standing(&self) -> impl DoubleEndedIterator<Item = &Line> + Clone {
        self.lines.iter().filter(|line| !line.void)
    }

    /// Its remakes, oldest first.
    pub fn remakes(&self) -> impl Iterator<Item = &Remake> {
        self.standing().filter_map(|line| match &line.fact {
            Fact::Desk(Desk::Remake(remake)) => Some(remake),
            _ => None,
        })
    }

    /// The position of the record that opened it.
    #[must_use]
    pub fn opened_at(&self) -> Option<i64> {
        let order =
            |line: &&Line| line.job == Some(self.id) && matches!(line.fact, Fact::Desk(Desk::Order(_)));
        self.lines.iter().find(order).map(|line| line.position)
    }

    /// When it was closed, if it is and that is known.
    #[must_use]
    pub fn closed_at(&self) -> Option<Timestamp> {
        self.closed.as_ref()?;
        self.standing().rfind(|line| matches!(line.fact, Fact::Desk(Desk::Closing(_))))?.at
    }

    /// What is to be made for each eye, right and left.
    #[must_use]
    pub fn wanted(&self) -> [Wanted; 2] {
        Eye::BOTH.map(|eye| self.order.eye(eye).wanted)
    }

    /// The next expected step at the bench of a shop that goes along the line like this.
    #[must_use]
    pub fn next(&self, flow: Flow) -> Step {
        self.state.next(self.wanted(), flow)
    }
}

/// What the console's own records add to the state of the work.
#[derive(Default)]
struct DeskState {
    order: Option<Order>,
    filed: Vec<JobId>,
    signed: Option<SignOff>,
    closed: Option<Closing>,
    arrived: [Option<Arrival>; 2],
    made: [Option<Making>; 2],
    segments: Option<Segments>,
    /// The highest lens number that was begun of each eye.
    begun: [u8; 2],
}

impl DeskState {
    fn apply(&mut self, fact: &Desk) -> Result<(), serde_json::Error> {
        match fact {
            Desk::Order(order) => self.order = Some((**order).clone()),
            Desk::Amendment(amendment) => {
                if let Some(order) = &self.order {
                    self.order = Some(amendment.amend(order)?);
                }
                self.signed = None;
            }
            Desk::Remake(remake) => self.go_on(remake.eye, remake.lens),
            Desk::SignOff(signed) => self.signed = Some(signed.clone()),
            Desk::Closing(closing) => self.closed = Some(closing.clone()),
            Desk::Reopening(_) => (self.signed, self.closed) = (None, None),
            Desk::Making(making) => {
                let made = &mut self.made[making.eye.index()];
                let earlier = made.filter(|earlier| earlier.lens == making.lens);
                *made = Some(Making {
                    segment_tilt: making.segment_tilt.or(earlier.and_then(|earlier| earlier.segment_tilt)),
                    thickness: making.thickness.or(earlier.and_then(|earlier| earlier.thickness)),
                    front_curve: making.front_curve.or(earlier.and_then(|earlier| earlier.front_curve)),
                    ..*making
                });
                self.signed = None;
            }
            Desk::Segments(segments) => {
                self.segments = Some(*segments);
                self.signed = None;
            }
            Desk::Filing(filing) => self.filed.push(filing.from),
            Desk::Arrival(arrival) => self.arrived[arrival.eye.index()] = Some(arrival.clone()),
            Desk::Note(_)
            | Desk::Adoption(_)
            | Desk::Choices(_)
            | Desk::Settlement(_)
            | Desk::Met(_)
            | Desk::Naming(_)
            | Desk::Placement(_) => {}
        }
        Ok(())
    }

    /// Whatever happens at the bench after a sign-off calls for another look.
    fn worked(&mut self, fact: &Bench) {
        self.signed = None;
        if let Bench::NewLens(NewLens { lens }) = fact {
            self.go_on(lens.eye, lens.number);
        }
    }

    /// A new lens opens a closed job again; what is told afterwards of one that was begun before does not.
    fn go_on(&mut self, eye: Eye, lens: u8) {
        let begun = &mut self.begun[eye.index()];
        if lens > *begun {
            (*begun, self.signed, self.closed) = (lens, None, None);
        }
    }
}
