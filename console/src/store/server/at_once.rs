//! Questions that are asked before their answers are wanted, several in one message.
//!
//! Whoever knows what will be asked says so first: the questions are [noted](Link::note) as they are asked, with no answer; they
//! go in one message, behind what is owed or with what begins a write, and are answered from what is known (`ahead`) when they are
//! asked in earnest.

use super::ahead::{Answer, answers};
use super::link::Link;
use super::spelled::spell;
use crate::store::value::{Fault, Value};
use std::sync::Arc;

impl Link {
    /// Has the questions noted that `ask` asks. What is not known yet is answered with nothing, which `ask` is to make nothing of.
    pub(in crate::store) fn note(&self, ask: impl FnOnce()) {
        if self.only_notes() {
            return ask();
        }
        // Of what was never asked nothing is left.
        drop(self.ahead.noted());
        self.ahead.notes.set(true);
        ask();
        self.ahead.notes.set(false);
    }

    /// Whether what is asked is noted alone.
    pub(in crate::store) fn only_notes(&self) -> bool {
        self.ahead.notes.get()
    }

    /// Asks what was noted, within a transaction; else that is forgotten.
    pub(in crate::store) fn ask_noted(&self) -> Result<(), Fault> {
        if self.only_notes() {
            return Ok(());
        }
        let noted = self.ahead.noted();
        if noted.is_empty() || !self.is_open() {
            return Ok(());
        }
        self.several(self.owed.take(), noted).map(drop)
    }

    /// Asks what was noted behind other statements, all in one message, and keeps the answers; those of the other statements.
    pub(super) fn several(&self, mut message: String, noted: Vec<String>) -> Result<Vec<Answer>, Fault> {
        message.push_str(&noted.join(";"));
        let mut said = self.with(|client| Ok(answers(client.simple_query(&message)?)))?;
        let asked = said.split_off(said.len().checked_sub(noted.len()).ok_or(Fault::Column(0))?);
        self.ahead.know(noted, asked);
        Ok(said)
    }

    /// Forgets what a statement changes.
    pub(in crate::store) fn forget_what_changes(&self, sql: &str) {
        self.ahead.forget_what_changes(sql);
    }

    /// The answer to a question where it is known, or only noted.
    pub(in crate::store) fn known(&self, sql: &str, values: &[Value<'_>]) -> Option<Arc<Answer>> {
        if self.ahead.is_silent() {
            return None;
        }
        let mut question = String::new();
        spell(&mut question, sql, values);
        self.ahead.answer(question)
    }
}
