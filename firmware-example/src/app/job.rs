//! The job in hand: its card, and the own records that the card does not yet include.

use crate::memory::{Memory, Pages};
use bevelbook_core::frame::PupillaryDistance;
use bevelbook_core::link::Card;
use bevelbook_core::prescription::{Eye, EyeOrder, SphereCylinder};
use bevelbook_core::record::{Bench, JobId, JobState, PairId, StationEvent, Void};
use bevelbook_core::sizing::{Dial, Rim};
use bevelbook_core::tolerance::Design;
use bevelbook_core::units::Length;
use heapless::Vec;

/// How many voids among the records that a card does not include are kept in mind at once.
const VOIDS: usize = 32;

/// The job in hand.
#[derive(Clone, Debug)]
pub(super) struct OpenJob {
    pub(super) id: JobId,
    /// What the console told of it; none for a job opened here.
    pub(super) card: Option<Card>,
    /// The rim of a job opened here.
    rim: Rim,
    pub(super) state: JobState,
    /// The newest own record that can be undone.
    pub(super) last: Option<u32>,
}

impl OpenJob {
    /// The job `id` as card and journal tell it.
    pub(super) fn load<P: Pages>(memory: &mut Memory<P>, id: JobId) -> Self {
        let card = load_card(memory, id);
        let state = match &card {
            Some(card) => card.state,
            None => JobState::new(PairId { job: id, numbers: [1, 1] }),
        };
        let mut job = Self { id, card, rim: Rim::Metal, state, last: None };
        let after = job.card.as_ref().map_or(0, |card| card.includes_upto);
        let voided = voids(memory, id, after);
        let mut seq = memory.oldest().max(after.saturating_add(1));
        while seq < memory.next() {
            if let Some(fact) = own_fact(memory, seq)
                && fact.job() == Some(id)
                && !voided.contains(&seq)
            {
                job.take(seq, &fact);
            }
            seq += 1;
        }
        job
    }

    /// Takes one own record into account.
    pub(super) fn take(&mut self, seq: u32, fact: &Bench) {
        match fact {
            Bench::Opened(opened) => self.rim = opened.rim,
            Bench::Void(_) => return,
            _ => self.last = Some(seq),
        }
        self.state.apply(fact);
    }

    pub(super) fn rim(&self) -> Rim {
        self.card.as_ref().map_or(self.rim, |card| card.rim)
    }

    pub(super) fn design(&self) -> Design {
        self.card.as_ref().map_or(Design::SingleVision, |card| card.design)
    }

    /// What is ordered for one eye; nothing for a job opened here.
    pub(super) fn ordered(&self, eye: Eye) -> EyeOrder {
        let nothing = EyeOrder::single_vision(SphereCylinder::PLANO);
        self.card.as_ref().map_or(nothing, |card| card.eyes[eye.index()])
    }

    /// The ordered PD; a usual one for a job opened here, to start from.
    pub(super) fn pd(&self) -> PupillaryDistance {
        const USUAL: Length = Length::from_milli(62_000);
        self.card.as_ref().map_or(PupillaryDistance::Binocular(USUAL), |card| card.pd)
    }

    pub(super) fn heights(&self) -> Option<[Length; 2]> {
        self.card.as_ref().and_then(|card| card.heights).filter(|_| self.design() != Design::SingleVision)
    }
}

/// The decoded record `seq` of the own journal.
pub(super) fn own_fact<P: Pages>(memory: &mut Memory<P>, seq: u32) -> Option<Bench> {
    memory.read(seq).ok().flatten()?.fact().ok()
}

/// The own records of a job after `after` that later ones void.
fn voids<P: Pages>(memory: &mut Memory<P>, id: JobId, after: u32) -> Vec<u32, VOIDS> {
    let journal = memory.journal();
    let mut voided = Vec::new();
    let mut seq = memory.oldest().max(after.saturating_add(1));
    while seq < memory.next() {
        if let Some(Bench::Void(Void { job: Some(job), target })) = own_fact(memory, seq)
            && (job, target.journal) == (id, journal)
        {
            // With more voids than are kept in mind the oldest are forgotten: what they undid shows again until the
            // console has sent a new card.
            if voided.is_full() {
                voided.remove(0);
            }
            let _ = voided.push(target.seq);
        }
        seq += 1;
    }
    voided
}

/// The card of a job, if one is held and this version reads it.
pub(super) fn load_card<P: Pages>(memory: &mut Memory<P>, id: JobId) -> Option<Card> {
    let mut bytes = [0; bevelbook_core::link::CARD_BOUND];
    let used = memory.read_card(id, &mut bytes).ok().flatten()?;
    Card::decode(used).ok()
}

/// The dial in force: the one last stated here, unless a card is newer.
pub(super) fn dial<P: Pages>(memory: &mut Memory<P>, card: Option<&Card>) -> Option<Dial> {
    let included = card.map_or(0, |card| card.includes_upto);
    let mut seq = memory.next();
    while seq > memory.oldest().max(included.saturating_add(1)) {
        seq -= 1;
        if let Some(Bench::Station(StationEvent::Dial(dial))) = own_fact(memory, seq) {
            return Some(dial);
        }
    }
    card.and_then(|card| card.dial)
}
