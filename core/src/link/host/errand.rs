//! What waits to be done on the keypad.

use crate::link::CardParts;
use crate::record::JobId;
use thiserror::Error;

/// How many cards wait at most.
pub const CARD_QUEUE: usize = 8;

/// The queue of cards is full; [`Event::CardStored`](super::Event::CardStored) says when there is room.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
#[error("{CARD_QUEUE} cards are waiting already")]
pub struct QueueFull;

/// What the keypad is asked to do with a card.
#[derive(Clone, Debug)]
#[expect(clippy::large_enum_variant, reason = "there is no heap to put the larger one on")]
pub(super) enum Errand {
    Card(CardParts),
    Drop(JobId),
}

impl Errand {
    pub(super) const fn job(&self) -> JobId {
        match self {
            Self::Card(card) => card.job(),
            Self::Drop(job) => *job,
        }
    }
}
