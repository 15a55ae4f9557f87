//! How a fact of the bench was entered: what was read, what was accepted as it was preset, and how long its step stood.
//!
//! A keypad has no clock, but its ticks tell: a step shows once the record before it is saved, so it cannot have stood for
//! longer than from that record to its own. That is told of records of one start of the keypad alone.

use super::{Fact, Job, Line};
use bevelbook_core::record::{Asked, Bench, Entered};

/// A reading that stood there for less was hardly read. Common practice, no source.
pub const LEAST_READING_MS: u32 = 3_000;

/// How a fact was entered.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct HowEntered {
    /// What was accepted as it stood there.
    pub preset: Vec<Asked>,
    /// What was read and set, or typed.
    pub read: Vec<Asked>,
    /// The longest that its step can have stood, where that is known.
    pub within_ms: Option<u32>,
}

impl HowEntered {
    /// Whether all of it was accepted as it stood there.
    #[must_use]
    pub const fn is_preset(&self) -> bool {
        self.read.is_empty()
    }

    /// Whether its step stood for less than a reading takes.
    #[must_use]
    pub fn is_quick(&self) -> bool {
        self.within_ms.is_some_and(|within_ms| within_ms < LEAST_READING_MS)
    }
}

impl Line {
    /// How it was entered, if it tells.
    #[must_use]
    pub fn how_entered(&self) -> Option<HowEntered> {
        let Fact::Bench(fact) = &self.fact else { return None };
        let entered: Entered = fact.entered();
        let (preset, read) = fact.asked().into_iter().partition(|asked| entered.was_preset(*asked));
        entered.is_told().then_some(HowEntered { preset, read, within_ms: self.within_ms })
    }
}

impl Job {
    /// How a fact that holds was entered; of several alike the latest.
    #[must_use]
    pub fn how_entered(&self, fact: &Bench) -> Option<HowEntered> {
        self.standing().rfind(|line| line.fact == Fact::Bench(*fact))?.how_entered()
    }
}
