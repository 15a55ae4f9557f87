//! Looking for jobs by what a person at the counter knows of one: a name, a frame, a tray, a day.
//!
//! What is looked through is what jobs are found by, and the table of names; a job is folded when all of it fits, and
//! looked at again.

use super::find::folded;
use super::near::nearest;
use super::words::{MODEL, NUMBER, OF, OPEN, TRAY, due_in, number_in};
use super::{Job, Work, WorkError};
use crate::desk::Order;
use jiff::civil::Date;
use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet, HashMap};

/// A word that is looked for, and the day that it may mean.
#[derive(Clone, Debug)]
pub struct Sought {
    /// As it was typed.
    pub word: String,
    /// The day.
    pub day: Option<Date>,
}

/// What a job is looked for by, in small letters.
#[derive(Default)]
struct Known {
    number: u32,
    /// Reference, name, model.
    called: Vec<String>,
    tray: Option<String>,
    due: Option<Date>,
}

impl Known {
    fn of(order: &Order, name: Option<&String>, open: bool) -> Self {
        let called = [Some(&order.customer), Some(&order.frame.model), name];
        Self {
            number: order.number,
            called: called.into_iter().flatten().map(|called| called.to_lowercase()).collect(),
            tray: order.tray.as_ref().filter(|_| open).map(|tray| tray.to_lowercase()),
            due: order.due.filter(|_| open),
        }
    }

    fn is(&self, sought: &Sought) -> bool {
        let word = sought.word.to_lowercase();
        let number = word.strip_prefix(['j', '#']).unwrap_or(&word).parse() == Ok(self.number);
        let tray = |tray: &String| *tray == word || word.strip_prefix('t') == Some(tray);
        number
            || self.called.iter().any(|called| called.contains(&word))
            || self.tray.as_ref().is_some_and(tray)
            || self.due.is_some() && self.due == sought.day
    }
}

impl Work {
    /// The jobs that all of the words are of: a part of the customer's name or reference, or of the frame's model; its number;
    /// of an open job the tray, and the day for which it is promised. Open ones come first, the soonest due before the others,
    /// then the closed ones, the newest first.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn search(&self, words: &[Sought]) -> Result<Vec<Job>, WorkError> {
        let names = self.names()?;
        let fits = |known: &Known| words.iter().all(|word| known.is(word));
        let ids = self.known(&names)?.into_iter().filter(|(_, known)| fits(known)).map(|(id, _)| id);
        let is_meant = |job: &Job| {
            let name = names.get(&job.order.customer.to_lowercase());
            fits(&Known::of(&job.order, name, job.closed.is_none()))
        };
        let mut found = folded(&self.book, ids, is_meant).collect::<Result<Vec<_>, _>>()?;
        found.sort_by_key(|job| {
            let Order { number, due, .. } = job.order;
            let closed = job.closed.is_some();
            (closed, closed.then_some(Reverse(number)), due.is_none(), due, number)
        });
        Ok(found)
    }

    /// The word of a name, a reference or a model that is written nearly like `word`.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn written_alike(&self, word: &str) -> Result<Option<String>, WorkError> {
        let known = self.known(&self.names()?)?;
        let called = known.values().flat_map(|known| &known.called);
        let words: BTreeSet<&str> =
            called.flat_map(|called| called.split_whitespace().chain([called.as_str()])).collect();
        Ok(nearest(word, words.into_iter()).map(str::to_owned))
    }

    /// Names of customers by their references in small letters.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn names(&self) -> Result<HashMap<String, String>, WorkError> {
        let people = self.book.people()?.into_iter();
        Ok(people.map(|(reference, name)| (reference.to_lowercase(), name)).collect())
    }

    /// What every ordered job is known by.
    fn known(&self, names: &HashMap<String, String>) -> Result<BTreeMap<u64, Known>, WorkError> {
        let mut jobs: BTreeMap<u64, Known> = BTreeMap::new();
        for (word, id) in self.book.found_by_beginning(NUMBER)? {
            jobs.entry(id).or_default().number = number_in(&word).unwrap_or_default();
        }
        for beginning in [OF, MODEL] {
            for (word, id) in self.book.found_by_beginning(beginning)? {
                let called = word.strip_prefix(beginning).and_then(|of| of.split('\t').next());
                let known = jobs.entry(id).or_default();
                known.called.extend(called.map(str::to_owned));
                let name = (beginning == OF).then(|| names.get(called?)).flatten();
                known.called.extend(name.map(|name| name.to_lowercase()));
            }
        }
        for (word, id) in self.book.found_by_beginning(TRAY)? {
            jobs.entry(id).or_default().tray = word.strip_prefix(TRAY).map(str::to_owned);
        }
        for (word, id) in self.book.found_by_beginning(OPEN)? {
            jobs.entry(id).or_default().due = due_in(&word).and_then(|(due, _)| due);
        }
        Ok(jobs)
    }
}
