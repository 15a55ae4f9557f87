//! A held left key: back by one figure or screen, and at a step's first figure the last record is undone.

use super::job::{self, Answered};
use super::view::View;
use super::{App, words};
use crate::memory::Pages;
use crate::screen::{Body, Tone};
use bevelbook_core::record::{Bench, RecordId, Void};

impl<P: Pages> App<P> {
    /// Back by one: to the figure before, to the step that stands behind what shows, or to before the last record.
    #[inline(never)]
    pub(super) fn go_back(&mut self, now_ms: u64) -> Answered {
        let gone = match &mut self.view {
            View::Step => self.entry.back(),
            View::Station(entry) => entry.go(false),
            _ => false,
        };
        match &self.view {
            _ if gone => Ok(()),
            View::Step if self.is_beside_the_line() => self.enter(),
            View::Step | View::Notice(..) | View::Off { .. } => self.undo(now_ms),
            _ => self.back(),
        }
    }

    /// Undoes the last own record of this job that the console's card does not include yet.
    #[inline(never)]
    fn undo(&mut self, now_ms: u64) -> Answered {
        let Some((id, last)) = self.job.as_ref().map(|job| (job.id(), job.last)) else { return Ok(()) };
        let Some(seq) = last else {
            let said = "what the console has\nis undone there:\nrecord void";
            self.view = View::Notice(Body::message("nothing to undo here", said), Tone::Plain);
            return Ok(());
        };
        let undone = job::own_fact(&mut self.memory, seq)?;
        let target = RecordId { journal: self.memory.journal(), seq };
        // As the record itself: it may be of the station, or of a job that is filed under this one.
        let job = undone.as_ref().map_or(Some(id), Bench::job);
        if self.save(&Bench::Void(Void { job, target }), now_ms)? {
            self.load(id)?;
            let line = undone.as_ref().map(words::fact).unwrap_or_default();
            self.view =
                View::Notice(Body::message("undone:", format_args!("{line}\ncentre: go on")), Tone::Plain);
        }
        Ok(())
    }
}
