//! A job as its records tell it.

use super::WorkError;
use crate::desk::{Closing, Desk, Making, Order, Remake, Segments, SignOff};
use crate::store::Entry;
use bevelbook_core::prescription::Eye;
use bevelbook_core::record::{
    Bench, FIRST_DESK_KIND, JobId, JobState, Logged, NewLens, PairId, RecordId, fold, is_voided,
};
use jiff::Timestamp;

/// What one record says.
#[derive(Clone, Debug, PartialEq)]
pub enum Fact {
    /// A fact of the bench.
    Bench(Bench),
    /// A record of the console's own.
    Desk(Desk),
    /// A kind that this version does not know; it is kept as it came.
    Unknown(u8),
}

/// One record of a job, in the order of commits.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// Its identity.
    pub id: RecordId,
    /// When it was written, where that is known.
    pub at: Option<Timestamp>,
    /// What it says.
    pub fact: Fact,
    /// Whether a later record voids it.
    pub void: bool,
}

/// A job: the fold of its records.
#[derive(Clone, Debug)]
pub struct Job {
    /// Its identity.
    pub id: JobId,
    /// The order as amended.
    pub order: Order,
    /// Every record, oldest first.
    pub lines: Vec<Line>,
    /// The state of its work.
    pub state: JobState,
    /// The standing sign-off: for the present lenses and nothing written since.
    pub signed: Option<SignOff>,
    /// How it ended, if it did.
    pub closed: Option<Closing>,
    /// How each of the present lenses is made, as far as that was measured; right, left.
    pub made: [Option<Making>; 2],
    /// How far apart the segments of the present pair are, if that was measured.
    pub segments: Option<Segments>,
}

impl Job {
    /// Folds the entries of one job, which come in commit order.
    ///
    /// # Errors
    /// There is no order among them, or a record that must be understood is damaged.
    pub fn fold(id: JobId, entries: &[Entry]) -> Result<Self, WorkError> {
        let damaged = |what: String| WorkError::Damaged { job: id.to_string(), what };
        // Facts of a job that was filed under this one stand as this one's own.
        let filed = |logged: Logged| Logged { fact: logged.fact.filed_under(id), ..logged };
        let facts: Vec<Logged> = entries.iter().filter_map(super::logged).map(filed).collect();
        let mut lines = Vec::with_capacity(entries.len());
        for entry in entries {
            lines.push(Line {
                id: entry.id,
                at: entry.utc_ms.and_then(|ms| Timestamp::from_millisecond(ms).ok()),
                fact: decode(entry).map_err(|what| damaged(format!("record {}: {what}", entry.id)))?,
                void: is_voided(entry.id, facts.iter().copied()),
            });
        }
        let mut desk = DeskState::default();
        for line in lines.iter().filter(|line| !line.void) {
            match &line.fact {
                Fact::Desk(fact) => {
                    desk.apply(fact).map_err(|e| damaged(format!("record {}: {e}", line.id)))?;
                }
                // Whatever happens after a sign-off calls for another look.
                Fact::Bench(fact) => {
                    desk.signed = None;
                    if let Bench::NewLens(NewLens { lens }) = fact {
                        desk.go_on_with(lens.eye, lens.number);
                    }
                }
                Fact::Unknown(_) => {}
            }
        }
        let order = desk.order.ok_or_else(|| damaged("it has no order".into()))?;
        let state = fold(PairId { job: id, numbers: desk.numbers }, &facts.iter().copied());
        let made = Eye::BOTH.map(|eye| {
            desk.made[eye.index()].filter(|making| making.lens == state.pair.numbers[eye.index()])
        });
        let segments = desk.segments.filter(|segments| segments.lenses == state.pair.numbers);
        Ok(Self { id, order, lines, state, signed: desk.signed, closed: desk.closed, made, segments })
    }

    /// The lenses that the job is at.
    #[must_use]
    pub const fn pair(&self) -> PairId {
        self.state.pair
    }

