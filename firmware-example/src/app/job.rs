//! The job in hand: its card, and the own records that the card does not yet include.

use super::screens::Told;
use crate::memory::{CardError, Memory, Pages, Subject};
use bevelbook_core::frame::PupillaryDistance;
use bevelbook_core::link::{Card, CardHeading};
use bevelbook_core::prescription::{Eye, EyeOrder, Wanted};
use bevelbook_core::record::{Bench, JobId, JobState, StationEvent};
use bevelbook_core::sizing::{Dial, Evidence, Rim};
use bevelbook_core::tolerance::{Design, Thinning};
use bevelbook_core::units::Length;

/// A page of the memory does not answer: that is no word about what it holds, and nothing is told without it.
#[derive(Debug)]
pub(super) struct Unanswered;

/// What rests on the memory.
pub(super) type Answered<T = ()> = Result<T, Unanswered>;

/// To start from when the PD of a job without an order is measured. Common practice, no source.
const USUAL_PD: Length = Length::from_milli(62_000);

/// The job in hand.
#[derive(Clone, Debug)]
pub(super) struct OpenJob {
    /// What the console told of it, with what is known of its work now. Of a job opened here it holds the rim and the work.
    pub(super) card: Card,
    /// Whether it has an order, of which the console told.
    pub(super) told: bool,
    /// The newest own record that can be undone.
    pub(super) last: Option<u32>,
}

impl OpenJob {
    /// Puts job `id` in hand, of which nothing is known yet. Apart, like [`OpenJob::forget`]: a card in the making is not to
    /// lie on the stack while the memory is read.
    #[inline(never)]
    pub(super) fn begin(in_hand: &mut Option<Self>, id: JobId) -> &mut Self {
        in_hand.insert(Self { card: Card::blank(id), told: false, last: None })
    }

    /// Nothing is known of it any more.
    #[inline(never)]
    fn forget(&mut self, gone: bool) {
        self.card = Card { gone, ..Card::blank(self.id()) };
    }

    /// Its id.
    pub(super) const fn id(&self) -> JobId {
        self.card.job
    }

    /// What is known of its work.
    pub(super) const fn state(&self) -> &JobState {
        &self.card.state
    }

    /// What is known for the next size of one eye.
    pub(super) fn known(&self, eye: Eye) -> Evidence<'_> {
        self.state().known(eye).by_book(self.card.advice.as_ref())
    }

    /// Makes it what card and journal tell. A card that cannot be read leaves nothing to work on.
    pub(super) fn fill<P: Pages>(&mut self, memory: &mut Memory<P>) -> Answered {
        let id = self.id();
        match read_card(memory, id, &mut |bytes| self.card.decode_into(bytes).is_ok())? {
            Some(true) => {}
            held => self.forget(held.is_some()),
        }
        self.told = self.card.number > 0;
        if !self.told {
            self.card.pd = PupillaryDistance::Binocular(USUAL_PD);
        }
        self.take_own(memory)
    }

    /// Takes the own records that hold and that the card does not include, those of jobs filed under it too.
    #[inline(never)]
    fn take_own<P: Pages>(&mut self, memory: &mut Memory<P>) -> Answered {
        let mut seq = memory.oldest().max(self.card.includes_upto.saturating_add(1));
        while seq < memory.next() {
            for at in 0..=self.card.filed.len() {
                let job = self.card.filed.get(at).copied().unwrap_or(self.id());
                if let Some(fact) = fact_about(memory, seq, Subject::Job(job))? {
                    self.take(seq, &fact.filed_under(self.id()));
                }
            }
            seq += 1;
        }
        Ok(())
    }

    /// Takes one own record into account.
    pub(super) fn take(&mut self, seq: u32, fact: &Bench) {
        match fact {
            Bench::Opened(opened) if !self.told => self.card.rim = opened.rim,
            Bench::Opened(_) => {}
            Bench::Void(_) => return,
            _ => self.last = Some(seq),
        }
        self.card.state.apply(fact);
    }

    pub(super) const fn rim(&self) -> Rim {
        self.card.rim
    }

    pub(super) const fn design(&self) -> Design {
        self.card.design
    }

    /// What is ordered for one eye; nothing for a job opened here.
    pub(super) const fn ordered(&self, eye: Eye) -> &EyeOrder {
        &self.card.eyes[eye.index()]
    }

    /// What is to be made for each eye.
    pub(super) fn wanted(&self) -> [Wanted; 2] {
        self.card.eyes.map(|eye| eye.wanted)
    }

    /// What a focimeter is to show of one lens, at its reference point the thinning too.
    pub(super) fn to_be(&self, eye: Eye) -> EyeOrder {
        let order = *self.ordered(eye);
        EyeOrder { prism: self.thinning(eye).added_to(order.prism), ..order }
    }

    /// What of its prism is thinning.
    pub(super) const fn thinning(&self, eye: Eye) -> Thinning {
        if self.ordered(eye).wanted.is_judged() { self.card.thinning } else { Thinning::NONE }
    }

    /// Whether each eye's place is judged.
    pub(super) fn is_judged_by_eye(&self) -> bool {
        self.card.limits.as_ref().is_some_and(|limits| limits.pd.each.is_some())
    }

    /// Who says what is to be read of one lens.
    pub(super) fn told_of(&self, eye: Eye) -> Told {
        match (self.ordered(eye).wanted, self.card.prescribed[eye.index()]) {
            _ if !self.told => Told::Nobody,
            (Wanted::Balance { .. }, _) => Told::Balance,
            (Wanted::Nothing { .. }, _) => Told::Stays,
            (Wanted::Lens, Some(_)) => Told::Supplier,
            (Wanted::Lens, None) => Told::Order,
        }
    }

    /// Whether its order is to be seen before its first lens is touched: a lens is not made, not judged, or not read as it
    /// was prescribed.
    pub(super) fn is_unusual(&self) -> bool {
        self.told && Eye::BOTH.into_iter().any(|eye| self.told_of(eye) != Told::Order)
    }

    /// The ordered PD; a usual one for a job opened here, to start from.
    pub(super) const fn pd(&self) -> PupillaryDistance {
        self.card.pd
    }

    /// The ordered heights.
    pub(super) const fn heights(&self) -> Option<[Length; 2]> {
        self.card.heights
    }
}

