//! A connection to the server that keeps a book.
//!
//! **One writes at a time.** A write begins by counting itself in the one row of table `book`, and holds that row until it
//! is over. Whoever comes next waits there; at the level READ COMMITTED each of its later statements sees what was
//! committed before it came, so that what it reads of a job, of a journal's last number and of the last position holds to
//! its end, as within SQLite's immediate transaction. (At REPEATABLE READ it would go on seeing what was before it waited;
//! a server that knows no weaker level refuses it with 40001, and it is run anew.)
//!
//! **Others' writes** are told by the server (LISTEN), and where it does not tell, asked for.

use super::connect::Reached;
use super::meaning::is_to_be_tried_again;
use super::rights::Rights;
use super::tables;
use crate::store::value::{Fault, For, Value};
use bevelbook_core::record::JournalId;
use fallible_iterator::FallibleIterator as _;
use postgres::types::{ToSql, Type};
use postgres::{Client, Row, Statement};
use std::cell::{Cell, OnceCell, RefCell};
use std::collections::HashMap;
use std::fmt;
use std::ops::ControlFlow;
use std::time::{Duration, Instant};

/// How often is asked for others' writes although the server tells of them: not every way to a server lets that through.
const ASK_ANYWAY: Duration = Duration::from_secs(5);

/// The connection.
pub(in crate::store) struct Link {
    client: RefCell<Client>,
    /// What was asked before, and from the second time on as the server has prepared it.
    asked: RefCell<HashMap<String, Option<Statement>>>,
    /// Whether a transaction is open, and the number of the write that it is.
    open: Cell<Option<Transaction>>,
    /// The number of the last write that is known of, its own among them.
    writes: Cell<i64>,
    /// How often others were found to have written.
    others: Cell<i64>,
    /// Whether the server tells of writes.
    tells: bool,
    /// When was asked for others' writes last.
    asked_at: Cell<Option<Instant>>,
    /// What is to be told of the server.
    pub(in crate::store) warnings: Vec<String>,
    /// Whether a write is to be run once more.
    again: Cell<bool>,
    /// The journal that this console writes, if one was begun.
    pub(in crate::store) own: Cell<Option<JournalId>>,
    /// What its role may, once that was asked.
    rights: OnceCell<Rights>,
}

#[derive(Clone, Copy, Debug)]
enum Transaction {
    Reading,
    Making,
    Writing(i64),
}

impl fmt::Debug for Link {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Link").field("open", &self.open).field("own", &self.own).finish_non_exhaustive()
    }
}

impl Link {
    /// Over a connection that is made.
    pub(super) fn new(reached: Reached) -> Self {
        let Reached { mut client, warnings, .. } = reached;
        let tells = client.batch_execute("LISTEN bevelbook").is_ok();
        Self {
            client: RefCell::new(client),
            asked: RefCell::default(),
            open: Cell::new(None),
            writes: Cell::new(0),
            others: Cell::new(0),
            tells,
            asked_at: Cell::new(None),
            again: Cell::new(false),
            warnings,
            own: Cell::new(None),
            rights: OnceCell::new(),
        }
    }

    /// Does something with the client, unless it is at work.
    pub(super) fn with<T>(&self, work: impl FnOnce(&mut Client) -> Result<T, Fault>) -> Result<T, Fault> {
        let mut client = self.client.try_borrow_mut().map_err(|_| Fault::Nested)?;
        work(&mut client).inspect_err(|fault| {
            let again = matches!(fault, Fault::Server(error) if is_to_be_tried_again(error));
            self.again.set(self.again.get() || again);
        })
    }

    /// Whether the server refused the last write only to have it run once more.
    pub(in crate::store) fn asks_again(&self) -> bool {
        self.again.take()
    }

    /// What its role may, once that was asked.
    pub(in crate::store) fn rights(&self) -> Option<&Rights> {
        self.rights.get()
    }

    /// Takes down what its role may.
    pub(super) fn know(&self, rights: Rights) {
        // It is asked once; what is taken away later is refused by the server.
        let _ = self.rights.set(rights);
    }

    /// Statements without values, one behind the other.
    pub(in crate::store) fn batch(&self, sql: &str) -> Result<(), Fault> {
        self.with(|client| Ok(client.batch_execute(sql)?))
    }

