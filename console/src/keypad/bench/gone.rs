//! What the bench does while its book is gone, and once it is back.
//!
//! The keypad on the line is held: nothing is pulled or acknowledged, it is told the time, and so shows that a console is there
//! and that its records are still to send. When the book is open again hello is said anew, and what it has not is pulled.

use super::{Bench, BenchBook, Note, Now, OpenJobs};
use bevelbook_core::link::HostSession;

impl<B: BenchBook> Bench<B> {
    /// Does something with the book; a book that fails is closed.
    pub(super) fn with_book<T>(
        &mut self,
        now: Now,
        work_on: impl FnOnce(&mut B) -> Result<T, B::Error>,
    ) -> Option<T> {
        self.shelf.book()?;
        let done = self.shelf.with(now, work_on);
        if done.is_none() {
            // What was handed out and not committed is pulled again, from what the book then has.
            self.keypad = None;
            self.host.hold();
            self.tell_gone();
        }
        done
    }

    /// Tells that the book is gone, where nobody was told.
    pub(super) fn tell_gone(&mut self) {
        let waiting = self.held_back();
        let note = self.shelf.take_news().map(|gone| match gone.away {
            Some(since) => Note::ServerAway { since, why: gone.why.clone(), waiting },
            None => Note::BookFailed { why: gone.why.clone() },
        });
        self.notes.extend(note);
    }

    /// How many records wait on the keypad that is on the line, as far as it told.
    pub(super) fn held_back(&self) -> Option<u32> {
        self.on_line.as_ref().map(|_| self.host.waiting())
    }

    pub(super) fn begin_session(&mut self, now: Now) {
        self.cards_for = None;
        match self.with_book(now, |book| book.own_journal()) {
            // Sessions count up from where they are: nobody else is on the line.
            Some(own) => self.host = HostSession::new(own, self.host.session(), now.utc_ms, now.ms),
            None => self.host.restart(now.ms),
        }
    }

    /// Opens the book again where that is due.
    pub(super) fn reopen(&mut self, now: Now) {
        if self.shelf.turn(now) {
            self.jobs = OpenJobs::default();
            (self.stale, self.version) = (true, None);
            self.with_book(now, B::note_choices);
            // It may be another one: what still waits to be sent was made from the one before.
            self.begin_session(now);
        }
        self.tell_gone();
    }

    /// Tells that the book is back once everything that waited on the keypad is in it.
    pub(super) fn settled(&mut self) {
        if self.shelf.gone().is_none() || self.shelf.book().is_none() {
            return;
        }
        let all_in = match (&self.keypad, &self.on_line) {
            (Some(keypad), _) => keypad.conflict || !self.host.is_behind() && self.host.waiting() == 0,
            // It is greeted first.
            (None, on_line) => on_line.is_none(),
        };
        if !all_in {
            return;
        }
        let records = std::mem::take(&mut self.came);
        let note = self.shelf.settle().map(|gone| match gone.away {
            Some(since) => Note::ServerBack { since, records },
            None => Note::BookOpen,
        });
        self.notes.extend(note);
    }
}
