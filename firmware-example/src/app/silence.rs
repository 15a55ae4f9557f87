//! A page of the memory that does not answer.
//!
//! That is no word about what it holds. So nothing is asked, advised or logged meanwhile, whatever the job in hand was told
//! to before; the page is asked again after a moment, or by any key, and then everything is told anew. A record that was on
//! its way when the answer was lost is neither saved nor not, and is settled first.

use super::job::{Answered, OpenJob, Unanswered};
use super::view::View;
use super::{App, LOCK_OUT_MS, words};
use crate::log;
use crate::memory::{AppendError, Pages};
use crate::screen::{Body, Tone};
use bevelbook_core::record::{Bench, Stored};

/// How long after a page did not answer it is asked again, in milliseconds.
const AGAIN_MS: u64 = 250;

impl<P: Pages> App<P> {
    /// Whether a page does not answer: nothing is advised meanwhile.
    #[must_use]
    pub const fn is_silent(&self) -> bool {
        matches!(self.view, View::Silent { .. })
    }

    /// Shows that a page does not answer, if it did not.
    pub(super) fn show_silence(&mut self, done: &Answered) {
        if done.is_err() {
            log::line!(
                warn,
                "memory: a page does not answer; record open: {=bool}",
                self.memory.is_unsettled()
            );
            self.view = View::Silent { unsettled: self.memory.is_unsettled() };
        }
    }

    /// Asks the page that did not answer once more.
    #[inline(never)]
    pub(super) fn ask_again(&mut self, now_ms: u64) {
        self.again_ms = now_ms + AGAIN_MS;
        let answered = self.tell_anew();
        if answered.is_ok() {
            // A key that was to ask again shall not answer what shows now.
            self.locked_until_ms = now_ms + LOCK_OUT_MS;
        }
        self.show_silence(&answered);
    }

    fn tell_anew(&mut self) -> Answered {
        let settled = match self.memory.settle() {
            Ok(record) => record,
            Err(AppendError::Storage(_)) => return Err(Unanswered),
            Err(error) => {
                // What the console changed meanwhile was not followed: the job is taken up again from the list.
                self.job = None;
                self.say_not_saved(&error);
                return Ok(());
            }
        };
        match self.job.as_ref().map(OpenJob::id) {
            Some(id) => {
                self.load(id)?;
                self.load_owner()?;
                self.enter()?;
            }
            None => self.try_resume()?,
        }
        if let Some(record) = settled {
            self.say_settled(&record);
        }
        Ok(())
    }

    /// Apart, as all that makes words: what is told anew before needs the stack.
    #[inline(never)]
    fn say_settled(&mut self, record: &Stored) {
        self.view = match record.fact() {
            // It was to stand before the fact that was pressed, which was not taken.
            Ok(Bench::Clock(_)) => {
                self.logged.not = true;
                View::Notice(Body::message("NOT SAVED", "memory was silent:\nlog it again"), Tone::Warning)
            }
            Ok(fact) => {
                self.logged.saved = true;
                let said = format_args!("{}\ncentre: go on", words::fact(&fact));
                View::Notice(Body::message("it is saved:", said), Tone::Plain)
            }
            Err(_) => return,
        };
    }
}
