//! What another book has, brought into this one: its journals join those that are here.
//!
//! It comes as lines (`lines.rs`) or from a book on either engine, in one write: all of it or nothing. A record that differs
//! from the one here under its number is kept as a conflict; names that are here stay as they are.
//!
//! A book without a record becomes the other: what comes has the places that it had there, unless some were skipped, and the
//! other's words are its words, so that nothing is made anew. From another book comes only what is sound: here everything gets
//! a digest of its own, which would vouch for what was changed there.

use super::entry::Entry;
use super::server::Patience;
use super::write::Taken;
use super::{Book, Error, Reader, Trouble, Tx, found, verify};
use bevelbook_core::record::JournalId;
use std::collections::BTreeMap;
use std::fs;
use std::ops::ControlFlow;

/// How many there are of each kind.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Counts {
    /// Records.
    pub records: u64,
    /// What arrived under numbers already taken.
    pub conflicts: u64,
    /// Names.
    pub people: u64,
}

/// What became of what came.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Merged {
    /// What was not here.
    pub new: Counts,
    /// What was here already.
    pub known: Counts,
    /// Names that are kept as they are here, though the other has another.
    pub names_kept: u64,
}

/// A merge that is going on.
pub(super) struct Merge<'a, 'b> {
    tx: &'a mut Tx<'b>,
    /// How many records came to a book that had none, each with the place that it had; none where one has another.
    alike: Option<i64>,
    merged: Merged,
}

impl<'a, 'b> Merge<'a, 'b> {
    pub(super) fn into(tx: &'a mut Tx<'b>) -> Result<Self, Error> {
        Ok(Self { alike: tx.is_empty()?.then_some(0), tx, merged: Merged::default() })
    }

    pub(super) fn done(self) -> Merged {
        self.merged
    }

    pub(super) fn person(&mut self, reference: &str, name: &str) -> Result<(), Error> {
        match self.tx.person(reference)? {
            None => {
                self.tx.set_person(reference, name)?;
                self.merged.new.people += 1;
            }
            Some(known) if known == name => self.merged.known.people += 1,
            Some(_) => self.merged.names_kept += 1,
        }
        Ok(())
    }

    /// Whether there is a record under the number of a conflict.
    pub(super) fn has(&self, conflict: &Entry) -> Result<bool, Error> {
        Ok(self.tx.entry(conflict.id)?.is_some())
    }

    /// Takes in a record, or what arrived under the number of one; of a journal that was begun by a console of the other book,
    /// if that is known.
    pub(super) fn entry(&mut self, entry: &Entry, begun_there: bool) -> Result<(), Error> {
        self.tx.note(entry.id.journal, begun_there)?;
        let Merged { new, known, .. } = &mut self.merged;
        match self.tx.take(entry)? {
            Taken::New => {
                new.records += 1;
                self.alike = self.alike.map(|last| last + 1).filter(|place| *place == entry.position);
            }
            Taken::Known { .. } => known.records += 1,
            Taken::Conflict { new: true } => new.conflicts += 1,
            Taken::Conflict { new: false } => known.conflicts += 1,
        }
        Ok(())
    }

    /// Takes in all that another book has at one moment, in its order.
    fn all_of(mut self, other: &Reader) -> Result<Merged, Error> {
        for (reference, name) in other.people()? {
            self.person(&reference, &name)?;
        }
        let begun: BTreeMap<JournalId, bool> = other.journals()?.into_iter().collect();
        let unread = other.each_entry(|entry, _| {
            let begun_there = begun.get(&entry.id.journal).is_some_and(|begun| *begun);
            self.entry(&entry, begun_there)
        })?;
        if let Some(unread) = unread.into_iter().next() {
            return other.join(Err(Trouble::Unsound { problems: vec![unread.why] }));
        }
        if self.alike.is_some() {
            self.words_of(other)?;
        }
        Ok(self.merged)
    }

    /// Takes over the words, which follow from the same records at the same places.
    fn words_of(&mut self, other: &Reader) -> Result<(), Error> {
        let upto = other.found_upto()?;
        let mut words = self.tx.words();
        words.forget()?;
        let (mut kept, mut added) = (true, Ok(()));
        other.each_word(|job, word| {
            kept = found::can_be_kept(word);
            added = if kept { words.add(job, word) } else { Ok(()) };
            if kept && added.is_ok() { ControlFlow::Continue(()) } else { ControlFlow::Break(()) }
        })?;
        added?;
        match upto.filter(|_| kept) {
            Some(upto) => words.follow(upto),
            // They are made anew when the book is opened.
            None => words.forget(),
        }
    }
}

impl Book {
    /// Takes in all that another book has.
    ///
    /// # Errors
    /// The other is this book, or it is not sound; or one of them refuses. Nothing is taken in then.
    pub fn import_book(&mut self, other: &Reader) -> Result<Merged, Error> {
        if self.is_same_as(other)? {
            return self.join(Err(Trouble::Itself));
        }
        self.wait_as(Patience::WholeBook);
        other.wait_as(Patience::WholeBook);
        other.at_one_moment(|| {
            let problems = other.join(verify::verify(&other.conn))?;
            if !problems.is_empty() {
                return other.join(Err(Trouble::Unsound { problems }));
            }
            // It may be run more than once.
            self.write(|tx| Merge::into(tx)?.all_of(other))
        })
    }
}

impl Reader {
    /// Whether another book is this one: the same file, or a book of a server in which this console has the same journal, which
    /// each gives it by chance.
    fn is_same_as(&self, other: &Self) -> Result<bool, Error> {
        Ok(match (self.place().as_file(), other.place().as_file()) {
            // A file that has no path any more is no other's.
            (Some(own), Some(other)) => {
                matches!((fs::canonicalize(own), fs::canonicalize(other)), (Ok(own), Ok(other)) if own == other)
            }
            (None, None) => self.home()?.is_some_and(|own| other.home().is_ok_and(|home| home == Some(own))),
            _ => false,
        })
    }
}
