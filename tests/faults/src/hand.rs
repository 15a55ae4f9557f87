//! At every moment: a keypad has the job in hand as its card says, with its own records laid over that.

use crate::day::JOBS;
use crate::oracle::Broken;
use crate::world::World;
use bevelbook_core::record::{JobState, Stored};

/// What was looked at: the state, the card's revision, the next number.
pub(crate) type Looked = (JobState, u32, u32);

impl World {
    /// Compares what the keypad on the cable advises by with what the book says that it can know: all that was there when its
    /// card was made, and what it logged itself.
    pub(crate) fn look_at_hand(&mut self) -> Result<(), Broken> {
        let unit = &mut self.units[self.held];
        // Where a page does not answer nothing is advised; an old copy has other records than the book under its numbers.
        let Some(app) = unit.app.as_ref().filter(|app| !app.is_silent()) else { return Ok(()) };
        let Some(found) = app.in_hand().copied().filter(|found| JOBS.contains(&found.job())) else {
            return Ok(());
        };
        let (memory, journal) = (app.memory(), unit.journal);
        let content = &self.place.disk.borrow().content;
        let Some(card) = memory.find_card(found.job()) else { return Ok(()) };
        let looked = Some((found, card.revision, memory.next()));
        let ours = card.revision & 0xff == content.own.0 as u32 & 0xff;
        let unsure = unit.rolled_back || content.conflict(journal).is_some() || self.real.is_some();
        if unsure || !ours || unit.chip.pages().is_off() || unit.looked == looked {
            return Ok(());
        }
        let from = content.last(journal).map_or(1, |last| last.saturating_add(1)).max(memory.oldest());
        let next = memory.next();
        unit.looked = looked;
        let more: Vec<Stored> = (from..next).filter_map(|seq| unit.read(seq)).collect();
        let made = i64::from(card.revision >> 8) - 1;
        let expected = content.held_state(journal, found.job(), made, &more);
        if expected == found {
            return Ok(());
        }
        Err(format!(
            "the keypad advises by {found:?}\n  and with its card and its own records it is {expected:?}"
        ))
    }
}
