//! A connection to the server that keeps a book.
//!
//! **One writes at a time.** A write begins by counting itself in the one row of table `book`, and holds that row until it
//! is over. Whoever comes next waits there; at the level READ COMMITTED each of its later statements sees what was
//! committed before it came, so that what it reads of a job, of a journal's last number and of the last position holds to
//! its end, as within SQLite's immediate transaction. (At REPEATABLE READ it would go on seeing what was before it waited;
//! a server that knows no weaker level refuses it with 40001, and it is run anew.)
//!
//! **Few messages.** A server may be far away, and what takes time is how often it is waited for. A write begins and counts
//! itself in one message. What it puts down is [owed](Link::put): it is sent before the next question, or with the commit, all
//! of it in one message, its values spelled out. A question that is asked again and again is prepared.
//!
//! **Others' writes** are told by the server (LISTEN), and where it does not tell, asked for.

use super::ahead::Ahead;
use super::client::Client;
use super::connect::Reached;
use super::meaning::is_to_be_tried_again;
use super::patience::Patience;
use super::rights::Rights;
use super::spelled::spell;
use super::tables;
use crate::store::value::{Fault, For, Value, values};
use bevelbook_core::record::JournalId;
use std::cell::{Cell, OnceCell, RefCell};
use std::collections::HashMap;
use std::fmt;
use std::mem::take;
use std::ops::ControlFlow;
use std::time::{Duration, Instant};
use tokio_postgres::types::{ToSql, Type};
use tokio_postgres::{Row, Statement};

/// How often is asked for others' writes although the server tells of them: not every way to a server lets that through.
const ASK_ANYWAY: Duration = Duration::from_secs(5);

/// Asks the server to tell of writes.
pub(super) const LISTEN: &str = "LISTEN bevelbook";

/// How often a question is asked before it is prepared, which takes a message of its own.
const PREPARED_AFTER: u32 = 15;

/// The most that waits to be sent, in bytes.
const MOST_OWED: usize = 1 << 20;

/// The connection.
pub(in crate::store) struct Link {
    client: RefCell<Client>,
    /// Who waits for its answers.
    pub(super) patience: Cell<Patience>,
    /// What was asked before.
    asked: RefCell<HashMap<String, Asked>>,
    /// What begins the open read, or what the open write put down, and was not sent yet.
    pub(super) owed: RefCell<String>,
    /// What was asked ahead.
    pub(super) ahead: Ahead,
    /// Whether a transaction is open, and the number of the write that it is.
    open: Cell<Option<Transaction>>,
    /// The number of the last write that is known of, its own among them.
    writes: Cell<i64>,
    /// How often others were found to have written.
    others: Cell<i64>,
    /// When the open write began: the last position, and the last number of this console's journal.
    pub(in crate::store) before: Cell<(i64, Option<u32>)>,
    /// Whether the server tells of writes.
    tells: OnceCell<bool>,
    /// When was asked for others' writes last.
    asked_at: Cell<Option<Instant>>,
    /// What is to be told of the server.
    pub(in crate::store) warnings: Vec<String>,
    /// Whether a write is to be run once more.
    again: Cell<bool>,
    /// The journal that this console writes, if one was begun.
    pub(in crate::store) own: Cell<Option<JournalId>>,
    /// The fingerprint of this console at this server's book, once it was worked out.
    pub(super) here: Cell<Option<u64>>,
    /// Whether another machine was found to work as this console.
    pub(super) twin: Cell<bool>,
    /// What its role may, once that was asked.
    rights: OnceCell<Rights>,
}

