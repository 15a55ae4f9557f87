//! What a person should know beside a plan: as a sentence, and in short where there is room for a line of it.

use serde::{Serialize, Serializer};

/// A caution, a sentence without its end.
#[derive(Clone, Debug)]
pub(super) struct Caution {
    pub(super) whole: String,
    /// None of one that bears on nothing that the one screen tells.
    pub(super) brief: Option<String>,
}

impl Caution {
    pub(super) fn of(brief: impl Into<String>, whole: impl Into<String>) -> Self {
        Self { whole: whole.into(), brief: Some(brief.into()) }
    }

    /// One that is short enough as it is.
    pub(super) fn short(words: &(impl ToString + ?Sized)) -> Self {
        Self::of(words.to_string(), words.to_string())
    }

    /// One that bears on what the whole plan alone tells.
    pub(super) fn of_detail(whole: impl Into<String>) -> Self {
        Self { whole: whole.into(), brief: None }
    }
}

impl Serialize for Caution {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(&self.whole)
    }
}
