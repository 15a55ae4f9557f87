//! A book that may be gone for a while: it is open, or is tried again.
//!
//! A server that is away is asked at once and then ever more seldom, [`SOON_MS`] to [`SELDOM_MS`]; whatever else failed, each
//! [`REOPEN_MS`]. Opening may take its time beside whoever waits ([`Opening::Coming`]). Why a book was gone stays known until
//! work went on with it ([`Shelf::settle`]), so that one which opens and fails again is one loss, told once.

use super::book::{BenchBook, Opening};
use super::now::Now;
use jiff::Timestamp;
use std::sync::mpsc::TryRecvError;

/// How often a book that failed is tried again, in milliseconds.
const REOPEN_MS: u64 = 1000;

/// How soon behind its loss a server is asked first, in milliseconds; it is waited twice as long each time. Own choice.
const SOON_MS: u64 = 250;

/// How long is waited at most until a server is asked again, in milliseconds. Own choice: nobody waits long once it is back,
/// and one that starts is not held up by the benches of a shop.
const SELDOM_MS: u64 = 8000;

/// Why a book is gone.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Gone {
    /// What was met.
    pub why: String,
    /// Since when, where it is its server that is away.
    pub away: Option<Timestamp>,
}

impl Gone {
    /// Whether whoever was told of the one knows the other: what a server says as it comes up changes by the second.
    fn is_as(&self, other: &Self) -> bool {
        self.away.is_some() && other.away.is_some() || self == other
    }
}

/// A book and where it is.
#[derive(Debug)]
pub struct Shelf<B: BenchBook> {
    book: Option<Box<B>>,
    place: B::Place,
    gone: Option<Gone>,
    /// Nobody was told of that yet.
    news: bool,
    opening: Option<Opening<B>>,
    again_ms: u64,
    wait_ms: u64,
}

impl<B: BenchBook> Shelf<B> {
    /// A book that is opened next.
    pub const fn at(place: B::Place) -> Self {
        Self { book: None, place, gone: None, news: false, opening: None, again_ms: 0, wait_ms: SOON_MS }
    }

    /// A book that is open.
    pub fn of(book: B) -> Self {
        let place = book.place();
        Self { book: Some(Box::new(book)), ..Self::at(place) }
    }

    /// A book that could not be opened.
    pub fn failed(place: B::Place, error: &B::Error, now: Now) -> Self {
        let mut shelf = Self::at(place);
        shelf.lose(error, now);
        shelf
    }

    /// The book, while it is open.
    pub fn book(&self) -> Option<&B> {
        self.book.as_deref()
    }

    /// The same, to be changed.
    pub fn book_mut(&mut self) -> Option<&mut B> {
        self.book.as_deref_mut()
    }

    /// The open book, or where it is.
    ///
    /// # Errors
    /// It is not open: it stays on the shelf.
    pub fn take(self) -> Result<B, Self> {
        match self.book {
            Some(book) => Ok(*book),
            None => Err(self),
        }
    }

    /// What opens it.
    pub const fn place(&self) -> &B::Place {
        &self.place
    }

    /// Why it was gone last, until work went on with it.
    pub const fn gone(&self) -> Option<&Gone> {
        self.gone.as_ref()
    }

    /// The same once, for telling it.
    pub fn take_news(&mut self) -> Option<&Gone> {
        if std::mem::take(&mut self.news) { self.gone.as_ref() } else { None }
    }

    /// Work went on with the book; why it had been gone, if it was.
    pub fn settle(&mut self) -> Option<Gone> {
        (self.news, self.wait_ms) = (false, SOON_MS);
        self.gone.take()
    }

    /// Does something with the book; one that fails is closed.
    pub fn with<T>(&mut self, now: Now, work_on: impl FnOnce(&mut B) -> Result<T, B::Error>) -> Option<T> {
        let failed = match work_on(self.book.as_deref_mut()?) {
            Ok(done) => return Some(done),
            Err(error) => error,
        };
        self.lose(&failed, now);
        None
    }

    /// Opens the book again where that is due; whether it is open now.
    pub fn turn(&mut self, now: Now) -> bool {
        let opening = match self.opening.take() {
            _ if self.book.is_some() => return false,
            Some(opening) => opening,
            None if now.ms >= self.again_ms => B::reopen(&self.place),
            None => return false,
        };
        let opened = match opening {
            Opening::Done(opened) => opened,
            Opening::Coming(coming) => match coming.try_recv() {
                Ok(opened) => opened,
                Err(TryRecvError::Empty) => {
                    self.opening = Some(Opening::Coming(coming));
                    return false;
                }
                // Whoever was opening it fell over.
                Err(TryRecvError::Disconnected) => {
                    self.again_ms = now.ms + REOPEN_MS;
                    return false;
                }
            },
        };
        match opened {
            Ok(book) => self.book = Some(Box::new(book)),
            Err(error) => self.lose(&error, now),
        }
        self.book.is_some()
    }

    fn lose(&mut self, error: &B::Error, now: Now) {
        let before = self.gone.take();
        let gone = match B::away(error) {
            Some(why) => {
                self.again_ms = now.ms + self.wait_ms;
                self.wait_ms = (self.wait_ms * 2).min(SELDOM_MS);
                let since = before.as_ref().and_then(|before| before.away);
                let since = since.or(Timestamp::from_millisecond(now.utc_ms).ok()).unwrap_or_default();
                Gone { why: why.to_owned(), away: Some(since) }
            }
            None => {
                self.again_ms = now.ms + REOPEN_MS;
                Gone { why: error.to_string(), away: None }
            }
        };
        self.news |= before.is_none_or(|before| !before.is_as(&gone));
        (self.book, self.gone) = (None, Some(gone));
    }
}
