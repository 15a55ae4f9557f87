//! Writing: this console's own records, and records that arrive from other journals.
//!
//! All or nothing: one call, one transaction beside which nobody else writes, on the disk when the call returns `Ok`. What is
//! to be done may be run more than once: a server may ask for it.

use super::chain::{Chain, Chained, Digest};
use super::engine::Conn;
use super::entry::{Entry, Imported, NewEntry, Received};
use super::error::BUSY_S;
use super::fault::failed;
use super::heads::Heads;
use super::value::{For, values};
use super::{Book, Error, Place, Reader, Trouble, file, server};
use bevelbook_core::record::{JournalId, RecordId};
use std::cell::Cell;
use std::collections::BTreeMap;
use std::ops::RangeInclusive;
use std::time::{Duration, Instant};

/// The number of a console journal's first record.
const FIRST_SEQ: u32 = 1;

/// So many numbers of a journal are asked about at once.
const AHEAD: u32 = 64;

/// What is here of a journal's next numbers, which come one behind the other.
#[derive(Debug)]
struct Ahead {
    numbers: RangeInclusive<u32>,
    here: BTreeMap<u32, Entry>,
}

/// What became of a record that was taken in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Taken {
    /// It was not here.
    New,
    /// It is here already.
    Known {
        /// Why it does not count, if so.
        apart: Option<String>,
    },
    /// Something else is here under its number.
    Conflict {
        /// Whether it was not kept already.
        new: bool,
    },
}

/// A write that is going on. No other console writes meanwhile, so what is read here still holds at the end.
#[derive(Debug)]
pub struct Tx<'a> {
    reader: &'a Reader,
    /// The journal that this console writes here, if it has one.
    own: Option<JournalId>,
    /// The last number of that journal, once it was asked for.
    last_own: Cell<Option<Option<u32>>>,
    /// What was asked of the journals that are taken in.
    ahead: BTreeMap<JournalId, Ahead>,
    heads: Heads,
    /// The last record that it put down.
    last: Option<(RecordId, Digest)>,
}

impl std::ops::Deref for Tx<'_> {
    type Target = Reader;

    fn deref(&self) -> &Reader {
        self.reader
    }
}

