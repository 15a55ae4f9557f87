//! Cards on their way to the keypad.

use super::{Event, HostSession};
use crate::link::{Card, CardParts};
use crate::record::JobId;

/// How many cards wait at most.
pub const CARD_QUEUE: usize = 8;

/// The queue of cards is full; [`Event::CardStored`] says when there is room.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{CARD_QUEUE} cards are waiting already")]
pub struct QueueFull;

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

impl HostSession {
    /// Sends `card`, in the place of one of the same job that still waits.
    ///
    /// # Errors
    /// [`CARD_QUEUE`] others wait already.
    pub fn send_card(&mut self, card: &Card) -> Result<(), QueueFull> {
        self.queue(Errand::Card(CardParts::new(card)))
    }

    /// Takes the card of `job` off the keypad.
    ///
    /// # Errors
    /// [`CARD_QUEUE`] others wait already.
    pub fn drop_card(&mut self, job: JobId) -> Result<(), QueueFull> {
        self.queue(Errand::Drop(job))
    }

    fn queue(&mut self, errand: Errand) -> Result<(), QueueFull> {
        // The first one may be half sent.
        let waiting = self.errands.iter_mut().skip(1).find(|waiting| waiting.job() == errand.job());
        if let Some(waiting) = waiting {
            *waiting = errand;
            return Ok(());
        }
        self.errands.push_back(errand).map_err(|_| QueueFull)
    }

    /// How many more cards can be queued now.
    #[must_use]
    pub fn card_room(&self) -> usize {
        CARD_QUEUE - self.errands.len()
    }

    /// Asks which cards the keypad holds; [`Event::CardsHeld`] tells.
    pub fn list_cards(&mut self) {
        self.list_from = Some(0);
    }

    /// The first one is done with.
    pub(super) fn finish_errand(&mut self, event: Event) {
        self.errands.pop_front();
        (self.part, self.begun_again) = (0, 0);
        self.tell(event);
    }
}
