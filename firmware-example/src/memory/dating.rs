//! What a clock said, as the first record of a start.

use super::append::AppendError;
use super::journal::Urgency;
use super::pages::Pages;
use super::whole::Memory;
use bevelbook_core::record::{Bench, Clock, MAX_ENCODED};

impl<P: Pages> Memory<P> {
    /// Takes what a clock said as the keypad was started, to be saved before the first record of this start.
    pub const fn started_at(&mut self, said: Clock) {
        self.clock = Some(said);
    }

    /// Saves first what the clock said, since whatever is saved in this start is dated by it. Without room for it, or where no
    /// page takes it, the facts go on without a date; but none is taken while it is open whether it is saved.
    pub(super) fn date(&mut self) -> Result<(), AppendError<P::Error>> {
        let Some(clock) = self.clock.filter(|_| !self.is_unsettled()) else { return Ok(()) };
        let (mut buffer, fact) = ([0; MAX_ENCODED], Bench::Clock(clock));
        let Ok(data) = fact.encode(&mut buffer) else { return Ok(()) };
        match self.journal.append(&mut self.pages, &self.cards, (fact.kind(), data), 0, Urgency::Ordinary) {
            Err(AppendError::Full { .. }) => return Ok(()),
            Err(AppendError::Storage(_)) => {
                self.clock = None;
                return Err(AppendError::Unsettled);
            }
            _ => self.clock = None,
        }
        Ok(())
    }
}
