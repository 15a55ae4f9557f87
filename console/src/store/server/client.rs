//! The client: one question at a time, waited for no longer than was said.
//!
//! A connection of `tokio-postgres` moves bytes only while it is polled. That is done here, on this thread, while an answer is
//! waited for and at no other time. Who says nothing for too long is given up for good: what it answers later belongs to no
//! question any more.

use super::meaning;
use super::patience::Patience;
use crate::store::value::Fault;
use futures_core::Stream;
use std::future::poll_fn;
use std::io;
use std::ops::ControlFlow;
use std::pin::{Pin, pin};
use std::task::{Context, Poll};
use std::time::Duration;
use tokio::runtime::{Builder, Runtime};
use tokio::time::timeout;
use tokio_postgres::error::Severity;
use tokio_postgres::types::{ToSql, Type};
use tokio_postgres::{AsyncMessage, Config, Error, Row, RowStream, SimpleQueryMessage, Statement};
use tokio_postgres_rustls::MakeRustlsConnect;

/// How long is waited for a server to be told that the connection ends. It ends anyway.
const GOODBYE: Duration = Duration::from_millis(200);

/// How long is looked for what a server tells unasked.
const LOOK: Duration = Duration::from_millis(1);

/// A connection to a server.
pub(super) struct Client {
    // Before the line, which ends when nobody asks any more.
    asks: tokio_postgres::Client,
    line: Line,
}

/// What moves its bytes, until it ended.
type Moves = Box<dyn FnMut(&mut Context<'_>) -> Poll<Option<Result<AsyncMessage, Error>>> + Send>;

struct Line {
    runtime: Runtime,
    heard: Heard,
    patience: Patience,
    /// How long it was silent when it was given up.
    given_up: Option<Duration>,
}

struct Heard {
    moves: Option<Moves>,
    /// That another one wrote.
    told: bool,
    /// What it warned of last.
    warned: Option<String>,
}

/// What a client runs on.
///
/// # Errors
/// The system has no room for one more.
pub(super) fn runtime() -> io::Result<Runtime> {
    Builder::new_current_thread().enable_all().build()
}

impl Client {
    /// Connects; how long that may take whoever asks for it says.
    pub(super) fn connect(runtime: Runtime, config: &Config, tls: MakeRustlsConnect) -> Result<Self, Error> {
        let (asks, mut connection) = runtime.block_on(config.connect(tls))?;
        let moves: Moves = Box::new(move |cx| connection.poll_message(cx));
        let heard = Heard { moves: Some(moves), told: false, warned: None };
        Ok(Self { asks, line: Line { runtime, heard, patience: Patience::Typed, given_up: None } })
    }

    /// Who waits from now on.
    pub(super) fn wait_as(&mut self, patience: Patience) {
        self.line.patience = patience;
    }

    /// Statements without values, one behind the other.
    pub(super) fn batch_execute(&mut self, sql: &str) -> Result<(), Fault> {
        self.line.wait(self.asks.batch_execute(sql))
    }

    /// The same, of which the rows are wanted, as text.
    pub(super) fn simple_query(&mut self, sql: &str) -> Result<Vec<SimpleQueryMessage>, Fault> {
        let mut said = pin!(self.line.wait(self.asks.simple_query_raw(sql))?);
        std::iter::from_fn(|| self.line.next(said.as_mut()).transpose()).collect()
    }

    /// The same, where an answer with a warning is none.
    pub(super) fn batch_without_warning(&mut self, sql: &str) -> Result<(), Fault> {
        self.line.heard.warned = None;
        self.batch_execute(sql)?;
        self.line.heard.warned.take().map_or(Ok(()), |warning| Err(Fault::Warned(warning)))
    }

    /// Has a question ready that is asked again and again.
    pub(super) fn prepare(&mut self, sql: &str, kinds: &[Type]) -> Result<Statement, Fault> {
        self.line.wait(self.asks.prepare_typed(sql, kinds))
    }

    /// Asks with values of these kinds.
    pub(super) fn ask(
        &mut self,
        sql: &str,
        values: Vec<(&(dyn ToSql + Sync), Type)>,
    ) -> Result<RowStream, Fault> {
        self.line.wait(self.asks.query_typed_raw(sql, values))
    }

    /// Asks what was prepared.
    pub(super) fn ask_prepared<'v>(
        &mut self,
        prepared: &Statement,
        values: impl ExactSizeIterator<Item = &'v (dyn ToSql + Sync)>,
    ) -> Result<RowStream, Fault> {
        self.line.wait(self.asks.query_raw(prepared, values))
    }

    /// Gives each row of an answer to `row`, until that breaks off; how many rows were changed, where they were.
    pub(super) fn each(
        &mut self,
        answer: RowStream,
        row: &mut dyn FnMut(&Row) -> Result<ControlFlow<()>, Fault>,
    ) -> Result<u64, Fault> {
        let mut answer = pin!(answer);
        while let Some(found) = self.line.next(answer.as_mut())? {
            if row(&found)?.is_break() {
                return Ok(0);
            }
        }
        Ok(answer.rows_affected().unwrap_or(0))
    }

    /// Whether the server told of a write, or is gone, since this was asked last.
    pub(super) fn told(&mut self) -> Result<bool, Fault> {
        let Line { runtime, heard, .. } = &mut self.line;
        let listen =
            poll_fn(|cx| heard.listen(cx).map_or_else(|error| Poll::Ready(Err(error)), |()| Poll::Pending));
        let heard: Result<Result<(), Error>, _> = runtime.block_on(async { timeout(LOOK, listen).await });
        heard.unwrap_or(Ok(()))?;
        Ok(std::mem::take(&mut self.line.heard.told) || self.asks.is_closed())
    }
}

