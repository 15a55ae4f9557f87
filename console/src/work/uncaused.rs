//! How it is asked why a lens was spoiled: everywhere with the command that tells it.

use crate::desk::Cause;
use bevelbook_core::prescription::Eye;
use serde::Serialize;
use std::fmt;

/// A spoiled lens of which nobody told why, and how to tell it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Uncaused {
    /// The job's number.
    pub job: u32,
    /// Which eye.
    pub eye: Eye,
    /// Which of its lenses.
    pub lens: u8,
    /// Whether another one took its place already.
    pub replaced: bool,
    /// Why, as the bench told it: only who bears it is asked then.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cause: Option<Cause>,
    /// Whether it went past its fit, which says why it was spoiled.
    pub loose: bool,
}

impl Uncaused {
    /// The command that tells it, without the program's name.
    #[must_use]
    pub fn command(&self) -> String {
        let Self { job, eye, lens, .. } = self;
        let which = if self.replaced { format!(" --lens {lens}") } else { String::new() };
        let (cause, bearer) = match self.cause {
            Some(cause) => (cause.name(), "WHO"),
            None if self.loose => (Cause::Undersize.name(), "shop"),
            None => ("CAUSE", "WHO"),
        };
        format!("job remake {job} {eye}{which} --cause {cause} --charged-to {bearer}")
    }
}

impl fmt::Display for Uncaused {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let missing = self.cause.map_or("cause not told", |_| "not told who is charged");
        write!(f, "{missing}: bevelbook {}", self.command())
    }
}
