//! A server that keeps the book: it goes away, loses answers, is slow, and another one takes its place.
//!
//! A commit that was answered is on its standby too. One whose answer was lost may be lacking there, as long as nobody committed
//! anything behind it: a standby has what it has in the order of commits.

/// Begins what a book says whose server is away.
pub(crate) const AWAY: &str = "the server";

/// What the server does.
#[derive(Debug, Default)]
pub(crate) struct Keeper {
    pub(crate) now_ms: u64,
    /// It is away until then.
    pub(crate) back_ms: u64,
    /// How often its connections were broken.
    pub(crate) broken: u32,
    /// The answer to the next commit is lost: whether that was done, and how long the server is away then.
    pub(crate) lost: Option<(bool, u64)>,
    /// How long it takes to answer.
    pub(crate) slow_ms: u64,
    /// Whether it was asked anything since that was last looked at.
    pub(crate) asked: bool,
    /// So many rows of the book are on its standby.
    pub(crate) followed: usize,
    /// How often it went, and how many commits it did not answer.
    pub(crate) went: u64,
    pub(crate) unanswered: u64,
}

impl Keeper {
    pub(crate) const fn is_away(&self) -> bool {
        self.now_ms < self.back_ms
    }

    /// It goes for so long, and every connection with it.
    pub(crate) const fn leave(&mut self, ms: u64) {
        self.back_ms = self.now_ms + ms;
        self.broken += 1;
        self.went += 1;
    }

    /// Whether a connection that was made when so many were broken gets an answer.
    pub(crate) fn answers(&mut self, connection: u32) -> Result<(), String> {
        self.asked = true;
        match () {
            () if self.is_away() => Err(format!("{AWAY} does not answer")),
            () if connection != self.broken => Err(format!("{AWAY} closed the connection")),
            () => Ok(()),
        }
    }

    /// It is well again.
    pub(crate) const fn heal(&mut self) {
        (self.back_ms, self.slow_ms, self.lost) = (0, 0, None);
    }
}