impl Line {
    /// Waits until what was asked is answered.
    fn wait<T>(&mut self, asked: impl Future<Output = Result<T, Error>>) -> Result<T, Fault> {
        let Self { runtime, heard, patience, given_up } = self;
        if let Some(time) = *given_up {
            return Err(Fault::Silent(time));
        }
        let mut asked = pin!(asked);
        let answered = poll_fn(|cx| match heard.listen(cx) {
            Ok(()) => asked.as_mut().poll(cx),
            // What was answered before the connection ended was answered.
            Err(error) => match asked.as_mut().poll(cx) {
                answered @ Poll::Ready(Ok(_)) => answered,
                _ => Poll::Ready(Err(error)),
            },
        });
        let time = patience.time();
        let came = runtime.block_on(async { timeout(time, answered).await });
        came.map_or_else(
            |_| {
                (heard.moves, *given_up) = (None, Some(time));
                Err(Fault::Silent(time))
            },
            |answer| Ok(answer?),
        )
    }

    /// Waits for what comes next of an answer.
    fn next<T>(
        &mut self,
        mut answer: Pin<&mut impl Stream<Item = Result<T, Error>>>,
    ) -> Result<Option<T>, Fault> {
        self.wait(poll_fn(|cx| answer.as_mut().poll_next(cx).map(Option::transpose)))
    }
}

impl Heard {
    /// Moves what can be moved, and takes down what the server tells beside its answers.
    fn listen(&mut self, cx: &mut Context<'_>) -> Result<(), Error> {
        while let Some(moves) = &mut self.moves {
            match moves(cx) {
                Poll::Pending => break,
                Poll::Ready(Some(Ok(AsyncMessage::Notification(_)))) => self.told = true,
                Poll::Ready(Some(Ok(AsyncMessage::Notice(notice)))) => {
                    if notice.parsed_severity() == Some(Severity::Warning) {
                        self.warned = Some(meaning::words(&notice));
                    }
                }
                Poll::Ready(Some(Ok(_))) => {}
                Poll::Ready(Some(Err(error))) => {
                    self.moves = None;
                    return Err(error);
                }
                Poll::Ready(None) => self.moves = None,
            }
        }
        Ok(())
    }
}

impl Drop for Line {
    fn drop(&mut self) {
        let Self { runtime, heard, .. } = self;
        let over = poll_fn(|cx| match (heard.listen(cx), &heard.moves) {
            (Ok(()), Some(_)) => Poll::Pending,
            _ => Poll::Ready(()),
        });
        // What cannot be told now the server sees when the connection closes.
        let _ = runtime.block_on(async { timeout(GOODBYE, over).await });
    }
}