    /// Gives each row of an answer to `row`, until that breaks off; how many rows were changed, where they were.
    pub(in crate::store) fn run(
        &self,
        sql: &str,
        values: &[Value<'_>],
        row: &mut dyn FnMut(&Row) -> Result<ControlFlow<()>, Fault>,
    ) -> Result<u64, Fault> {
        let values: Vec<(&(dyn ToSql + Sync), Type)> = values.iter().map(Value::for_server).collect();
        let known = self.asked.borrow().get(sql).cloned();
        self.with(|client| {
            let mut rows = match known {
                None => {
                    self.asked.borrow_mut().insert(sql.to_owned(), None);
                    client.query_typed_raw(&numbered(sql), values)?
                }
                Some(prepared) => {
                    let kinds: Vec<Type> = values.iter().map(|(_, kind)| kind.clone()).collect();
                    let prepared = match prepared {
                        Some(prepared) => prepared,
                        None => client.prepare_typed(&numbered(sql), &kinds)?,
                    };
                    self.asked.borrow_mut().insert(sql.to_owned(), Some(prepared.clone()));
                    client.query_raw(&prepared, values.into_iter().map(|(value, _)| value))?
                }
            };
            while let Some(found) = rows.next()? {
                if row(&found)?.is_break() {
                    return Ok(0);
                }
            }
            Ok(rows.rows_affected().unwrap_or(0))
        })
    }

    pub(in crate::store) fn is_open(&self) -> bool {
        self.open.get().is_some()
    }

    pub(in crate::store) fn begin(&self, what_for: For) -> Result<(), Fault> {
        match what_for {
            For::Reading => {
                self.batch("BEGIN ISOLATION LEVEL REPEATABLE READ READ ONLY")?;
                self.open.set(Some(Transaction::Reading));
            }
            For::Making => {
                self.batch("BEGIN")?;
                self.open.set(Some(Transaction::Making));
            }
            For::Writing => {
                self.batch("BEGIN ISOLATION LEVEL READ COMMITTED")?;
                // From here on it is undone, whatever comes.
                self.open.set(Some(Transaction::Writing(0)));
                let counted = self.count_write();
                if counted.is_err() {
                    self.undo();
                }
                self.open.set(Some(Transaction::Writing(counted?)));
            }
        }
        Ok(())
    }

    /// Waits until nobody else writes, and counts this write.
    fn count_write(&self) -> Result<i64, Fault> {
        let mut counted = None;
        self.run(tables::COUNT_WRITE, &[], &mut |row| {
            counted = Some((row.try_get(0)?, row.try_get(1)?));
            Ok(ControlFlow::Break(()))
        })?;
        let (writes, version): (i64, i64) = counted.ok_or(Fault::Column(0))?;
        if version == tables::KNOWN { Ok(writes) } else { Err(Fault::Schema(version)) }
    }

    /// Keeps what the open transaction did, and tells others.
    pub(in crate::store) fn commit(&self) -> Result<(), Fault> {
        let open = self.open.take();
        match open {
            Some(Transaction::Writing(writes)) => {
                self.batch(if self.tells { "NOTIFY bevelbook; COMMIT" } else { "COMMIT" })?;
                if writes != self.writes.get() + 1 {
                    self.others.set(self.others.get() + 1);
                }
                self.writes.set(writes);
            }
            _ => self.batch("COMMIT")?,
        }
        Ok(())
    }

    /// Undoes what the open transaction did; where the connection is gone the server does.
    pub(in crate::store) fn undo(&self) {
        self.open.set(None);
        drop(self.batch("ROLLBACK"));
    }

    /// A number that differs from the last one asked for when another connection has written in between.
    pub(in crate::store) fn others_wrote(&self) -> Result<i64, Fault> {
        let told = self.tells && self.with(told_of_another)?;
        let due = self.asked_at.get().is_none_or(|at| !self.tells || at.elapsed() >= ASK_ANYWAY);
        if told || due {
            self.asked_at.set(Some(Instant::now()));
            let mut writes = self.writes.get();
            self.run("SELECT writes FROM book", &[], &mut |row| {
                writes = row.try_get(0)?;
                Ok(ControlFlow::Break(()))
            })?;
            if writes != self.writes.replace(writes) {
                self.others.set(self.others.get() + 1);
            }
        }
        Ok(self.others.get())
    }
}

/// Whether the server told of writes since it was asked last.
fn told_of_another(client: &mut Client) -> Result<bool, Fault> {
    let mut told = false;
    // The client looks at its socket only while it waits.
    while client.notifications().timeout_iter(Duration::from_millis(1)).next()?.is_some() {
        told = true;
    }
    // A connection that is gone is noticed by the next question.
    Ok(told || client.is_closed())
}

/// A statement with its values numbered as the server has it.
fn numbered(sql: &str) -> String {
    sql.replace('?', "$")
}