impl Book {
    /// Runs `change` with the write lock held and commits what it did; an error from it undoes everything.
    /// Waits up to ten seconds for another writer. `E` is the caller's own error type, or [`Error`].
    ///
    /// # Errors
    /// Those of `change`; the book is busy, full, was given a newer schema meanwhile, or is no longer the file at its
    /// path.
    pub fn write<T, E: From<Error>>(
        &mut self,
        change: impl FnMut(&mut Tx<'_>) -> Result<T, E>,
    ) -> Result<T, E> {
        self.write_ahead(|_| (), change)
    }

    /// The same, where `change` will ask what `ask` asks ([`Reader::ahead`]).
    ///
    /// # Errors
    /// As [`Book::write`].
    pub fn write_ahead<T, E: From<Error>>(
        &mut self,
        ask: impl Fn(&Reader),
        mut change: impl FnMut(&mut Tx<'_>) -> Result<T, E>,
    ) -> Result<T, E> {
        let begun = Instant::now();
        loop {
            let written = self.write_once(&ask, &mut change);
            let asked = self.reader.conn.asks_again();
            if !asked || written.is_ok() || begun.elapsed() > Duration::from_secs(BUSY_S) {
                return written;
            }
        }
    }

    fn write_once<T, E: From<Error>>(
        &mut self,
        ask: &impl Fn(&Reader),
        change: &mut impl FnMut(&mut Tx<'_>) -> Result<T, E>,
    ) -> Result<T, E> {
        let reader = &self.reader;
        reader.wrote.set(false);
        reader.note(|reader| {
            ask(reader);
            if let Ok(Some(own)) = reader.home() {
                // Whatever it puts down.
                let _ =
                    reader.ask("", |conn| Heads::default().know(conn, [Chain::Journal(own), Chain::Commits]));
            }
        });
        let lock = reader.join(reader.conn.begin(For::Writing).map_err(failed("cannot begin a write")))?;
        if let Conn::File(_) = &reader.conn {
            reader.join(file::schema::still_known(&reader.conn))?;
        }
        let (own, last_own, ahead) = (reader.home()?, Cell::default(), BTreeMap::new());
        let mut tx = Tx { reader, own, last_own, ahead, heads: Heads::default(), last: None };
        let result = change(&mut tx)?;
        let (heads, last) = (tx.heads, tx.last);
        reader.ask("cannot keep the digests", |conn| heads.keep(conn))?;
        reader.join(self.still_there())?;
        if let Err(fault) = lock.commit() {
            let open = fault.leaves_open();
            let trouble = failed("cannot commit")(fault);
            match open {
                true => self.after_all(last, trouble)?,
                false => self.join(Err(trouble))?,
            }
        }
        self.reader.wrote.set(last.is_some());
        Ok(result)
    }

    /// A commit that was not answered may have been done: the server is asked whether it has the last record of it.
    fn after_all(&mut self, last: Option<(RecordId, Digest)>, trouble: Trouble) -> Result<(), Error> {
        let place = self.place().clone();
        let (Place::Server(address), Conn::Server(former)) = (&place, &self.reader.conn) else {
            return Err(trouble.at(place));
        };
        match server::has_after_all(address, former, last) {
            Some((link, true)) => {
                self.reader.conn = Conn::Server(Box::new(link));
                Ok(())
            }
            Some((_, false)) => Err(trouble.at(place)),
            None => {
                let why = match trouble {
                    Trouble::Away { why } => why,
                    _ => "its answer says nothing for certain".to_owned(),
                };
                Err(Trouble::Unsure { why }.at(place))
            }
        }
    }
}

impl Tx<'_> {
    /// The id the next [`append`](Tx::append) will give, from number 1; for what is named after its own record, as
    /// a job is after the record that opens it.
    ///
    /// # Errors
    /// The journal has no number left, or the database cannot be read.
    pub fn next_id(&self) -> Result<RecordId, Error> {
        let journal = self.own_journal()?;
        let last = match self.last_own.get() {
            Some(last) => last,
            None => self.ask("cannot read a journal's last number", |conn| conn.own_before(journal))?,
        };
        self.last_own.set(Some(last));
        let next = last.map_or(Some(FIRST_SEQ), |last| last.checked_add(1));
        let seq = self.join(next.ok_or(Trouble::JournalFull(journal)))?;
        Ok(RecordId { journal, seq })
    }

    /// Appends a record to this console's journal and gives it the journal's next number.
    ///
    /// # Errors
    /// As [`Tx::next_id`], or the database refuses.
    pub fn append(&mut self, new: &NewEntry) -> Result<RecordId, Error> {
        let id = self.next_id()?;
        let NewEntry { kind, job, payload, utc_ms } = new.clone();
        let entry =
            Entry { position: 0, id, kind, job, payload, boot: None, ticks: None, utc_ms, apart: None };
        self.insert(Chained::Record, &entry)?;
        self.last_own.set(Some(Some(id.seq)));
        Ok(id)
    }

    /// Takes in records of another journal, in the order given. One that is here already with the same kind,
    /// payload and ticks is passed over, so that sending again is harmless. One that differs from what is here is
    /// kept apart as a conflict; the rest is still taken in.
    ///
    /// # Errors
    /// A new record under the journal this console writes itself ([`Trouble::OwnJournal`]), or the database
    /// refuses.
    pub fn import(&mut self, journal: JournalId, received: &[Received]) -> Result<Imported, Error> {
        self.note(journal, false)?;
        let mut imported = Imported::default();
        for entry in received.iter().map(|received| received.entry(journal)) {
            let apart = match self.take(&entry)? {
                Taken::New => {
                    imported.new += 1;
                    entry.apart
                }
                Taken::Known { apart } => {
                    imported.known += 1;
                    apart
                }
                Taken::Conflict { .. } => {
                    imported.conflicts.push(entry.id.seq);
                    None
                }
            };
            imported.apart.extend(apart.map(|why| (entry.id.seq, why)));
        }
        Ok(imported)
    }

    /// Notes that there is a journal, and whether a console of the book that it comes from began it.
    pub(super) fn note(&self, journal: JournalId, begun_there: bool) -> Result<(), Error> {
        if self.ahead.contains_key(&journal) {
            return Ok(());
        }
        let note = "INSERT INTO journal (id, begun_here) VALUES (?1, ?2) ON CONFLICT DO NOTHING";
        self.ask("cannot note a journal", |conn| conn.put(note, values![journal, begun_there]))
    }

    /// Takes in one record of a journal that is noted.
    pub(super) fn take(&mut self, entry: &Entry) -> Result<Taken, Error> {
        let own = Some(entry.id.journal) == self.own;
        match self.here(entry.id)? {
            None if own => self.join(Err(Trouble::OwnJournal(entry.id))),
            None => {
                self.insert(Chained::Record, entry)?;
                if let Some(ahead) = self.ahead.get_mut(&entry.id.journal) {
                    ahead.here.insert(entry.id.seq, entry.clone());
                }
                Ok(Taken::New)
            }
            Some(known) if entry.says_the_same(known) => Ok(Taken::Known { apart: known.apart.clone() }),
            Some(_) => {
                let new = !self.is_known_conflict(entry)?;
                if new {
                    self.insert(Chained::Conflict, entry)?;
                }
                Ok(Taken::Conflict { new })
            }
        }
    }

    /// What is here under a number of a journal that is taken in.
    fn here(&mut self, id: RecordId) -> Result<Option<&Entry>, Error> {
        if self.ahead.get(&id.journal).is_none_or(|ahead| !ahead.numbers.contains(&id.seq)) {
            let numbers = id.seq..=id.seq.saturating_add(AHEAD - 1);
            let here = self.entries_of_journal(id.journal, numbers.clone())?.into_iter();
            let here = here.map(|entry| (entry.id.seq, entry)).collect();
            self.ahead.insert(id.journal, Ahead { numbers, here });
        }
        Ok(self.ahead.get(&id.journal).and_then(|ahead| ahead.here.get(&id.seq)))
    }

    /// Whether the same conflicting record is kept already, so that a keypad that goes on sending does not fill
    /// the book.
    fn is_known_conflict(&self, entry: &Entry) -> Result<bool, Error> {
        Ok(self.conflicts_with(entry.id)?.iter().any(|known| entry.says_the_same(known)))
    }

    fn insert(&mut self, table: Chained, entry: &Entry) -> Result<(), Error> {
        let Self { reader, heads, last, .. } = self;
        if entry.apart.as_deref().is_some_and(|why| why.contains('\0')) {
            return reader.join(Err(Trouble::Nul { what: "a reason why a record does not count" }));
        }
        let digest = reader.ask("cannot write a record", |conn| heads.insert(conn, table, None, entry))?;
        if table == Chained::Record {
            *last = Some((entry.id, digest));
        }
        Ok(())
    }
}
