//! Answers that are known before they are wanted.
//!
//! **Known is what still holds.** A transaction that reads sees one moment, and beside one that writes nobody else does; so what
//! was answered holds until it is over, but for what this connection itself puts down: a question that names the table is forgotten,
//! and asked again. Outside of transactions nothing is kept. (What a trigger writes elsewhere, table `leap`, is asked for together with
//! table `record` alone.)

use std::cell::{Cell, RefCell};
use std::collections::HashMap;
use std::sync::Arc;
use tokio_postgres::{SimpleQueryMessage, SimpleQueryRow};

/// The rows of an answer, their values as text.
pub(in crate::store) type Answer = Vec<SimpleQueryRow>;

/// What was asked ahead, each question with its values spelled out.
#[derive(Default)]
pub(super) struct Ahead {
    /// Whether what is asked is noted alone.
    pub(super) notes: Cell<bool>,
    noted: RefCell<Vec<String>>,
    known: RefCell<HashMap<String, Arc<Answer>>>,
}

impl Ahead {
    /// What was noted and not asked yet.
    pub(super) fn noted(&self) -> Vec<String> {
        self.noted.take()
    }

    /// Takes down what was answered.
    pub(super) fn know(&self, questions: Vec<String>, answers: Vec<Answer>) {
        self.known.borrow_mut().extend(questions.into_iter().zip(answers.into_iter().map(Arc::new)));
    }

    /// Nothing that was asked before holds for certain.
    pub(super) fn forget(&self) {
        self.known.borrow_mut().clear();
    }

    /// Forgets what a statement changes that begins with one of three verbs and the name of its table.
    pub(super) fn forget_what_changes(&self, sql: &str) {
        let mut known = self.known.borrow_mut();
        let verbs = ["INSERT", "INTO", "DELETE", "FROM", "UPDATE"];
        match sql.split_whitespace().find(|word| !verbs.contains(word)) {
            Some(table) => known.retain(|question, _| !question.contains(table)),
            None => known.clear(),
        }
    }

    /// Whether it has nothing to say to any question.
    pub(super) fn is_silent(&self) -> bool {
        !self.notes.get() && self.known.borrow().is_empty()
    }

    /// The answer to a question where it is known; nothing where it is only noted.
    pub(super) fn answer(&self, question: String) -> Option<Arc<Answer>> {
        let known = self.known.borrow().get(&question).cloned();
        if known.is_some() || !self.notes.get() {
            return known;
        }
        let mut noted = self.noted.borrow_mut();
        if !noted.contains(&question) {
            noted.push(question);
        }
        Some(Arc::default())
    }
}

/// The rows of each statement of a message that has some.
pub(super) fn answers(said: Vec<SimpleQueryMessage>) -> Vec<Answer> {
    let (mut answers, mut answer) = (Vec::new(), None);
    for said in said {
        match said {
            SimpleQueryMessage::RowDescription(_) => answers.extend(answer.replace(Answer::new())),
            SimpleQueryMessage::Row(row) => answer.get_or_insert_default().push(row),
            _ => answers.extend(answer.take()),
        }
    }
    answers
}
