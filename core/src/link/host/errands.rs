//! Cards on their way to the keypad.

use super::errand::{Errand, QueueFull};
use super::{Event, HostSession};
use crate::link::{Card, CardParts};
use crate::record::JobId;

impl HostSession {
    /// Sends `card`, in the place of one of the same job that still waits.
    ///
    /// # Errors
    /// [`CARD_QUEUE`](super::CARD_QUEUE) others wait already.
    pub fn send_card(&mut self, card: &Card) -> Result<(), QueueFull> {
        self.queue(Errand::Card(CardParts::new(card)))
    }

    /// Takes the card of `job` off the keypad.
    ///
    /// # Errors
    /// [`CARD_QUEUE`](super::CARD_QUEUE) others wait already.
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