/// The decoded record `seq` of the own journal; none for a gap.
pub(super) fn own_fact<P: Pages>(memory: &mut Memory<P>, seq: u32) -> Answered<Option<Bench>> {
    let record = memory.read(seq).map_err(|_| Unanswered)?;
    Ok(record.and_then(|record| record.fact().ok()))
}

/// The fact of record `seq` of the own journal, if it holds and is about `subject`.
pub(super) fn fact_about<P: Pages>(
    memory: &mut Memory<P>,
    seq: u32,
    subject: Subject,
) -> Answered<Option<Bench>> {
    memory.holding(seq, subject).map_err(|_| Unanswered)
}

/// The job of the card that names `own` as filed under it.
pub(super) fn owner<P: Pages>(memory: &mut Memory<P>, own: JobId) -> Answered<Option<JobId>> {
    for id in memory.card_jobs() {
        if heading(memory, id)?.is_some_and(|heading| heading.filed.contains(&own)) {
            return Ok(Some(id));
        }
    }
    Ok(None)
}

/// What the card of a job says first, if one is held that can be read.
pub(super) fn heading<P: Pages>(memory: &mut Memory<P>, id: JobId) -> Answered<Option<CardHeading>> {
    let mut heading = None;
    read_card(memory, id, &mut |bytes| {
        heading = CardHeading::decode(bytes).ok();
        heading.is_some()
    })?;
    Ok(heading)
}

/// Hands the card of a job to `read`, if one is held; whether it could be read.
#[inline(never)]
fn read_card<P: Pages>(
    memory: &mut Memory<P>,
    id: JobId,
    read: &mut dyn FnMut(&[u8]) -> bool,
) -> Answered<Option<bool>> {
    let mut bytes = [0; bevelbook_core::link::CARD_BOUND];
    match memory.read_card(id, &mut bytes) {
        Ok(held) => Ok(held.map(read)),
        Err(CardError::Storage(_)) => Err(Unanswered),
        Err(_) => Ok(Some(false)),
    }
}

/// The dial in force: the one last stated here, unless what the console said of the station is newer.
pub(super) fn dial<P: Pages>(memory: &mut Memory<P>) -> Answered<Option<Dial>> {
    let told = memory.station();
    let included = told.map_or(0, |station| station.includes_upto);
    let mut seq = memory.next();
    while seq > memory.oldest().max(included.saturating_add(1)) {
        seq -= 1;
        if let Some(Bench::Station(StationEvent::Dial(dial))) = fact_about(memory, seq, Subject::Station)? {
            return Ok(Some(dial));
        }
    }
    Ok(told.and_then(|station| station.dial))
}