/// A question that was asked before.
#[derive(Clone)]
enum Asked {
    Times(u32),
    Prepared(Statement),
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
        let Reached { client, warnings, .. } = reached;
        Self {
            client: RefCell::new(client),
            patience: Cell::new(Patience::Typed),
            asked: RefCell::default(),
            owed: RefCell::default(),
            ahead: Ahead::default(),
            open: Cell::new(None),
            writes: Cell::new(0),
            others: Cell::new(0),
            before: Cell::default(),
            tells: OnceCell::new(),
            asked_at: Cell::new(None),
            again: Cell::new(false),
            warnings,
            own: Cell::new(None),
            here: Cell::new(None),
            twin: Cell::new(false),
            rights: OnceCell::new(),
        }
    }

    /// Who waits for its answers from now on; who did before.
    pub(in crate::store) fn wait_as(&self, patience: Patience) -> Patience {
        self.patience.replace(patience)
    }

    /// Does something with the client, unless it is at work.
    pub(super) fn with<T>(&self, work: impl FnOnce(&mut Client) -> Result<T, Fault>) -> Result<T, Fault> {
        let mut client = self.client.try_borrow_mut().map_err(|_| Fault::Nested)?;
        client.wait_as(self.patience.get());
        work(&mut client).inspect_err(|fault| {
            let again = matches!(fault, Fault::Server(error) if is_to_be_tried_again(error));
            self.again.set(self.again.get() || again);
        })
    }

    /// Whether the server refused the last write only to have it run once more.
    pub(in crate::store) fn asks_again(&self) -> bool {
        self.again.take()
    }

    /// Whether the server tells of writes, which it is asked for here: who only looks once never needs it.
    pub(super) fn tells(&self) -> bool {
        *self.tells.get_or_init(|| self.batch(LISTEN).is_ok())
    }

    /// Takes down that the server was asked to.
    pub(super) fn is_told(&self) {
        let _ = self.tells.set(true);
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
        self.with(|client| client.batch_execute(sql))
    }

    /// Does what changes rows, of which nobody asks how many: within a write when something is asked next, or with its commit.
    pub(in crate::store) fn put(&self, sql: &str, values: &[Value<'_>]) -> Result<(), Fault> {
        self.forget_what_changes(sql);
        let mut owed = self.owed.borrow_mut();
        spell(&mut owed, sql, values);
        owed.push(';');
        let waits = matches!(self.open.get(), Some(Transaction::Writing(_))) && owed.len() < MOST_OWED;
        if waits { Ok(()) } else { self.batch(&take(&mut *owed)) }
    }

    /// Gives each row of an answer to `row`, until that breaks off; how many rows were changed, where they were.
    pub(in crate::store) fn run(
        &self,
        sql: &str,
        values: &[Value<'_>],
        row: &mut dyn FnMut(&Row) -> Result<ControlFlow<()>, Fault>,
    ) -> Result<u64, Fault> {
        let owed = self.owed.take();
        if !owed.is_empty() {
            self.batch(&owed)?;
        }
        let values: Vec<(&(dyn ToSql + Sync), Type)> = values.iter().map(Value::for_server).collect();
        let asked = self.asked.borrow().get(sql).cloned().unwrap_or(Asked::Times(0));
        self.with(|client| {
            let (answer, asked) = match asked {
                Asked::Times(times) if times < PREPARED_AFTER => {
                    (client.ask(&numbered(sql), values)?, Asked::Times(times + 1))
                }
                asked => {
                    let prepared = match asked {
                        Asked::Prepared(prepared) => prepared,
                        Asked::Times(_) => {
                            let kinds: Vec<Type> = values.iter().map(|(_, kind)| kind.clone()).collect();
                            client.prepare(&numbered(sql), &kinds)?
                        }
                    };
                    let values = values.into_iter().map(|(value, _)| value);
                    (client.ask_prepared(&prepared, values)?, Asked::Prepared(prepared))
                }
            };
            self.asked.borrow_mut().insert(sql.to_owned(), asked);
            client.each(answer, row)
        })
    }

    pub(in crate::store) fn is_open(&self) -> bool {
        self.open.get().is_some()
    }

    pub(in crate::store) fn begin(&self, what_for: For) -> Result<(), Fault> {
        match what_for {
            For::Reading => {
                self.owed.replace("BEGIN ISOLATION LEVEL REPEATABLE READ READ ONLY;".to_owned());
                self.open.set(Some(Transaction::Reading));
            }
            For::Making => {
                self.batch("BEGIN")?;
                self.open.set(Some(Transaction::Making));
            }
            For::Writing => {
                // Asked while nothing is open that its refusal would end.
                self.tells();
                // From here on it is undone, whatever comes.
                self.open.set(Some(Transaction::Writing(0)));
                let counted = self.count_write().inspect_err(|_| self.undo())?;
                self.open.set(Some(Transaction::Writing(counted)));
            }
        }
        Ok(())
    }

    /// Begins a write: waits until nobody else writes, counts it, and asks what it will want to know.
    fn count_write(&self) -> Result<i64, Fault> {
        let mut begin = format!("BEGIN ISOLATION LEVEL READ COMMITTED; {};", tables::COUNT_WRITE);
        spell(&mut begin, tables::LAST, values![self.own.get().map(|own| own.0)]);
        begin.push(';');
        let said = self.several(begin, self.ahead.noted())?;
        let rows = said.iter().flatten();
        let numbers: Vec<Option<i64>> =
            rows.flat_map(|row| (0..row.len()).map(|at| row.try_get(at).ok()??.parse().ok())).collect();
        let [Some(writes), Some(version), Some(last), last_own] = numbers[..] else {
            return Err(Fault::Column(0));
        };
        if version != tables::KNOWN {
            return Err(Fault::Schema(version));
        }
        self.before.set((last, last_own.and_then(|last| u32::try_from(last).ok())));
        Ok(writes)
    }

    /// Keeps what the open transaction did, and tells others.
    pub(in crate::store) fn commit(&self) -> Result<(), Fault> {
        self.ahead.forget();
        let mut last = self.owed.take();
        if let (Some(Transaction::Writing(_)), true) = (self.open.get(), self.tells()) {
            last.push_str("NOTIFY bevelbook;");
        }
        last.push_str("COMMIT");
        // Where something that was owed is refused the transaction is still there, and does nothing any more.
        let committed = self.with(|client| match self.open.get() {
            Some(Transaction::Reading) => client.batch_execute(&last),
            // A server that stops waiting for the one that stands by says done, and warns.
            _ => client.batch_without_warning(&last),
        });
        committed.inspect_err(|_| self.undo())?;
        if let Some(Transaction::Writing(writes)) = self.open.take() {
            if writes != self.writes.get() + 1 {
                self.others.set(self.others.get() + 1);
            }
            self.writes.set(writes);
        }
        Ok(())
    }

    /// Undoes what the open transaction did; where the connection is gone the server does.
    pub(in crate::store) fn undo(&self) {
        self.ahead.forget();
        let (open, owed) = (self.open.take(), self.owed.take());
        // A read that has asked nothing has not begun.
        if !matches!(open, Some(Transaction::Reading)) || owed.is_empty() {
            drop(self.batch("ROLLBACK"));
        }
    }

    /// Stands in for another connection from now on: others may have written in between.
    pub(super) fn follow(&self, former: &Self) {
        self.others.set(former.others.get() + 1);
    }

    /// A number that differs from the last one asked for when another connection has written in between.
    pub(in crate::store) fn others_wrote(&self) -> Result<i64, Fault> {
        let tells = !self.is_open() && self.tells();
        let told = tells && self.with(Client::told)?;
        let due = self.asked_at.get().is_none_or(|at| !tells || at.elapsed() >= ASK_ANYWAY);
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

/// A statement with its values numbered as the server has it.
fn numbered(sql: &str) -> String {
    sql.replace('?', "$")
}
