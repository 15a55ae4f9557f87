//! The job in hand: its card, and the own records that the card does not yet include.

use crate::memory::{Memory, Pages, Subject};
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
    /// Job `id`, of which nothing is known yet.
    pub(super) fn blank(id: JobId) -> Self {
        let state = JobState::new(PairId { job: id, numbers: [1, 1] });
        Self { id, card: None, rim: Rim::Metal, state, last: None }
    }

    /// Makes it what card and journal tell.
    pub(super) fn fill<P: Pages>(&mut self, memory: &mut Memory<P>) {
        self.card = load_card(memory, self.id);
        if let Some(card) = &self.card {
            self.state = card.state;
        }
        self.take_own(memory);
    }

    /// Takes the own records that the card does not include: once, and once more without those that later ones void.
    #[inline(never)]
    fn take_own<P: Pages>(&mut self, memory: &mut Memory<P>) {
        let journal = memory.journal();
        let before = self.state;
        let mut voided: Vec<u32, VOIDS> = Vec::new();
        for round in 0..2 {
            let mut seq = memory.oldest().max(self.includes_upto().saturating_add(1));
            let known = voided.len();
            while seq < memory.next() {
                match fact_about(memory, seq, Subject::Job(self.id)) {
                    Some(Bench::Void(Void { target, .. })) if target.journal == journal && round == 0 => {
                        // With more voids than are kept in mind the oldest are forgotten: what they undid shows again
                        // until the console has sent a new card.
                        if voided.is_full() {
                            voided.remove(0);
                        }
                        let _ = voided.push(target.seq);
                    }
                    Some(fact) if !voided.contains(&seq) || round == 0 => self.take(seq, &fact),
                    _ => {}
                }
                seq += 1;
            }
            if voided.len() == known {
                return;
            }
            (self.state, self.last, self.rim) = (before, None, Rim::Metal);
        }
    }

    fn includes_upto(&self) -> u32 {
        self.card.as_ref().map_or(0, |card| card.includes_upto)
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

/// The fact of record `seq` of the own journal, if it is about `subject`.
pub(super) fn fact_about<P: Pages>(memory: &mut Memory<P>, seq: u32, subject: Subject) -> Option<Bench> {
    if !memory.may_be_about(seq, subject) {
        return None;
    }
    own_fact(memory, seq).filter(|fact| match subject {
        Subject::Station => matches!(fact, Bench::Station(_)),
        Subject::Opened => matches!(fact, Bench::Opened(_)),
        Subject::Job(id) => fact.job() == Some(id),
    })
}

/// The card of a job, if one is held and this version reads it.
#[inline(never)]
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
        if let Some(Bench::Station(StationEvent::Dial(dial))) = fact_about(memory, seq, Subject::Station) {
            return Some(dial);
        }
    }
    card.and_then(|card| card.dial)
}
