//! How it is asked why a lens was spoiled: everywhere with the command that tells it.

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
    /// Whether it went past its fit, which says why it was spoiled.
    pub loose: bool,
}

impl Uncaused {
    /// The command that tells it, without the program's name.
    #[must_use]
    pub fn command(&self) -> String {
        let Self { job, eye, lens, .. } = self;
        let which = if self.replaced { format!(" --lens {lens}") } else { String::new() };
        let why = if self.loose { "undersize --bearer shop" } else { "CAUSE --bearer WHO" };
        format!("job remake {job} {eye}{which} --cause {why}")
    }
}

impl fmt::Display for Uncaused {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { job, eye, lens, .. } = self;
        write!(f, "job {job}, {eye} lens {lens} was spoiled, cause not told: bevelbook {}", self.command())
    }
}
