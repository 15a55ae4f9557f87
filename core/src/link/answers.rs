//! What the keypad's memory gives for an answer.

use super::payload::{Ack, Batch, CardsHeld};
use super::{KeypadStore, Reason, RecordRun};
use heapless::Vec;

/// The most numbers looked up for one batch, so that a stretch of lost records does not hold up the keys.
const LOOKED_UP: u32 = 32;

/// How many numbers are not acknowledged.
pub(super) fn unsynced<S: KeypadStore>(store: &S) -> u32 {
    store.next().saturating_sub(1).saturating_sub(store.acknowledged())
}

/// The records from `from` on, as many as fit. It ends before a number that the memory does not answer for.
pub(super) fn batch<S: KeypadStore>(store: &mut S, from: u32) -> Batch {
    let next = store.next();
    let mut records = RecordRun::new();
    let mut through = from.max(store.oldest().min(next));
    for _ in 0..LOOKED_UP {
        if through >= next {
            break;
        }
        // What is stored under another number is not this record.
        let Ok(record) = store.read(through) else { break };
        let record = record.filter(|record| record.seq == through);
        if record.is_some_and(|record| !records.push(&record)) {
            break;
        }
        through += 1;
    }
    Batch { journal: store.journal(), from, through, next, records }
}

/// Carries out what the host says it committed.
pub(super) fn acknowledge<S: KeypadStore>(store: &mut S, ack: Ack) -> Result<(), Reason> {
    if ack.journal != store.journal() {
        return Err(Reason::Journal);
    }
    let acknowledged = store.acknowledged();
    if !(acknowledged..store.next()).contains(&ack.upto) {
        return Err(Reason::Range);
    }
    if ack.upto > acknowledged {
        store.acknowledge(ack.upto)?;
    }
    Ok(())
}

/// The cards in the slots from `from` on, as many as fit.
pub(super) fn held<S: KeypadStore>(store: &mut S, from: u8) -> CardsHeld {
    let slots = store.card_slots();
    let mut held = Vec::new();
    let mut through = from.min(slots);
    while through < slots && !held.is_full() {
        if let Some(card) = store.held(through) {
            let _ = held.push(card);
        }
        through += 1;
    }
    CardsHeld { from, through, held }
}