    /// The number of the lens that the job is at for `eye`.
    #[must_use]
    pub const fn lens_number(&self, eye: Eye) -> u8 {
        self.state.pair.numbers[eye.index()]
    }

    /// Its remakes, oldest first.
    pub fn remakes(&self) -> impl Iterator<Item = &Remake> {
        self.lines.iter().filter(|line| !line.void).filter_map(|line| match &line.fact {
            Fact::Desk(Desk::Remake(remake)) => Some(remake),
            _ => None,
        })
    }

    /// Whether the present lens of `eye` was begun at the bench, and nobody has told yet why.
    #[must_use]
    pub fn lacks_story(&self, eye: Eye) -> bool {
        let number = self.lens_number(eye);
        let begun = |line: &Line| matches!(line.fact, Fact::Bench(Bench::NewLens(NewLens { lens })) if (lens.eye, lens.number) == (eye, number));
        let told = self.remakes().any(|remake| (remake.eye, remake.lens) == (eye, number));
        !told && self.lines.iter().any(|line| !line.void && begun(line))
    }

    /// What stands: signed, closed, or the next step.
    #[must_use]
    pub fn standing(&self) -> String {
        match (&self.closed, &self.signed) {
            (Some(closing), _) => format!("closed: {}", closing.how),
            (None, Some(signed)) => format!("signed off by {}", signed.by),
            (None, None) => self.state.next().to_string(),
        }
    }
}

fn decode(entry: &Entry) -> Result<Fact, String> {
    use crate::desk::DeskError;
    use bevelbook_core::record::DecodeError;
    if entry.kind < FIRST_DESK_KIND {
        match Bench::decode(entry.kind, &entry.payload) {
            Ok(fact) => Ok(Fact::Bench(fact)),
            Err(DecodeError::UnknownKind(kind)) => Ok(Fact::Unknown(kind)),
            Err(damaged) => Err(damaged.to_string()),
        }
    } else {
        match Desk::decode(entry.kind, &entry.payload) {
            Ok(fact) => Ok(Fact::Desk(fact)),
            Err(DeskError::UnknownKind(kind)) => Ok(Fact::Unknown(kind)),
            Err(damaged) => Err(damaged.to_string()),
        }
    }
}

/// What the console's own records add to the state of the work.
struct DeskState {
    order: Option<Order>,
    numbers: [u8; 2],
    signed: Option<SignOff>,
    closed: Option<Closing>,
    made: [Option<Making>; 2],
    segments: Option<Segments>,
}

impl Default for DeskState {
    fn default() -> Self {
        Self { order: None, numbers: [1, 1], signed: None, closed: None, made: [None; 2], segments: None }
    }
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
            Desk::Remake(remake) => self.go_on_with(remake.eye, remake.lens),
            Desk::SignOff(signed) => {
                self.signed = (signed.lenses == self.numbers).then(|| signed.clone());
            }
            Desk::Closing(closing) => self.closed = Some(closing.clone()),
            Desk::Making(making) => {
                let made = &mut self.made[making.eye.index()];
                let earlier = made.filter(|earlier| earlier.lens == making.lens);
                *made = Some(Making {
                    segment_tilt: making.segment_tilt.or(earlier.and_then(|earlier| earlier.segment_tilt)),
                    thickness: making.thickness.or(earlier.and_then(|earlier| earlier.thickness)),
                    ..*making
                });
                self.signed = None;
            }
            Desk::Segments(segments) => {
                self.segments = Some(*segments);
                self.signed = None;
            }
            Desk::Arrival(_) | Desk::Note(_) | Desk::Filing(_) | Desk::Adoption(_) | Desk::Habit(_) => {}
        }
        Ok(())
    }

    /// The eye has a new lens: nothing signed stands, and a closed job is open again.
    fn go_on_with(&mut self, eye: Eye, lens: u8) {
        let number = &mut self.numbers[eye.index()];
        *number = lens.max(*number);
        self.signed = None;
        self.closed = None;
    }
}
